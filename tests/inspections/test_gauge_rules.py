"""What is against a gauge: age, kind, range; refused where the rule is in use, else only warned of."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Any

import pytest
from django.utils import timezone

from inspections import gauge_rules
from inspections.metrology.equipment import KINDS
from inspections.models import Characteristic, Gauge
from inspections.operations.gauges import add_gauge, withdraw_gauge
from inspections.rules import GAUGE_IN_DATE, GAUGE_SUITS
from shopqc.operations.shop import switch_rule
from tests.at_the_gate import refused
from tests.factories import AT, Floor
from tests.inspections.wrong_caliper import CODE, a_size, at_jig, just_inside, shows

TODAY = AT.date()
EVERY = frozenset({GAUGE_IN_DATE, GAUGE_SUITS})
NONE: frozenset[str] = frozenset()


def gauge(kind: str = "caliper", **given: Any) -> Gauge:
    return Gauge(code="X", kind=kind, unit=given.pop("unit", KINDS[kind].unit), **given)


def characteristic(kind: str = "size", unit: str = "in") -> Characteristic:
    return Characteristic(kind=kind, unit=unit, name="Width")


def codes(
    one: Gauge, of: Characteristic, values: list[str] | None = None, rules: frozenset[str] = EVERY
) -> list[str]:
    figures = [Fraction(value) for value in values or []]
    return [reason.code for reason in gauge_rules.reasons_against(one, of, TODAY, figures, rules)]


# Which kind of gauge gives which figure: common practice, no source.
@pytest.mark.parametrize(
    ("kind", "of", "code"),
    [
        ("caliper", characteristic(), None),
        ("caliper", characteristic(unit="mm"), None),
        ("caliper", characteristic(unit="°"), "gauge_of_other_kind"),
        ("caliper", characteristic("pressure_loss", "psi"), "gauge_of_other_kind"),
        ("angle_gauge", characteristic(unit="°"), None),
        ("angle_gauge", characteristic(), "gauge_of_other_kind"),
        # Camber and toe are angles, read as lengths from an indicator.
        ("indicator", characteristic("end_alignment", "°"), None),
        ("angle_gauge", characteristic("end_alignment", "°"), "gauge_of_other_kind"),
        ("indicator", characteristic("runout"), None),
        ("probe", characteristic("face_points"), None),
        ("pressure_gauge", characteristic("pressure_loss", "psi"), None),
        ("thermometer", characteristic("runout"), "gauge_of_other_kind"),
        ("fixture", characteristic(), "gauge_is_none"),
        ("welding_machine", characteristic(), "gauge_is_none"),
        ("plug", characteristic(), "gauge_is_none"),
        # A look and a plug ask for no figure.
        ("plug", characteristic("thread_gauge", ""), None),
        ("fixture", characteristic("go_no_go", ""), None),
        ("gauge", characteristic(unit="°"), None),
        # What nobody has a kind for is not refused for its unit.
        ("caliper", characteristic(unit="welds"), None),
    ],
)
def test_a_gauge_measures_what_its_kind_measures(kind: str, of: Characteristic, code: str | None) -> None:
    assert codes(gauge(kind), of) == ([code] if code else [])
    assert codes(gauge(kind), of, rules=frozenset({GAUGE_IN_DATE})) == []


@pytest.mark.parametrize(
    ("bounds", "unit", "values", "inside"),
    [
        ({"lowest": "0", "highest": "6"}, "in", ["0", "6", "3.2"], True),
        ({"lowest": "0", "highest": "6"}, "in", ["3", "6.0001"], False),
        ({"lowest": "2"}, "in", ["1.9999"], False),
        ({"lowest": "2"}, "in", ["99"], True),
        ({"highest": "150"}, "mm", ["5.9"], True),
        # 1 in = 25.4 mm exactly, so that 150 mm are under 5.906 in.
        ({"highest": "150"}, "mm", ["5.906"], False),
        ({}, "in", ["999"], True),
        ({"lowest": "0", "highest": "6"}, "in", [], True),
    ],
)
def test_a_figure_outside_its_range_was_not_read_from_it(
    bounds: dict[str, str], unit: str, values: list[str], inside: bool
) -> None:
    found = codes(gauge(unit=unit, **bounds), characteristic(), values)
    assert found == ([] if inside else ["gauge_out_of_range"])


def test_what_is_not_in_use_is_only_warned_of() -> None:
    overdue = gauge("fixture", calibration_due=TODAY - datetime.timedelta(days=1))
    overdue.withdrawn_at, overdue.withdrawn_why = timezone.now(), "Dropped."
    assert codes(overdue, characteristic()) == ["gauge_withdrawn", "gauge_overdue", "gauge_is_none"]
    assert codes(overdue, characteristic(), rules=NONE) == []
    every = gauge_rules.warnings_of(overdue, characteristic(), TODAY, [], NONE)
    some = gauge_rules.warnings_of(overdue, characteristic(), TODAY, [], frozenset({GAUGE_IN_DATE}))
    assert len(every) == 3 and any("Dropped." in sentence for sentence in every)
    assert len(some) == 1 and "Nothing is read from that" in some[0]
    assert gauge_rules.warnings_of(overdue, characteristic(), TODAY, [], EVERY) == []


def test_a_check_that_is_due_today_is_not_overdue() -> None:
    assert codes(gauge(calibration_due=TODAY), characteristic()) == []


@pytest.mark.parametrize(
    ("kind", "wanted", "suits"),
    [
        ("bar", "bar", True),
        ("master", "bar", False),
        ("caliper", "thermometer", False),
        ("thermometer", "thermometer", True),
        ("gauge", "thermometer", True),
    ],
)
def test_a_piece_of_a_setup_is_of_its_kind(kind: str, wanted: str, suits: bool) -> None:
    found = gauge_rules.reasons_against_equipment(gauge(kind), wanted, TODAY, EVERY)
    assert [reason.code for reason in found] == ([] if suits else ["equipment_other"])


def test_only_what_is_read_off_the_gauge_has_to_be_in_its_range() -> None:
    face = characteristic("face_points")
    assert gauge_rules.figures_of(face, {"points": [["1", "2", "3"]]}) == ([], "in")
    runout = characteristic("runout")
    assert gauge_rules.figures_of(runout, {"readings": ["0", "x", "0.002"], "unit": "mm"}) == (
        [Fraction(0), Fraction("0.002")],
        "mm",
    )
    ends = characteristic("end_alignment", "°")
    figures = gauge_rules.figures_of(ends, {"z": ["-30", "30"], "x": ["0.01"], "y": ["0.02"]})
    assert figures == ([Fraction("0.01"), Fraction("0.02")], "in")


def test_every_reason_is_a_sentence() -> None:
    one = gauge("fixture", lowest="0", highest="1")
    for of, values in ((characteristic(), []), (characteristic(unit="°"), ["9"])):
        for reason in gauge_rules.reasons_against(one, of, TODAY, [Fraction(v) for v in values], EVERY):
            assert "X" in reason.sentence and "%" not in reason.sentence


# --- used ----------------------------------------------------------------------------------------
def test_a_reading_out_of_range_is_refused_until_the_owner_says_otherwise(floor: Floor) -> None:
    floor.do(add_gauge, by="Q1", code=CODE, kind="caliper", lowest="0", highest="1")
    housing = at_jig(floor)
    value = just_inside(floor, housing)
    with refused("gauge_out_of_range"):
        shows(floor, housing, value)
    floor.do(switch_rule, by="O1", rule=GAUGE_SUITS, in_use=False)
    shows(floor, housing, value)


@pytest.mark.parametrize(
    ("kind", "code"), [("fixture", "gauge_is_none"), ("pressure_gauge", "gauge_of_other_kind")]
)
def test_what_is_no_gauge_for_it_is_refused(floor: Floor, kind: str, code: str) -> None:
    floor.do(add_gauge, by="Q1", code=CODE, kind=kind)
    housing = at_jig(floor)
    with refused(code):
        shows(floor, housing, just_inside(floor, housing))


def test_a_withdrawn_gauge_is_refused_with_its_reason(floor: Floor) -> None:
    floor.do(add_gauge, by="Q1", code=CODE, kind="caliper")
    floor.do(withdraw_gauge, by="W1", gauge=CODE, why="Recalled by its maker.")
    housing = at_jig(floor)
    with refused("gauge_withdrawn"):
        shows(floor, housing, just_inside(floor, housing))
    size, _station = a_size(floor, housing)
    assert (
        "Recalled by its maker."
        in gauge_rules.reasons_against(Gauge.objects.get(code=CODE), size, TODAY, [], EVERY)[0].sentence
    )
