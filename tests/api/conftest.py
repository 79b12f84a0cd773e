"""Callers of every kind at one shop floor."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager

import pytest
import time_machine

from shopqc import ledger
from tests.api.caller import Caller, everything
from tests.factories import AT, Floor


@pytest.fixture
def floor(db: None) -> Iterator[Floor]:
    """The shop floor, on the day on which its gauges are in date."""
    with time_machine.travel(AT, tick=False):
        yield Floor()


@pytest.fixture
def office(floor: Floor) -> Caller:
    """The shop's own order system: a key for no customer and no person."""
    return Caller(floor.api_key("orders", "certificates")[0])


@pytest.fixture
def north(floor: Floor) -> Caller:
    """The order system of the customer north."""
    return Caller(floor.api_key("orders", "certificates", customer="north")[0])


@pytest.fixture
def basin(floor: Floor) -> Caller:
    """The order system of the customer basin, with every scope there is."""
    return Caller(floor.api_key("orders", "certificates", "floor", "readings", customer="basin")[0])


@pytest.fixture
def phone(floor: Floor) -> Caller:
    """A phone that stands for a station worker."""
    return Caller(floor.api_key("floor", "readings", stamp="W1")[0])


@pytest.fixture
def desk(floor: Floor) -> Caller:
    """A program on the desk of the QC lead."""
    return Caller(floor.api_key("floor", "readings", "orders", "certificates", "gauges", stamp="Q1")[0])


@pytest.fixture
def nothing_changes(db: None) -> Callable[[], AbstractContextManager[None]]:
    """``with nothing_changes():`` every table and chain is as it was, and the record book agrees."""

    @contextmanager
    def watch() -> Iterator[None]:
        before = everything()
        yield
        assert everything() == before
        assert ledger.verify().faults == ()

    return watch
