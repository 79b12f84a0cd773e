"""What must hold of a verdict whatever was measured; source: geometry, and the definitions of the engine."""

from __future__ import annotations

import json
import math
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.models import plans
from inspections.verdicts import ENGINE, as_text, could_change_by_rolling
from tests.verdicts.asking import FACE, FIGURES, LEFT, OF_LENGTHS, RAWS, RIGHT, asked_of, judged

# The machine is shared: what takes long is no fault of the geometry.
few = settings(deadline=None, max_examples=30)


def numbers(raw: Any, change: Any) -> Any:
    """A raw reading with each of its numbers changed."""
    if isinstance(raw, dict):
        return {name: numbers(value, change) for name, value in raw.items()}
    if isinstance(raw, list):
        return [numbers(value, change) for value in raw]
    return as_text(change(Fraction(raw)))


@pytest.mark.parametrize("kind", RAWS)
def test_a_good_part_passes_and_is_judged_the_same_again(kind: str) -> None:
    once, again = judged(kind), judged(kind)
    assert once.verdict == "pass" and once == again
    assert json.loads(json.dumps(once.detail, allow_nan=False)) == once.detail
    assert len(once.value) <= 60 and len(once.uncertainty) <= 30
    assert ENGINE == "2"


@pytest.mark.parametrize("kind", OF_LENGTHS)
def test_millimeters_give_the_verdict_of_inches(kind: str) -> None:
    metric = {**numbers(RAWS[kind], lambda inches: inches * Fraction(254, 10)), "unit": "mm"}
    for basis in ({}, {"part_c": "25", "air_c": "22", "gauge_uncertainty": "0.0001", "gauge_unit": "in"}):
        inches, same = judged(kind, basis=basis), judged(kind, metric, basis=basis)
        assert same.verdict == inches.verdict
        assert float(same.value) == pytest.approx(float(inches.value), rel=1e-9, abs=1e-11)
        assert float(same.uncertainty or 0) == pytest.approx(float(inches.uncertainty or 0), rel=1e-5)


@pytest.mark.parametrize("kind", OF_LENGTHS)
@few
@given(
    offset=st.decimals("-0.01", "0.01", places=5).map(Fraction),
    scale=st.decimals("-0.001", "0.001", places=5).map(Fraction),
)
def test_a_gauge_error_put_on_and_taken_off_is_nothing(kind: str, offset: Fraction, scale: Fraction) -> None:
    """It shows true × (1 + scale) + offset; the basis knows both, so the value is what it was."""
    if kind in (plans.END_ALIGNMENT, plans.SHAFT_CLEARANCE):
        # Stations are read from a tape, not from the gauge.
        shown = {
            name: value if name == "z" else numbers(value, lambda true: true * (1 + scale) + offset)
            for name, value in RAWS[kind].items()
        }
    else:
        shown = numbers(RAWS[kind], lambda true: true * (1 + scale) + offset)
    right = judged(kind)
    found = judged(kind, shown, basis={"offset": as_text(offset), "scale": as_text(scale)})
    assert float(found.value) == pytest.approx(float(right.value), rel=1e-9, abs=2e-9)


@few
@given(
    turn=st.floats(-0.02, 0.02),
    tilt=st.floats(-0.02, 0.02),
    shift=st.tuples(*[st.floats(-50, 50)] * 3),
)
@pytest.mark.parametrize(
    ("kind", "quantity"),
    [
        (plans.FACE_POINTS, ""),
        (plans.FACE_TO_AXIS, "distance"),
        (plans.FACE_TO_AXIS, "parallelism"),
        (plans.PILOT_TO_AXIS, ""),
    ],
)
def test_where_the_part_lies_in_the_probes_frame_changes_no_value(
    kind: str, quantity: str, turn: float, tilt: float, shift: tuple[float, float, float]
) -> None:
    c, s, d, e = math.cos(turn), math.sin(turn), math.cos(tilt), math.sin(tilt)

    def moved(points: list[list[str]]) -> list[list[str]]:
        made = []
        for x, y, z in ([float(part) for part in point] for point in points):
            x, y = c * x - s * y, s * x + c * y
            y, z = d * y - e * z, e * y + d * z
            made.append([f"{part + by:.13f}" for part, by in zip((x, y, z), shift, strict=True)])
        return made

    raw = {name: moved(points) for name, points in RAWS[kind].items()}
    changes: dict[str, Any] = {"lower": None, "upper": "5"}
    if quantity:
        changes["parameters"] = {"quantity": quantity}
    there, here = judged(kind, raw, **changes), judged(kind, **changes)
    assert float(there.value) == pytest.approx(float(here.value), abs=1e-10)


def test_a_settled_shop_leaves_less_doubt_than_an_unknown_one() -> None:
    unknown, settled = judged(plans.SIZE), judged(plans.SIZE, basis={"settled": True})
    part = judged(plans.SIZE, basis={"part_c": "20"})
    both = judged(plans.SIZE, basis={"part_c": "20", "air_c": "20", "thermometer_uncertainty": "0.2"})
    doubts = [float(found.uncertainty) for found in (unknown, part, settled, both)]
    assert doubts == sorted(doubts, reverse=True)
    # ±10 °C, each as likely, between two pieces of steel: 2 · L · 11.5e-6 · 10 / √3 (GUM 4.3.7).
    assert doubts[0] == pytest.approx(2 * 2.4993 * 11.5e-6 * 10 / math.sqrt(3), rel=1e-5)


def test_temperature_is_taken_out_exactly() -> None:
    """L (1 + a (air - 20)) / (1 + a (part - 20)); part and scale equally warm: nothing is left to correct."""
    same = judged(plans.SIZE, basis={"part_c": "31", "air_c": "31"})
    assert same.value == "2.4993"
    apart = judged(plans.SIZE, basis={"part_c": "30", "air_c": "20"})
    a = Fraction("0.0000115")
    assert Decimal(apart.value) == Decimal(as_text(Fraction("2.4993") / (1 + 10 * a)))
    off = judged(plans.SIZE, basis={"part_c": "31", "air_c": "20", "part_offset": "1"})
    assert off.value == apart.value


def test_a_master_decides_what_a_micrometer_cannot() -> None:
    """A journal with 0.0005 of tolerance: common practice, no source."""
    micrometer = {"gauge_uncertainty": "0.0002", "settled": True}
    master = {"size": "2.4993", "uncertainty": "0.00005"}
    comparator = {"gauge_uncertainty": "0.00005", "settled": True, "master": master}
    values, differences = {"values": ["2.4992", "2.4993"]}, {"differences": ["-0.00010", "0"]}
    assert judged(plans.DIAMETERS, values, rule="guarded", basis=micrometer).verdict == "undecided"
    compared = judged(plans.DIAMETERS, differences, rule="guarded", basis=comparator)
    assert compared.verdict == "pass"
    assert compared.value == "2.4992" and compared.detail["greatest"] == "2.4993"
    # In a settled shop the temperature of part and master cancels: comparator and master are all there is.
    assert {part["name"] for part in compared.detail["budget"]} == {"gauge", "master"}
    assert float(compared.uncertainty) == pytest.approx(math.hypot(0.00005, 0.00005), rel=1e-5)


def test_the_diameter_with_the_least_margin_decides() -> None:
    assert judged(plans.DIAMETERS, {"values": ["2.4991", "2.4995", "2.4993"]}).value == "2.4995"
    out = judged(plans.DIAMETERS, {"values": ["2.4993", "2.4993", "2.4989"]})
    assert (out.value, out.verdict, out.detail["least"]) == ("2.4989", "fail", "2.4989")


@pytest.mark.parametrize(
    ("setup", "seen"),
    [
        ({}, set()),
        ({"support": "v_blocks"}, set()),
        ({"support": "centers"}, {"eccentricity", "ovality", "residual"}),
        ({"section": "turning"}, {"eccentricity", "ovality", "residual"}),
        # At 90° the ovality of the section in the block is seen, what it is off center is not.
        ({"section": "in_v_block", "v_angle": "90"}, {"ovality", "residual"}),
        # At 60° an oval turns in the block without moving the indicator.
        ({"section": "in_v_block", "v_angle": "60"}, set()),
        ({"section": "rolled_elsewhere", "v_angle": "90"}, {"eccentricity", "ovality", "residual"}),
        ({"section": "rolled_elsewhere"}, {"eccentricity"}),
    ],
)
def test_what_the_set_up_hides_is_not_guessed(setup: dict[str, str], seen: set[str]) -> None:
    readings = [f"{0.002 * math.cos(math.tau * place / 12):.6f}" for place in range(12)]
    found = judged(plans.RUNOUT, {"readings": readings}, setup=setup)
    names = {"eccentricity", "ovality", "residual"}
    assert {name for name in names if found.detail[name] is not None} == seen
    assert set(found.detail["not_seen"]) == names - seen
    assert found.value == "0.004"


def test_rolling_is_offered_only_where_it_could_change_the_verdict() -> None:
    bar = {"code": "B", "diameter": "1.5", "supports": ["-30", "30"], "straightness": "0.002"}
    flat = {"z": ["-30", "-10", "10", "30"], "x": ["0"] * 4, "y": ["0"] * 4}

    def rolls(upper: str, raw: dict[str, Any] = flat, basis: Any = None) -> bool:
        asked = asked_of(plans.END_ALIGNMENT, upper=upper, basis={"bar": bar} if basis is None else basis)
        return could_change_by_rolling(
            asked, judged(plans.END_ALIGNMENT, raw, upper=upper, basis=asked.basis)
        )

    value = float(judged(plans.END_ALIGNMENT, flat, basis={"bar": bar}).value)
    assert rolls(f"{value + 0.001:.4f}") and rolls(f"{value - 0.001:.4f}")
    assert not rolls("0.10")
    assert not rolls(f"{value + 0.001:.4f}", {**flat, "rolled_x": ["0"] * 4, "rolled_y": ["0"] * 4})
    assert not rolls(f"{value + 0.001:.4f}", basis={})
    # Read from a bar that nobody named, its sag is still in the figure.
    unnamed = asked_of(plans.END_ALIGNMENT, setup={"support": "bar"})
    assert could_change_by_rolling(unnamed, judged(plans.END_ALIGNMENT, flat, setup=unnamed.setup))


def test_a_bar_without_supports_on_file_can_only_be_rolled_out() -> None:
    bar = {"code": "B", "diameter": "1.5"}
    flat = {"z": ["-30", "-10", "10", "30"], "x": ["0"] * 4, "y": ["0"] * 4}
    with pytest.raises(ValueError, match="roll it"):
        judged(plans.END_ALIGNMENT, flat, basis={"bar": bar})
    rolled = {**flat, "rolled_x": ["0"] * 4, "rolled_y": ["0"] * 4}
    assert judged(plans.END_ALIGNMENT, rolled, basis={"bar": bar}).value == "0"


@few
@given(st.lists(st.decimals("-0.01", "0.01", places=4), min_size=4, max_size=4))
def test_a_roll_takes_the_bar_out(own: list[Decimal]) -> None:
    """What hangs with the bar reads the same after the roll, what is the housing's own turns its sign."""
    z, sag = (
        ["-30", "-10", "10", "30"],
        [Decimal("0.004"), Decimal("-0.011"), Decimal("-0.011"), Decimal("0.004")],
    )
    raw = {
        "z": z,
        "x": ["0"] * 4,
        "y": [str(part + bar) for part, bar in zip(own, sag, strict=True)],
        "rolled_x": ["0"] * 4,
        "rolled_y": [str(bar - part) for part, bar in zip(own, sag, strict=True)],
    }
    found = judged(plans.END_ALIGNMENT, raw)
    alone = judged(plans.END_ALIGNMENT, {"z": z, "x": ["0"] * 4, "y": [str(part) for part in own]})
    assert float(found.value) == pytest.approx(float(alone.value), abs=1e-12)


@pytest.mark.parametrize("kind", FIGURES)
def test_more_doubt_of_the_gauge_never_makes_a_pass_surer(kind: str) -> None:
    if kind == plans.TAPER_TURNS:
        assert judged(kind).uncertainty in ("", "0")
        return
    fine, coarse = (
        judged(kind, basis={"gauge_uncertainty": u, "settled": True}) for u in ("0.00001", "0.01")
    )
    assert float(coarse.uncertainty) > float(fine.uncertainty)
    assert fine.value == coarse.value and fine.verdict == coarse.verdict == "pass"
    assert float(coarse.probability) <= float(fine.probability)
    assert sum(float(part["share"]) for part in coarse.detail["budget"]) == pytest.approx(1, abs=1e-3)


def test_the_bores_center_alone_is_enough_with_the_face() -> None:
    raw = {"bore": [["0", "0.001", "2.3"]], "left": LEFT, "right": RIGHT, "face": FACE}
    assert float(judged(plans.PILOT_TO_AXIS, raw).value) == pytest.approx(0.001, abs=1e-4)
