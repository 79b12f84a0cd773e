"""How long a soak goes on."""

import os
import time
from collections.abc import Iterator

SECONDS = float(os.environ.get("SHOPQC_TEST_SOAK_SECONDS", "100"))


def rounds(least: int = 3) -> Iterator[int]:
    """Count rounds until the time is over, but make some whatever the machine."""
    end = time.monotonic() + SECONDS
    number = 0
    while number < least or time.monotonic() < end:
        yield number
        number += 1
