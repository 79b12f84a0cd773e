"""Heat input, carbon equivalents, preheat, cooling times and grooves against published values."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.engineering import (
    carbon_equivalent,
    cooling_time_85,
    groove,
    heat_input,
    preheat_advice,
)
from tests.published import Source, published

MM_PER_INCH = 25.4
# The form H = 60 E I / S with its worked examples, as public welding texts print it.
AWS_FORM = Source(
    "heat input H = 60 E I / S, public worked examples", "public copy", "325 A, 29 V, 12.5 in/min"
)
MAG_EXAMPLE = Source("EN 1011-1, public worked example", "2009", "24 V, 180 A, 300 mm/min, 0.8")
EN_1011_1 = Source("EN 1011-1", "2009", "table 1, efficiency factors")
FAA_4130 = Source("FAA memo ANM-112N-14-02 Rev A", "2014", "4130 limits, with the formula of the standard")
METHOD_B = Source("EN 1011-2 C.3", "2001 + A1:2003", "method B")
SEW_ANCHOR = Source("method B, public worked example", "public copy", "162.83 °C; inputs inferred")
ANNEX_D = Source("EN 1011-2 annex D", "2001", "t8/5 by the formula")
FILLER = Source("Calculating filler metal consumption, public table", "public copy", "pounds per foot")
TWI = Source("TWI Job Knowledge", "public copy", "area of a single V")
SHOP = Source("common practice, no source", "", "figures of the trade")


def test_heat_input_as_printed() -> None:
    inches = heat_input(29, 325, 12.5 * MM_PER_INCH / 60)
    published(AWS_FORM, inches * MM_PER_INCH, "45.24")
    published(AWS_FORM.at("the same in kJ/mm"), inches, "1.781102", tolerance="1e-6")
    published(MAG_EXAMPLE, heat_input(24, 180, 5, "0.8"), "0.691", tolerance="0.0005")
    published(MAG_EXAMPLE.at("in kJ/in"), heat_input(24, 180, 5, "0.8") * MM_PER_INCH, "17.6")
    travel = 24 * MM_PER_INCH / (1.55 * 60)
    published(
        AWS_FORM.at("330 A, 30 V, 24 in in 1.55 min"), heat_input(30, 330, travel) * MM_PER_INCH, "38.4"
    )


def test_tig_puts_six_tenths_of_its_energy_into_the_work() -> None:
    published(EN_1011_1, heat_input(12, 150, 2, "0.6") / heat_input(12, 150, 2), "0.6", tolerance="1e-12")
    # 150 to 200 A, 12 to 13 V at 3 to 4 in/min: 27 to 52 kJ/in of arc energy (common practice, no source).
    least = heat_input(12, 150, 4 * MM_PER_INCH / 60) * MM_PER_INCH
    most = heat_input(13, 200, 3 * MM_PER_INCH / 60) * MM_PER_INCH
    published(SHOP.at("snout weld, least arc energy, kJ/in"), least, "27", kind="memory")
    published(SHOP.at("snout weld, greatest arc energy, kJ/in"), most, "52", kind="memory")


STEELS = {
    "minimum": (".28 .40 .15 .80 .15", "0.5367 0.3750 0.3550"),
    "nominal": (".305 .50 .25 .95 .20", "0.6183 0.4225 0.3992"),
    "round nominal": (".30 .50 .25 .95 .20", "0.6133 0.4175 0.3942"),
    "maximum": (".33 .60 .35 1.10 .25", "0.7000 0.4700 0.4433"),
}


@pytest.mark.parametrize("name", STEELS)
def test_carbon_equivalents_of_4130(name: str) -> None:
    percents, wanted = (row.split() for row in STEELS[name])
    steel = dict(zip(("C", "Mn", "Si", "Cr", "Mo"), percents, strict=True))
    for formula, value in zip(("IIW", "CET", "Pcm"), wanted, strict=True):
        found = carbon_equivalent(steel, formula)  # type: ignore[arg-type]  # text of the table
        published(FAA_4130.at(f"{name}, {formula}"), found, value, kind="derived")


def test_preheat_by_method_b() -> None:
    published(SEW_ANCHOR, preheat_advice(".37", 50, 5, 1.5).temperature_c, "162.83")
    for given_values, wanted in {
        (".30", 20, 5, 1.0): "56.526",
        (".33", 25, 5, 1.5): "87.283",
        (".4225", 12.7, 3, 1.0): "103.583",
        (".50", 90, 20, 0.5): "352.802",
    }.items():
        found = preheat_advice(*given_values).temperature_c
        published(METHOD_B.at(f"CET, d, HD, Q {given_values}"), found, wanted, kind="derived")


@pytest.mark.parametrize(
    "outside",
    [
        (".19", 20, 5, 1),
        (".51", 20, 5, 1),
        (".3", 9.9, 5, 1),
        (".3", 91, 5, 1),
        (".3", 20, 0.9, 1),
        (".3", 20, 21, 1),
        (".3", 20, 5, 0.4),
        (".3", 20, 5, 4.1),
        (".3", 20, 5, 1, 1001),
    ],
)
def test_outside_its_range_the_method_advises_nothing(outside: tuple[Any, ...]) -> None:
    advice = preheat_advice(*outside)
    assert advice.temperature_c is None and advice.reason.endswith(".")


def test_cooling_times_by_annex_d() -> None:
    for (preheat, heat, thickness), wanted, regime, transition in (
        ((20, 1, 20), "5.2885", "thick", "14.6586"),
        ((20, 1, 10), "11.3636", "thin", "14.6586"),
        ((150, 1, 12.7), "13.1353", "thin", "16.4322"),
        ((150, 1, 30), "7.8462", "thick", "16.4322"),
    ):
        found = cooling_time_85(heat, thickness, preheat)
        place = f"{preheat} °C, {heat} kJ/mm, {thickness} mm"
        published(ANNEX_D.at(place), found.seconds, wanted, kind="derived")
        published(ANNEX_D.at(f"{place}, transition"), found.transition_mm, transition, kind="derived")
        assert found.regime == regime


@given(st.floats(0.3, 4), st.floats(-20, 300))
def test_both_regimes_agree_at_the_transition(heat: float, preheat: float) -> None:
    at = cooling_time_85(heat, 10, preheat).transition_mm
    thick, thin = cooling_time_85(heat, at * 1.0000001, preheat), cooling_time_85(heat, at, preheat)
    assert (thick.regime, thin.regime) == ("thick", "thin")
    assert math.isclose(thick.seconds, thin.seconds, rel_tol=1e-5)


POUNDS_PER_FOOT = 12 * 0.283 / MM_PER_INCH**2


def test_grooves_as_printed() -> None:
    # Rectangles of thickness and gap, in inches: a groove without an angle.
    for thickness, gap, pounds in (
        (1 / 4, 1 / 16, ".053"),
        (5 / 16, 1 / 8, ".133"),
        (3 / 8, 3 / 16, ".239"),
        (1 / 2, 1 / 8, ".212"),
        (5 / 8, 1 / 8, ".265"),
        (3 / 4, 1 / 4, ".637"),
        (1, 1 / 8, ".425"),
    ):
        made = groove(thickness * MM_PER_INCH, 0, 0, gap * MM_PER_INCH, 0, 10)
        published(FILLER.at(f"{thickness} by {gap}"), made.area * POUNDS_PER_FOOT, pounds, tolerance=".001")
    # The table's triangle is one side of the V: half of the groove.
    for thickness, angle, pounds in (
        (1 / 2, 22.5, ".176"),
        (1 / 2, 30, ".245"),
        (1, 30, ".981"),
        (1, 45, "1.698"),
    ):
        made = groove(thickness * MM_PER_INCH, 2 * angle, 0, 0, 0, 10)
        place = f"triangle {thickness}, {angle}°"
        published(FILLER.at(place), made.area / 2 * POUNDS_PER_FOOT, pounds, tolerance=".001")
    worked = groove(12.7, 60, 0, 3, 2, 21.4885)
    published(
        TWI.at("12.7 mm, 60°, gap 3, cap 2"), worked.area, "154.7737", kind="derived", tolerance="0.001"
    )
    published(TWI.at("its width"), worked.width, "17.6647", kind="derived")
    bare = groove(12.7, 60, 0, 3, 0, 21.4885)
    published(TWI.at("passes of 21.4885 mm²"), bare.passes, 7, kind="derived")
    published(TWI.at("kg a meter"), bare.filler_kg_m, "1.0301", kind="derived")


def test_a_snout_joint_takes_seven_to_ten_passes() -> None:
    least, most = 0.0185 * MM_PER_INCH**2, 0.0265 * MM_PER_INCH**2
    half = [groove(12.7, 60, 1.5875, 2.38125, 1.5875, bead) for bead in (most, least)]
    published(
        SHOP.at("1/2 in wall, fewest and most passes"), [one.passes for one in half], [7, 10], kind="memory"
    )
    thinner = [groove(9.525, 60, 1.5875, 2.38125, 1.5875, bead).passes for bead in (most, (least + most) / 2)]
    assert set(thinner) <= {5, 6}
    shrunk = half[0].shrinkage.by_area / MM_PER_INCH
    published(
        SHOP.at("shrinkage across a snout joint, in"), shrunk, "0.037", kind="memory", tolerance="0.001"
    )


@given(
    st.floats(3, 40), st.floats(0, 90), st.floats(0, 3), st.floats(0, 5), st.floats(0, 3), st.floats(5, 60)
)
def test_passes_fill_the_groove_and_no_more(
    wall: float, angle: float, land: float, gap: float, cap: float, bead: float
) -> None:
    if angle == 0 and gap == 0:
        return
    try:
        made = groove(wall, angle, land, gap, cap, bead)
    except ValueError:
        # Nothing to fill: no gap, and no angle or no wall left above the land.
        assert gap == 0 and (angle < 1e-9 or land > wall * (1 - 1e-9))
        return
    assert (made.passes - 1) * bead < made.area * (1 + 1e-9)
    assert made.passes * bead >= made.area * (1 - 1e-9)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: heat_input(24, 0, 5), "amps"),
        (lambda: heat_input(24, 180, 0), "travel speed"),
        (lambda: heat_input(24, 180, 5, 1.1), "efficiency"),
        (lambda: heat_input("warm", 180, 5), "volts"),
        (lambda: heat_input(math.inf, 180, 5), "volts"),
        (lambda: carbon_equivalent({"Mn": 1}), "carbon"),
        (lambda: carbon_equivalent({"C": 60, "Fe": 41}), "adds up"),
        (lambda: carbon_equivalent({"C": -1}), "percent of C"),
        (lambda: carbon_equivalent({"C": 0.3, "Xx": 1}), "Xx"),
        (lambda: carbon_equivalent({"C": 0.3}, "CEV"), "CEV"),  # type: ignore[arg-type]
        (lambda: cooling_time_85(1, 10, 500), "preheat"),
        (lambda: cooling_time_85(1, 0, 20), "thickness"),
        (lambda: groove(10, 60, 11, 2, 1, 15), "land"),
        (lambda: groove(10, 180, 1, 2, 1, 15), "included angle"),
        (lambda: groove(10, 60, 1, -2, 1, 15), "gap"),
        (lambda: groove(10, 60, 1, 2, 1, 0), "bead area"),
        (lambda: groove(10, 0, 1, 0, 1, 15), "no area"),
    ],
)
def test_what_cannot_be_is_said(call: Any, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        call()
