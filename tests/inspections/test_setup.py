"""How a part was held, what took part, what was copied from paper: kept as said, or refused with a reason."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.models import Housing
from inspections.basis import celsius, in_unit_of
from inspections.models import Gauge, Reading
from inspections.operations.gauges import add_gauge
from inspections.setup import SUPPORTS
from inspections.setup_words import in_words
from inspections.verdicts import Asked, judge
from shopqc import files
from shopqc.refusals import Refused
from tests.factories import GAUGE, OVERDUE, Floor

STATION = "face_and_drill"


@pytest.fixture
def housing(floor: Floor) -> Housing:
    housing = floor.housing(until=STATION)
    floor.work(housing, STATION)
    return housing


def bore(floor: Floor, housing: Housing, **changes: Any) -> dict[str, Any]:
    return floor.reading(housing, floor.characteristic(housing, "pilot_bore"), STATION, **changes)


def refusals(floor: Floor, housing: Housing, **changes: Any) -> list[tuple[str, str | None]]:
    with pytest.raises(Refused) as refused:
        floor.record(housing, bore(floor, housing, **changes))
    return [(reason.code, reason.field) for reason in refused.value.reasons]


def test_a_set_up_is_kept_as_it_was_said_and_its_figures_are_frozen(floor: Floor, housing: Housing) -> None:
    said = {"support": "v_blocks", "v_angle": "90", "air": {"value": "68", "unit": "F"}, "settled": True}
    floor.record(housing, bore(floor, housing, setup=said, temperature={"value": "86", "unit": "F"}))
    reading = Reading.objects.get(characteristic__code="pilot_bore")
    assert reading.setup == said
    # 68 °F is 20 °C and 86 °F is 30 °C: by the definition of the Fahrenheit scale.
    assert (reading.basis["air_c"], reading.basis["part_c"], reading.basis["settled"]) == ("20", "30", True)


def test_a_reading_is_judged_again_from_what_is_stored_alone(floor: Floor, housing: Housing) -> None:
    floor.measure_due(housing, STATION)
    stored = Reading.objects.select_related("characteristic")
    assert len({reading.characteristic.kind for reading in stored}) > 5
    for reading in stored:
        asked = Asked(
            kind=reading.characteristic.kind,
            unit=reading.characteristic.unit,
            lower=reading.lower,
            upper=reading.upper,
            parameters=reading.characteristic.parameters,
            rule=reading.rule,  # type: ignore[arg-type]  # a column's text
            setup=reading.setup,
            basis=reading.basis,
        )
        again = judge(asked, reading.raw, reading.engine)
        assert (again.value, again.verdict) == (reading.value, reading.verdict), reading.characteristic.code


@pytest.mark.parametrize(
    ("setup", "code", "where"),
    [
        ({"moon": "full"}, "setup_unknown", "/readings/0/setup"),
        ({"support": "knees"}, "setup_wrong", "/readings/0/setup/support"),
        ({"v_angle": "0"}, "v_angle_wrong", "/readings/0/setup/v_angle"),
        ({"v_angle": "181"}, "v_angle_wrong", "/readings/0/setup/v_angle"),
        ({"settled": "yes"}, "yes_or_no", "/readings/0/setup/settled"),
        ({"air": {"value": "warm", "unit": "F"}}, "temperature_wrong", "/readings/0/setup/air"),
        ({"air": {"value": "20", "unit": "K"}}, "temperature_wrong", "/readings/0/setup/air"),
        ({"bar": GAUGE}, "equipment_lacks", "/readings/0/setup/bar"),
        ({"master": GAUGE}, "equipment_lacks", "/readings/0/setup/master"),
        ({"thermometer": OVERDUE}, "gauge_overdue", "/readings/0/setup/thermometer"),
        ({"thermometer": "NONE"}, "not_found", "/readings/0/setup/thermometer"),
    ],
)
def test_what_no_set_up_is_gets_a_reason_at_its_place(
    floor: Floor, housing: Housing, setup: dict[str, Any], code: str, where: str
) -> None:
    assert (code, where) in refusals(floor, housing, setup=setup)
    assert not Reading.objects.filter(characteristic__code="pilot_bore").exists()


def test_what_is_copied_from_paper_says_from_which_page_who_and_when(floor: Floor, housing: Housing) -> None:
    page = files.store(b"a photograph of the page")
    found = refusals(floor, housing, paper=page)
    assert found == [("paper_lacks", "/readings/0/measured_by"), ("paper_lacks", "/readings/0/done_at")]
    whole = {"paper": page, "measured_by": "W1", "done_at": "2026-05-04T07:00:00+00:00"}
    assert refusals(floor, housing, **{**whole, "paper": "0" * 64}) == [
        ("paper_not_filed", "/readings/0/paper")
    ]
    assert refusals(floor, housing, **{**whole, "measured_by": "X9"}) == [
        ("stamp_unknown", "/readings/0/measured_by")
    ]
    assert refusals(floor, housing, **{**whole, "done_at": "2026-05-05T07:00:00+00:00"}) == [
        ("measured_in_future", "/readings/0/done_at")
    ]
    floor.record(housing, bore(floor, housing, **whole))
    reading = Reading.objects.get(characteristic__code="pilot_bore")
    assert (reading.paper, reading.measured_by, reading.by_stamp) == (page, "W1", "M1")


def test_an_inch_gauge_says_its_uncertainty_in_the_units_of_what_it_measures(floor: Floor) -> None:
    floor.do(add_gauge, code="MIC", name="Micrometer", kind="gauge", unit="mm", uncertainty="0.00254")
    # 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
    assert in_unit_of(Gauge.objects.get(code="MIC"), "0.00254", "in") == "0.0001"
    assert in_unit_of(Gauge.objects.get(code=GAUGE), "0.0001", "mm") == "0.00254"
    assert in_unit_of(Gauge.objects.get(code=GAUGE), "0.0001", "°") == "0.0001"


@given(st.decimals(-40, 300, places=2))
def test_fahrenheit_and_back_is_the_same_temperature(value: Any) -> None:
    text = celsius({"value": str(value), "unit": "F"})
    assert text is not None
    assert abs(Fraction(text) * Fraction(9, 5) + 32 - Fraction(value)) < Fraction(1, 10**9)


def test_a_simulated_reading_is_refused_where_nobody_has_switched_that_on(
    floor: Floor, housing: Housing
) -> None:
    before = Reading.objects.count()
    assert refusals(floor, housing, setup={"simulated": True}) == [
        ("simulated_refused", "/readings/0/setup/simulated")
    ]
    assert Reading.objects.count() == before


def test_a_demonstration_keeps_that_a_reading_is_simulated(
    floor: Floor, housing: Housing, settings: Any
) -> None:
    settings.SIMULATED_GAUGE = True
    floor.record(housing, bore(floor, housing, setup={"simulated": True}))
    assert Reading.objects.get(characteristic__code="pilot_bore").setup["simulated"] is True


@pytest.mark.parametrize("support", SUPPORTS)
def test_every_support_has_its_words_for_how_the_part_was_held(support: str) -> None:
    said = in_words({"support": support})
    assert said[0].startswith(("held in ", "held between ", "on the ")), said
