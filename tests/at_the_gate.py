"""Steps of a housing as tests take them, and what the gate says against them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from housings import gate
from housings.models import Housing
from housings.operations.visits import arrive, leave_station
from shopqc.models import LedgerEntry
from shopqc.refusals import Refused
from tests.factories import Floor


@contextmanager
def refused(*codes: str) -> Iterator[None]:
    """What is done inside is refused for exactly these reasons, and nothing is written."""
    before = LedgerEntry.objects.count()
    with pytest.raises(Refused) as error:
        yield
    assert [reason.code for reason in error.value.reasons] == list(codes)
    assert LedgerEntry.objects.count() == before


def asked(housing: Housing, step: Callable[[gate.Situation], gate.Step]) -> list[str]:
    """The codes the gate answers to a step."""
    situation = gate.Situation(Housing.objects.get(pk=housing.pk))
    return [reason.code for reason in gate.ask(situation, step(situation))]


def start_at(station: str) -> Callable[[gate.Situation], gate.Step]:
    return lambda situation: gate.Start(station)


def leave_visit(station: str) -> Callable[[gate.Situation], gate.Step]:
    return lambda situation: gate.Leave(next(v for v in situation.visits if v.station == station))


def sign_off(situation: gate.Situation) -> gate.Step:
    return gate.SignOff()


def come(floor: Floor, housing: Housing, station: str) -> dict[str, Any]:
    return floor.do(arrive, by="W1", housing=housing.serial, station=station)


def go(floor: Floor, housing: Housing, station: str) -> dict[str, Any]:
    return floor.do(leave_station, by="W1", housing=housing.serial, station=station)
