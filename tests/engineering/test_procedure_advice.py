"""What published arithmetic says beside a procedure, and where it says that it does not reach."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

import pytest

from housings.engineering.carbon_equivalent import carbon_equivalent
from housings.engineering.procedure_advice import EFFICIENCY, celsius, grooves, heat_advice, net_heat_input
from housings.engineering.procedures import Procedure, procedure_from
from housings.engineering.ready_procedures import READY_PROCEDURES
from housings.engineering.steels import STEELS, worse_of
from tests.published import Source, published

FAA = Source("FAA memorandum ANM-112N-14-02", "Rev A 2014", "4130")
EN_1 = Source("EN 1011-1", "2009", "table 1")
EN_2 = Source("EN 1011-2", "2001+A1:2003", "C.3 (method B)")
J404 = Source("SAE J404", "2000", "4140")
# The groove that job sheets of such shops name: 0.185 in², 7 to 10 beads; common practice, no source.
IN2_MM2 = 25.4**2


def procedure(name: str = "snout-4130-500", **changes: Any) -> Procedure:
    return procedure_from({**READY_PROCEDURES[name].data, **changes})


def test_compositions_are_those_of_the_standards() -> None:
    faa = {"C": ("0.28", "0.33"), "Mn": ("0.40", "0.60"), "Si": ("0.15", "0.35"), "Cr": ("0.80", "1.10")}
    for symbol, sides in {**faa, "Mo": ("0.15", "0.25"), "Ni": ("0", "0.25"), "Cu": ("0", "0.35")}.items():
        published(FAA.at(f"4130, {symbol}"), list(STEELS["4130"].elements[symbol]), list(sides))
    published(J404, list(STEELS["4140"].elements["C"]), ["0.38", "0.43"], kind="memory")


def test_equivalents_of_the_ends_of_a_grade() -> None:
    # Least of each element: 0.28 + 0.15/10 + 0.40/10 + 0.80/20 = 0.375 (CET), by hand.
    least, most = STEELS["4130"].equivalents()["CET"]
    assert least == pytest.approx(0.375) and most == pytest.approx(
        0.33 + (0.60 + 0.25) / 10 + (1.10 + 0.35) / 20 + 0.25 / 40
    )
    assert all(low < high for low, high in STEELS["4140"].equivalents().values())


def test_the_worse_steel_governs_whichever_side_it_is_on() -> None:
    first, other = (worse_of(*pair) for pair in (("4130", "4140"), ("4140", "4130")))
    assert first is other is STEELS["4140"]
    assert worse_of("A656-80", "4130") is STEELS["4130"]
    assert worse_of("unknown") is None
    (advice,) = heat_advice(procedure("snout-4140-500"))
    assert advice.steel is STEELS["4140"] and advice.grades == ("4130", "4140")


def test_method_b_is_asked_with_the_net_heat_input_of_tig() -> None:
    published(EN_1, [str(EFFICIENCY[code]) for code in ("141", "135", "111")], ["0.6", "0.8", "0.8"])
    # 27 to 52 kJ/in of arc energy, 25.4 mm to the inch, 0.6 of it into the work.
    net = net_heat_input(procedure())
    assert net.least is not None and net.most is not None
    assert float(net.least) == pytest.approx(27 / 25.4 * 0.6) and float(net.most) == pytest.approx(
        52 / 25.4 * 0.6
    )
    (advice,) = heat_advice(procedure())
    assert advice.lean is not None and advice.rich is not None
    for found, cet in ((advice.lean, 0.375), (advice.rich, 0.49375)):
        q = 27 / 25.4 * 0.6
        by_hand = 697 * cet + 160 * math.tanh(12.7 / 35) + 62 * 3**0.35 + (53 * cet - 32) * q - 328
        published(EN_2, found.temperature_c, round(by_hand, 6), tolerance=1e-5, kind="derived")


def test_limits_that_are_net_are_not_taken_off_twice() -> None:
    net = {"heat_input": {"least": "16.2", "most": "31.2", "unit": "kJ/in"}}
    said = net_heat_input(procedure(heat_basis="net", efficiency="0.6", **net))
    meant = net_heat_input(procedure())
    assert said.least is not None and meant.least is not None
    assert float(said.least) == pytest.approx(float(meant.least))


def test_without_limits_of_heat_input_volts_amps_and_travel_give_it() -> None:
    # 12 V, 150 A at 4 in/min: 27 kJ/in; 13 V, 200 A at 3 in/min: 52 kJ/in (60 V A / travel).
    found, meant = net_heat_input(procedure(heat_input={})), net_heat_input(procedure())
    assert found.least is not None and meant.least is not None
    assert float(found.least) == pytest.approx(float(meant.least))
    assert net_heat_input(procedure(heat_input={}, travel={})).least is None


@pytest.mark.parametrize(
    ("name", "changes", "says"),
    [
        ("snout-4130-250", {}, "thickness is 6.35 mm; the method was made for 10 to 90 mm."),
        ("snout-4140-500", {}, "the method was made for 0.2 to 0.5 %."),
        ("snout-4130-500", {"heat_input": {"least": "10", "unit": "kJ/in"}}, "for 0.5 to 4 kJ/mm."),
        ("snout-4130-500", {"hydrogen_ml": "25"}, "for 1 to 20 ml/100 g."),
    ],
)
def test_outside_its_range_the_method_advises_nothing_and_says_why(
    name: str, changes: dict[str, Any], says: str
) -> None:
    (advice,) = heat_advice(procedure(name, **changes))
    assert advice.rich is not None and advice.rich.temperature_c is None
    assert advice.rich.reason.endswith(says)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"hydrogen_ml": ""}, "The procedure names no hydrogen."),
        ({"heat_input": {}, "amps": {}}, "The procedure names no least heat input."),
        ({"grades_b": ["300M"]}, "The composition of 300M is not on file here"),
    ],
)
def test_what_is_missing_for_advice_is_said(changes: dict[str, Any], says: str) -> None:
    (advice,) = heat_advice(procedure(**changes))
    assert advice.lean is advice.rich is None and advice.preheat_reason.startswith(says)


def test_cooling_times_go_from_cold_and_little_to_hot_and_much() -> None:
    (advice,) = heat_advice(procedure())
    assert advice.quickest is not None and advice.slowest is not None
    assert advice.quickest.seconds < advice.slowest.seconds
    (open_ended,) = heat_advice(procedure(interpass_greatest=""))
    assert open_ended.quickest is None and open_ended.cooling_reason.endswith("open.")


def test_the_groove_of_the_snout_is_the_trades() -> None:
    (at,) = grooves(procedure())
    # 0.185 in² with cap, 7 to 10 passes in 1/2 in of wall; 5 or 6 in 3/8: common practice, no source.
    assert at.filled.area / IN2_MM2 == pytest.approx(0.185, abs=0.005)
    assert 7 <= at.filled.passes <= 10
    (thinner,) = grooves(procedure("snout-4130-375"))
    assert 5 <= thinner.filled.passes <= 6
    # About 0.037 in across the joint, 0.1 of its area over the wall: common practice, no source.
    assert at.filled.shrinkage.by_area / 25.4 == pytest.approx(0.037, abs=0.001)


@pytest.mark.parametrize("name", READY_PROCEDURES)
def test_the_passes_of_an_example_are_enough_for_its_groove(name: str) -> None:
    read = procedure(name)
    for at in grooves(read):
        assert read.passes.holds(Decimal(at.filled.passes))
    assert bool(grooves(read)) == name.startswith("snout")


def test_a_wall_of_a_range_is_asked_at_both_ends() -> None:
    walls = [advice.wall for advice in heat_advice(procedure("tube-to-plate"))]
    assert walls == [Decimal("0.250"), Decimal("0.500")] * 2
    assert heat_advice(procedure("plate-seams")) == [], "no wall is named, so there is nothing to ask"


def test_fahrenheit_is_turned_exactly() -> None:
    # 250 °F is 121.1 °C, 400 °F is 204.4 °C (5/9 of what is above 32).
    assert [round(celsius(Decimal(value), "F"), 1) for value in (32, 212, 250, 400)] == [
        Decimal("0"),
        Decimal("100"),
        Decimal("121.1"),
        Decimal("204.4"),
    ]
    assert celsius(Decimal("150"), "C") == 150


def test_what_a_mill_certificate_says_can_be_asked_the_same() -> None:
    mill = {"C": "0.31", "Mn": "0.52", "Si": "0.24", "Cr": "0.96", "Mo": "0.19"}
    least, most = STEELS["4130"].equivalents()["CET"]
    assert least < carbon_equivalent(mill, "CET") < most
