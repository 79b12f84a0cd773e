"""A store without the files of the test before."""

from __future__ import annotations

import shutil

import pytest
from django.conf import settings


@pytest.fixture(autouse=True)
def _empty_store() -> None:
    shutil.rmtree(settings.FILE_STORE, ignore_errors=True)
