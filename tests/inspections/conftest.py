"""A shop floor, and people of every role at a browser."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
import time_machine

from tests.factories import AT, Floor
from tests.visitor import Visitor

SignedIn = Callable[[str], Visitor]


@pytest.fixture
def floor(db: None) -> Iterator[Floor]:
    """The shop floor, on the day on which its gauges are in date."""
    with time_machine.travel(AT, tick=False):
        yield Floor()


@pytest.fixture
def signed_in(floor: Floor) -> SignedIn:
    """``signed_in("W1")``: that person at a browser."""
    return lambda stamp: Visitor(floor.person(stamp))
