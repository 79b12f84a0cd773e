"""A procedure is read whole: each wrong figure is said beside its field, the rest stays as typed."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from housings.engineering.fit_catalogue import DEMO
from housings.engineering.joints import JointKind, joints_of
from housings.engineering.procedure_reading import read_procedure
from housings.engineering.procedures import PROCESSES, Range, procedure_from, reaches
from housings.engineering.ready_procedures import READY_PROCEDURES
from housings.engineering.ready_specs import READY
from housings.engineering.spec import spec_from
from tests.published import Source, published

# ISO 4063:2009: reference numbers of processes (from memory).
ISO_4063 = Source("ISO 4063", "2009", "table 1")
# Common practice, no source: TIG 150 to 200 A, 12 to 13 V, 3 to 4 in/min.
SNOUT: dict[str, Any] = dict(READY_PROCEDURES["snout-4130-500"].data)
PROCEDURES = {name: procedure_from(ready.data) for name, ready in READY_PROCEDURES.items()}


def problems(**changes: Any) -> dict[str, str]:
    data = {name: value for name, value in {**SNOUT, **changes}.items() if value is not None}
    return {problem.field: problem.sentence for problem in read_procedure(data)[1]}


@pytest.mark.parametrize("name", READY_PROCEDURES)
def test_a_ready_procedure_reads_without_a_problem_and_stays_as_it_is(name: str) -> None:
    ready = READY_PROCEDURES[name]
    tidy, found = read_procedure(dict(ready.data))
    assert found == ()
    assert procedure_from(tidy) == procedure_from(ready.data)
    assert "not qualified" in tidy["qualified_by"], "an invented example says so"


@pytest.mark.parametrize("plate", ["4130", "A656-80"])
@pytest.mark.parametrize("snout", DEMO.snout_grades)
@pytest.mark.parametrize("code", READY)
def test_every_joint_of_the_ready_specs_has_one_procedure_and_one_for_repair(
    code: str, snout: str, plate: str
) -> None:
    spec = spec_from({**READY[code].spec, "snout_grade": snout, "plate_grade": plate})
    for joint in joints_of(spec):
        reaching = [name for name, one in PROCEDURES.items() if not reaches(one, joint)]
        repair = [name for name in reaching if PROCEDURES[name].for_repair]
        assert (len(reaching), len(repair)) == (2, 1), (joint, reaching)


def test_every_wall_of_the_catalogue_has_its_snout_procedures() -> None:
    for tube in DEMO.tubes:
        for wall in tube.walls:
            for steel in DEMO.snout_grades:
                spec = {**READY["plain"].spec, "tube_od": str(tube.od), "tube_wall": str(wall)}
                (joint, _right) = (
                    one
                    for one in joints_of(spec_from({**spec, "snout_grade": steel}))
                    if one.kind is JointKind.SNOUT
                )
                assert any(not reaches(one, joint) for one in PROCEDURES.values())


def test_the_worse_steel_has_the_hotter_procedure() -> None:
    # Common practice, no source: 4130 to 4130 from 250 to 400 °F, a harder snout hotter.
    plain, harder = PROCEDURES["snout-4130-500"], PROCEDURES["snout-4140-500"]
    assert (plain.preheat_least, plain.interpass_greatest) == (Decimal(250), Decimal(400))
    assert harder.preheat_least is not None and plain.preheat_least is not None
    assert harder.preheat_least > plain.preheat_least


def test_processes_have_their_numbers() -> None:
    assert "TIG" in PROCESSES["141"]
    published(ISO_4063, sorted(PROCESSES), ["111", "135", "136", "141"], kind="memory")


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"title": None}, "title", "Say what it is for."),
        ({"title": "x" * 121}, "title", "This has more than 120 characters."),
        ({"title": "a\x00b"}, "title", "This is text."),
        ({"qualified_by": " "}, "qualified_by", "Name the record"),
        ({"process": "TIG"}, "process", "This is one of: 141,"),
        ({"kinds": []}, "kinds", "Choose at least one."),
        ({"kinds": ["snout", "spoke"]}, "kinds", "“spoke” is not one of"),
        ({"grades_a": None}, "grades_a", "Name the steels"),
        ({"thickness": {"least": "0.5", "most": "0.25"}}, "thickness/least", "is above the most, 0.25"),
        ({"thickness": {"most": "13"}}, "thickness/most", "between 0 and 12"),
        ({"volts": {"least": "12v"}}, "volts/least", "is no number"),
        ({"volts": {"least": "-1"}}, "volts/least", "between 0 and 100"),
        ({"volts": "12"}, "volts", "an object with least and most"),
        ({"amps": {"least": 0.1, "more": "1"}}, "amps/more", "no such field"),
        ({"travel": {"least": "3", "most": "4"}}, "travel/unit", "say the unit, one of in/min, mm/min, mm/s"),
        ({"travel": {"least": "3", "unit": "mph"}}, "travel/unit", "say the unit"),
        ({"heat_input": {"least": "27", "unit": "J/in"}}, "heat_input/unit", "one of kJ/in, kJ/mm"),
        ({"heat_basis": None}, "heat_basis", "one of arc, net"),
        ({"heat_basis": "net"}, "efficiency", "0.6 for TIG"),
        ({"efficiency": "0.6"}, "efficiency", "Arc energy counts whole"),
        ({"heat_basis": "net", "efficiency": "1.2"}, "efficiency", "between 0.01 and 1."),
        ({"heat_basis": "net", "efficiency": "0"}, "efficiency", "between 0.01 and 1."),
        ({"positions": ["6G"]}, "positions", "is not one of: PA, PB"),
        ({"positions": None}, "positions", "Choose at least one."),
        ({"gas": "argon"}, "gas", "by ISO 14175"),
        ({"gas": None}, "gas", "TIG needs its shielding gas."),
        ({"gas": "M21"}, "gas", "TIG (141) is welded under a gas of group I or R."),
        ({"process": "135"}, "gas", "MAG, solid wire (135) is welded under a gas of group M or C."),
        ({"process": "111"}, "gas", "A stick burns without shielding gas."),
        ({"purge": "I9"}, "purge", "by ISO 14175"),
        ({"temperature_unit": "K"}, "temperature_unit", "one of: F, C"),
        ({"interpass_greatest": "250"}, "interpass_greatest", "250 has to lie above the preheat, 250"),
        ({"interpass_greatest": "200"}, "interpass_greatest", "above the preheat"),
        ({"temperature_unit": "C", "preheat_least": "500"}, "preheat_least", "between -40 and 480 °C"),
        ({"preheat_least": "warm"}, "preheat_least", "is no number"),
        ({"measured_at": "somewhere"}, "measured_at", "stop, beside, away"),
        ({"passes": {"least": "7.5"}}, "passes/least", "this is a whole number"),
        ({"passes": {"least": "0"}}, "passes/least", "at least one pass"),
        ({"fit_up": {"gap": {"least": "0.2", "most": "0.1"}}}, "fit_up/gap/least", "is above the most"),
        ({"fit_up": {"chamfer": {"most": "1"}}}, "fit_up/chamfer", "There is no field"),
        ({"fit_up": {"bevel": {"most": "95"}}}, "fit_up/bevel/most", "between 0 and 90"),
        ({"fit_up": "60"}, "fit_up", "an object"),
        ({"looks_after": [0]}, "looks_after", "from 1 on"),
        ({"looks_after": ["root"]}, "looks_after", "no whole number"),
        ({"looks_after": [10]}, "looks_after", "Nothing is welded after pass 10"),
        ({"waiting_hours": "-1"}, "waiting_hours", "between 0 and 240 hours"),
        ({"cold_below": None}, "cold_below", "below which temperature"),
        ({"hydrogen_ml": "0"}, "hydrogen_ml", "between 0.1 and 50"),
        ({"level": "A"}, "level", "one of: B, C, D"),
        ({"for_repair": "yes"}, "for_repair", "yes or no"),
        ({"color": "red"}, "color", "no field “color”"),
    ],
)
def test_each_wrong_field_is_said(changes: dict[str, Any], field: str, says: str) -> None:
    found = problems(**changes)
    assert list(found) == [field]
    assert says in found[field] and found[field].endswith(".")


def test_a_heat_input_that_the_other_limits_never_give_is_said() -> None:
    # 13 V, 200 A, 3 in/min: 52 kJ/in (60 V A / travel; ASME IX, QW-409.1).
    found = problems(heat_input={"least": "60", "most": "70", "unit": "kJ/in"})
    assert found == {
        "heat_input": "Heat input: with these volts, amps and travel it is 27.00 to 52.00 kJ/in, "
        "outside its own limits."
    }
    # The same limits meant net of TIG's 0.6: 16.2 to 31.2 kJ/in.
    net = {"heat_basis": "net", "efficiency": "0.6"}
    assert "16.20 to 31.20" in problems(heat_input={"least": "40", "unit": "kJ/in"}, **net)["heat_input"]
    assert problems(heat_input={"least": "16", "most": "32", "unit": "kJ/in"}, **net) == {}
    # Exactly at the limit is inside it, though an inch a minute is no finite number of mm a second.
    exact = {"volts": {"least": "13", "most": "13"}, "amps": {"least": "200", "most": "200"}}
    exact["travel"] = {"least": "3", "most": "3", "unit": "in/min"}
    assert problems(heat_input={"least": "52", "most": "52", "unit": "kJ/in"}, **exact) == {}
    assert (
        "it is 52.00 to 52.00"
        in problems(heat_input={"most": "51.99", "unit": "kJ/in"}, **exact)["heat_input"]
    )
    assert problems(heat_input={"least": "0.63", "most": "1.23", "unit": "kJ/mm"}, **net) == {}


@pytest.mark.parametrize("gas", ["I1", "ISO 14175 - I1 - Ar", "ISO 14175:2008 - I3 - ArHe - 30", "R1", "Z"])
def test_gases_for_tig(gas: str) -> None:
    assert problems(gas=gas) == {}


@pytest.mark.parametrize("data", [None, [], "procedure", 7, {}])
def test_what_is_no_procedure_is_refused_whole(data: object) -> None:
    tidy, found = read_procedure(data)
    assert tidy == {} and {"title", "process", "kinds"} <= {problem.field for problem in found}


def test_figures_stay_as_typed_with_a_point() -> None:
    tidy, found = read_procedure(
        {**SNOUT, "volts": {"least": "12,0", "most": 13}, "looks_after": ["3", 1, 1]}
    )
    assert found == ()
    assert tidy["volts"] == {"least": "12.0", "most": "13"} and tidy["looks_after"] == [1, 3]


def test_ranges_in_words() -> None:
    said = [Range(Decimal("27"), Decimal("52"), "kJ/in"), Range(None, Decimal("0.031")), Range(Decimal(7))]
    assert [one.words() for one in said] == ["27 to 52 kJ/in", "at most 0.031", "at least 7"]
    assert Range().words() == "" and Range(Decimal("0.5"), Decimal("0.5")).words("in") == "0.5 in"


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=True) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=8,
)


@given(st.dictionaries(st.sampled_from([*SNOUT, "color"]), JSON, max_size=6))
def test_anything_is_read_or_refused_with_sentences(data: dict[str, Any]) -> None:
    _tidy, found = read_procedure({**SNOUT, **data})
    assert all(problem.sentence.endswith(".") and "\n" not in problem.sentence for problem in found)
