"""Steel is received, cut, and put into the parts that may be made of it."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from housings.models import Heat, Housing, MaterialUse, Piece
from housings.operations.materials import change_heat, cut_piece, receive_heat
from housings.operations.recalls import recall_heat
from housings.operations.visits import leave_station
from inspections.operations.nonconformances import dispose, raise_nonconformance
from shopqc import ledger
from shopqc.files import store
from shopqc.operations.shop import switch_rule
from shopqc.refusals import Refused
from tests.factories import LINKS_SPEC, Floor
from tests.housings.steel import COMPOSITION, heat, now_of, steel_of, use, usual_heats


@pytest.fixture
def housing(floor: Floor) -> Housing:
    usual_heats(floor)
    return floor.housing(until="jig")


def codes(floor: Floor, housing: Housing, *materials: dict[str, Any]) -> list[tuple[str, str | None]]:
    """What a use is refused for, with the place of each reason; nothing of it may stay."""
    before = MaterialUse.objects.count()
    with pytest.raises(Refused) as refused:
        use(floor, housing, *materials)
    assert MaterialUse.objects.count() == before
    assert all("%(" not in sentence for sentence in refused.value.sentences)
    return [(reason.code, reason.field) for reason in refused.value.reasons]


def test_a_heat_is_found_however_it_is_typed(floor: Floor) -> None:
    answer = floor.do(receive_heat, by="W1", number=" h 41-a ", kind="steel", grade="4130", composition={})
    assert answer == {"heat": "H41-A"}
    with pytest.raises(Refused) as refused:
        floor.do(receive_heat, by="W1", number="H41-a", kind="steel", grade="4130")
    assert [reason.code for reason in refused.value.reasons] == ["heat_exists"]
    assert Heat.objects.count() == 1 and ledger.verify().faults == ()


@pytest.mark.parametrize(
    ("given", "code", "field"),
    [
        ({"number": ""}, "heat_number_wrong", "/number"),
        ({"number": "A/1"}, "heat_number_wrong", "/number"),
        ({"number": "ЖЖ"}, "heat_number_wrong", "/number"),
        ({"number": "x" * 41}, "heat_number_wrong", "/number"),
        ({"kind": "wood"}, "heat_kind_unknown", "/kind"),
        ({"grade": " "}, "field_missing", "/grade"),
        ({"grade": "4" * 41}, "too_long", "/grade"),
        ({"form": "coil"}, "heat_form_unknown", "/form"),
        ({"certificate_type": "3.3"}, "certificate_type_unknown", "/certificate_type"),
        ({"certificate": "0" * 64}, "document_not_filed", "/certificate"),
        ({"composition": {"C": "60", "Fe": "60"}}, "composition_wrong", "/composition"),
        ({"composition": {"C": "0.3", "Xx": "1"}}, "composition_wrong", "/composition"),
        ({"composition": {"C": "1e5"}}, "composition_wrong", "/composition"),
        ({"kind": "gas", "composition": {"C": "1"}}, "composition_wrong", "/composition"),
    ],
)
def test_what_is_wrong_with_a_heat_is_said(
    floor: Floor, given: dict[str, Any], code: str, field: str
) -> None:
    with pytest.raises(Refused) as refused:
        floor.do(receive_heat, by="W1", **{"number": "H1", "kind": "steel", "grade": "4130", **given})
    assert [(reason.code, reason.field) for reason in refused.value.reasons] == [(code, field)]
    assert not Heat.objects.exists()


def test_each_part_is_recorded_at_the_station_that_joins_it(floor: Floor, housing: Housing) -> None:
    use(floor, housing, *steel_of(housing, "jig"))
    assert now_of(housing) == {"tube_left": "T-4130", "tube_right": "T-4130", "center_plate": "P-4130"}
    assert {one.visit.station for one in MaterialUse.objects.select_related("visit")} == {"jig"}
    assert codes(floor, housing, *steel_of(housing, "snouts")) == [
        ("material_too_early", "/materials/0/part"),
        ("material_too_early", "/materials/1/part"),
    ]
    assert ledger.verify().faults == ()


@pytest.mark.parametrize(
    ("made_of", "code"),
    [
        # Plain carbon tube bends too easily and is refused: common practice, no source.
        ({"grade": "1020", "condition": "normalised", "form": "tube"}, "steel_plain_carbon"),
        ({"grade": "4140", "condition": "normalised", "form": "tube"}, "steel_other_grade"),
        ({"grade": "4130", "condition": "annealed", "form": "tube"}, "steel_other_condition"),
        ({"grade": "4130", "form": "tube"}, "steel_condition_unknown"),
        ({"grade": "4130", "condition": "normalised", "form": "plate"}, "heat_other_form"),
        ({"grade": "ER80S-D2", "kind": "filler"}, "heat_other_kind"),
        ({"grade": "I1", "kind": "gas"}, "heat_other_kind"),
    ],
)
def test_wrong_steel_is_refused_by_grade_and_condition(
    floor: Floor, housing: Housing, made_of: dict[str, str], code: str
) -> None:
    heat(floor, "X-1", **made_of)
    assert codes(floor, housing, {"part": "tube_left", "heat": "X-1"}) == [(code, "/materials/0/heat")]


def test_a_grade_is_the_same_in_any_writing(floor: Floor, housing: Housing) -> None:
    heat(floor, "N-1", grade="4130", condition="Normalised ", form="tube")
    use(floor, housing, {"part": "tube_left", "heat": " n-1"})
    assert now_of(housing) == {"tube_left": "N-1"}


def test_what_is_sent_wrong_is_said_of_each_part(floor: Floor, housing: Housing) -> None:
    assert codes(
        floor,
        housing,
        {"part": "wing", "heat": "T-4130"},
        {"part": "tube_left"},
        {"part": "tube_right", "heat": "T-4130", "piece": "P"},
        {"part": "center_plate", "piece": "NONE"},
        {"part": "center_plate", "heat": "P-4130"},
    ) == [
        ("part_unknown", "/materials/0/part"),
        ("heat_or_piece", "/materials/1/heat"),
        ("heat_or_piece", "/materials/2/heat"),
        ("not_found", "/materials/3/piece"),
        ("part_twice", "/materials/4/part"),
    ]
    assert codes(floor, housing, {"part": "tube_left", "heat": "NONE"}) == [
        ("not_found", "/materials/0/heat")
    ]
    assert codes(floor, housing) == [("materials_number", "/materials")]
    many = [{"part": "tube_left", "heat": "T-4130"}] * 41
    assert codes(floor, housing, *many) == [("materials_number", "/materials")]


def test_a_correction_names_what_it_replaces_and_says_why(floor: Floor, housing: Housing) -> None:
    heat(floor, "T-2", condition="normalised", form="tube")
    first = use(floor, housing, {"part": "tube_left", "heat": "T-4130"})["materials"][0]["id"]
    again = {"part": "tube_left", "heat": "T-2"}
    assert codes(floor, housing, again) == [("material_known", "/materials/0/part")]
    assert codes(floor, housing, {**again, "replaces": first}) == [("reason_needed", "/materials/0/why")]
    same = {"part": "tube_left", "heat": "T-4130", "replaces": first, "why": "Again."}
    assert codes(floor, housing, same) == [("material_known", "/materials/0/part")]
    second = use(floor, housing, {**again, "replaces": first, "why": "The label of the next tube."})
    assert now_of(housing) == {"tube_left": "T-2"} and MaterialUse.objects.count() == 2
    late = {"part": "tube_left", "heat": "T-4130", "replaces": first, "why": "No."}
    assert codes(floor, housing, late) == [("changed_meanwhile", "/materials/0/replaces")]
    assert second["materials"][0]["replaces"] == first


def test_steel_recorded_after_its_station_says_why(floor: Floor) -> None:
    usual_heats(floor)
    housing = floor.housing(until="truss")
    left = {"part": "tube_left", "heat": "T-4130"}
    assert codes(floor, housing, left) == [("late_why", "/materials/0/why")]
    use(floor, housing, {**left, "why": "The scanner was flat."})
    assert MaterialUse.objects.get().visit.station == "jig"


def test_a_piece_needs_its_number_copied_and_goes_into_one_part(floor: Floor, housing: Housing) -> None:
    cut = {"heat": "T-4130", "code": "t-4130-1", "what": "Left tube"}
    with pytest.raises(Refused) as refused:
        floor.do(cut_piece, by="W1", **cut, number_copied=False)
    assert [reason.code for reason in refused.value.reasons] == ["number_not_copied"]
    floor.do(cut_piece, by="W1", **cut, number_copied=True)
    with pytest.raises(Refused) as refused:
        floor.do(cut_piece, by="W1", **cut, number_copied=True)
    assert [reason.code for reason in refused.value.reasons] == ["code_taken"]
    with pytest.raises(Refused) as refused:
        floor.do(receive_heat, by="W1", number="T-4130-1", kind="steel", grade="4130")
    assert [reason.code for reason in refused.value.reasons] == ["code_taken"]
    left, right = {"part": "tube_left", "piece": "t-4130-1"}, {"part": "tube_right", "piece": "T-4130-1"}
    assert codes(floor, housing, left, right) == [("piece_used", "/materials/1/piece")]
    first = use(floor, housing, left)["materials"][0]
    assert (first["heat"], first["piece"]) == ("T-4130", "T-4130-1")
    other = floor.housing(until="jig")
    assert codes(floor, other, right) == [("piece_used", "/materials/0/piece")]
    # Taken out again, it is free.
    use(
        floor,
        housing,
        {"part": "tube_left", "heat": "T-4130", "replaces": first["id"], "why": "The other length."},
    )
    use(floor, other, right)


def test_a_piece_is_cut_from_a_piece_of_its_own_heat(floor: Floor, housing: Housing) -> None:
    floor.do(cut_piece, by="W1", heat="T-4130", code="T-A", what="Half a length", number_copied=True)
    half = {"code": "T-B", "what": "Left tube", "number_copied": True, "cut_from": "t-a"}
    floor.do(cut_piece, by="W1", heat="T-4130", **half)
    assert Piece.objects.get(code="T-B").cut_from == Piece.objects.get(code="T-A")
    for source, code in (("T-A", "piece_of_other"), ("NONE", "not_found")):
        with pytest.raises(Refused) as refused:
            floor.do(cut_piece, by="W1", heat="P-4130", **{**half, "code": "P-B", "cut_from": source})
        assert [(one.code, one.field) for one in refused.value.reasons] == [(code, "/cut_from")]


def test_what_a_heat_is_made_into_keeps_its_grade(floor: Floor, housing: Housing) -> None:
    use(floor, housing, {"part": "tube_left", "heat": "T-4130"})
    floor.do(
        change_heat, by="Q1", heat="T-4130", changes={"supplier": "Lowland Tube", "certificate_type": "3.1"}
    )
    with pytest.raises(Refused) as refused:
        floor.do(change_heat, by="Q1", heat="T-4130", changes={"grade": "1020"})
    assert [reason.code for reason in refused.value.reasons] == ["heat_used_as"]
    assert housing.serial in refused.value.sentences[0]
    floor.do(recall_heat, by="Q1", heat="T-4130", why="The mill sent another grade.")
    floor.do(change_heat, by="Q1", heat="T-4130", changes={"grade": "1020"})
    assert Heat.objects.get(number="T-4130").grade == "1020"


def test_a_change_that_somebody_overtook_is_refused(floor: Floor, housing: Housing) -> None:
    seen = Heat.objects.get(number="P-4130").record_position
    floor.do(change_heat, by="Q1", heat="P-4130", changes={"size": "1/2 in"}, seen_position=seen)
    with pytest.raises(Refused) as refused:
        floor.do(change_heat, by="Q1", heat="P-4130", changes={"size": "3/8 in"}, seen_position=seen)
    assert [reason.code for reason in refused.value.reasons] == ["changed_meanwhile"]
    with pytest.raises(Refused) as refused:
        floor.do(change_heat, by="Q1", heat="P-4130", changes={"number": "X"})
    assert [reason.code for reason in refused.value.reasons] == ["field_unknown"]


def test_with_the_rule_a_station_is_left_only_with_its_steel(floor: Floor, housing: Housing) -> None:
    floor.measure_due(housing, "jig")
    floor.do(switch_rule, by="O1", rule="steel_traced", in_use=True)

    def leave() -> list[str]:
        with pytest.raises(Refused) as refused:
            floor.do(leave_station, by="W1", housing=housing.serial, station="jig")
        return refused.value.sentences

    assert leave() == [
        "The steel of Left tube is not recorded.",
        "The steel of Right tube is not recorded.",
        "The steel of Plate of the center section is not recorded.",
    ]
    use(floor, housing, *steel_of(housing, "jig")[1:])
    assert leave() == ["The steel of Left tube is not recorded."]
    use(floor, housing, *steel_of(housing, "jig")[:1])
    floor.do(leave_station, by="W1", housing=housing.serial, station="jig")


def test_a_shop_without_the_rule_leaves_without_steel(floor: Floor) -> None:
    housing = floor.housing(until="measured", spec=LINKS_SPEC)
    assert not MaterialUse.objects.filter(housing=housing).exists()


def test_a_composition_is_kept_as_typed_with_a_point(floor: Floor) -> None:
    row = heat(floor, "H-1", composition={**COMPOSITION, "Mn": "0,50"})
    assert row.composition == {**COMPOSITION, "Mn": "0.50"}


def accept(floor: Floor, housing: Housing, **when: Any) -> None:
    """Wrong steel is found, and an engineer decides with the customer's concession to use it."""
    found = {"housing": housing.serial, "what": "Other steel.", "defect": "wrong_steel", **when}
    number = floor.do(raise_nonconformance, by="W1", **found)["nonconformance"]
    decision = {"decision": "use_as_is", "reason": "Looked at.", "concession": store(b"%PDF-1.4 agreed")}
    floor.do(dispose, by="E1", housing=housing.serial, nonconformance=number, **decision, **when)


def test_wrong_steel_goes_on_record_only_once_a_decision_has_accepted_it(
    floor: Floor, housing: Housing
) -> None:
    heat(floor, "X-2", grade="4140", condition="normalised", form="tube")
    floor.do(switch_rule, by="O1", rule="steel_traced", in_use=True)
    built_in = {"part": "tube_left", "heat": "X-2", "why": "It was welded in before anybody saw."}
    assert codes(floor, housing, built_in) == [("steel_other_grade", "/materials/0/heat")]
    accept(floor, housing)
    assert codes(floor, housing, {**built_in, "why": " "}) == [("steel_other_grade", "/materials/0/heat")]
    use(floor, housing, built_in, *steel_of(housing, "jig")[1:])
    floor.measure_due(housing, "jig")
    floor.do(leave_station, by="W1", housing=housing.serial, station="jig")
    assert now_of(housing)["tube_left"] == "X-2" and ledger.verify().faults == ()


def test_what_was_accepted_before_a_recall_does_not_count_for_it(floor: Floor, housing: Housing) -> None:
    use(floor, housing, *steel_of(housing, "jig"))
    floor.measure_due(housing, "jig")

    hour = datetime.timedelta(hours=1)
    accept(floor, housing)
    floor.do(recall_heat, by="Q1", heat="T-4130", why="The mill called.", hold=False, at=floor.at + hour)
    with pytest.raises(Refused) as refused:
        floor.do(leave_station, by="W1", housing=housing.serial, station="jig")
    assert [reason.code for reason in refused.value.reasons] == ["recalled_inside"] * 2
    accept(floor, housing, at=floor.at + 2 * hour)
    floor.do(leave_station, by="W1", housing=housing.serial, station="jig")
