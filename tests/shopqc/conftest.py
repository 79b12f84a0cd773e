"""A shop that is set up and nothing more."""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Callable
from typing import Any

import pytest

from shopqc.models import Shop
from shopqc.operations.shop import set_up_shop
from shopqc.people import PROGRAM

AT = datetime.datetime(2026, 5, 4, 9, 30, tzinfo=datetime.UTC)
Do = Callable[..., dict[str, Any]]


@pytest.fixture
def do() -> Do:
    """Run an operation as the program at a fixed moment, under a key of its own unless one is given."""
    numbers = itertools.count()

    def run(operation: Do, **inputs: Any) -> dict[str, Any]:
        return operation(**{"by": PROGRAM, "at": AT, "key": f"test {next(numbers)}", **inputs})

    return run


@pytest.fixture
def shop(db: None, do: Do) -> Shop:
    do(set_up_shop, name="Invented Axle Works")
    return Shop.objects.get()
