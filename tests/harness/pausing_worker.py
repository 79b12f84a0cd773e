"""The worker, made to stop for ever at one point, so that a test can kill it there.

Started by `processes.worker`; the point comes in SHOPQC_TEST_PAUSE.
"""

from __future__ import annotations

import importlib
import os
import time
from pathlib import Path
from typing import Any

from celery.signals import worker_process_init

from shopqc.celery import app

__all__ = ["app"]


@worker_process_init.connect
def pause_here(**_signal: Any) -> None:
    """Wrap the function in each process that runs tasks."""
    when, name = os.environ["SHOPQC_TEST_PAUSE"].split()
    module_name, attribute = name.rsplit(".", 1)
    module = importlib.import_module(module_name)
    original = getattr(module, attribute)

    def paused(*args: Any, **kwargs: Any) -> Any:
        if when == "after":
            original(*args, **kwargs)
        Path(os.environ["SHOPQC_TEST_PAUSE_MARK"]).touch()
        while True:
            time.sleep(1)

    setattr(module, attribute, paused)
