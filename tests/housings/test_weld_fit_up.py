"""The fit-up before the root, who tacked it, how the machine is set, and with which filler and gas.

That bevel, land, gap, mismatch, cleanliness, preheat and purge are looked at before the root: common
practice, no source.
"""

from __future__ import annotations

import pytest

from housings.models import FitUp, Heat, Housing, JointSettings, WeldPass
from housings.operations.recalls import recall_heat
from housings.weld_rules import FIT_UP_ACCEPTED
from housings.welder_rules import WELDER_QUALIFIED
from inspections.models import Nonconformance
from shopqc import ledger
from tests.at_the_gate import refused
from tests.factories import Floor
from tests.housings import steel
from tests.housings.at_a_joint import (
    GOOD_FIT_UP,
    LEFT,
    ROSETTES,
    begin,
    done,
    each_pass,
    fit_up,
    later,
    settings,
    text,
    use,
)
from tests.housings.welding_people import qualify

FILLER, OTHER, GAS = "F-80SD2", "F-70S2", "AR-11"


@pytest.fixture
def bench(floor: Floor) -> Housing:
    floor.procedures()
    return floor.housing(until="snouts")


@pytest.fixture
def heats(floor: Floor) -> None:
    steel.heat(floor, FILLER, kind="filler", grade="ER80S-D2")
    steel.heat(floor, OTHER, kind="filler", grade="ER70S-2")
    steel.heat(floor, GAS, kind="gas", grade="ISO 14175 - I1 - Ar")
    steel.heat(floor, "P-1", grade="4130")


def test_the_root_waits_for_an_accepted_fit_up(floor: Floor, bench: Housing) -> None:
    use(floor, FIT_UP_ACCEPTED)
    with refused("fit_up_missing"):
        begin(floor, bench, 1)
    answer = fit_up(floor, bench, figures={**GOOD_FIT_UP, "gap": "0.2", "clean": "no"})
    assert (answer["accepted"], [one["code"] for one in answer["outside"]]) == (False, ["gap", "clean"])
    with refused("fit_up_refused"):
        begin(floor, bench, 1)
    # Put right and recorded again: the newest counts, and no nonconformance was opened.
    assert fit_up(floor, bench)["accepted"]
    begin(floor, bench, 1)
    done(floor, bench, 1)
    assert FitUp.objects.count() == 2
    assert not Nonconformance.objects.exists()
    with refused("fit_up_covered"):
        fit_up(floor, bench)
    # What is not welded in several passes has no such hold point.
    assert done(floor, bench, 1, joint=ROSETTES)["passes"] == [1]
    assert ledger.verify().faults == ()


def test_what_is_not_measured_is_not_accepted(floor: Floor, bench: Housing) -> None:
    answer = fit_up(floor, bench, figures={"clean": "yes", "purged": "yes", "preheated": "yes"})
    assert [one["code"] for one in answer["outside"]] == ["gap", "land", "mismatch", "bevel"]


def test_tacks_are_of_somebody_qualified_once_the_shop_asks(floor: Floor, bench: Housing) -> None:
    assert fit_up(floor, bench, tacked_by="")["accepted"]
    use(floor, WELDER_QUALIFIED)
    for stamp in ("", "W1"):
        answer = fit_up(floor, bench, tacked_by=stamp)
        assert [one["code"] for one in answer["outside"]] == ["tacker"], stamp
    qualify(floor, "W1")
    assert fit_up(floor, bench)["accepted"]
    with refused("not_found"):
        fit_up(floor, bench, tacked_by="ZZ")


def test_only_who_is_qualified_welds_once_the_shop_asks(floor: Floor, bench: Housing) -> None:
    use(floor, WELDER_QUALIFIED)
    with refused("welder_not_qualified"):
        begin(floor, bench, 1)
    qualify(floor, "M1")
    with refused("welder_not_qualified"):
        begin(floor, bench, 1)
    begin(floor, bench, 1, welder="M1")


@pytest.mark.parametrize(
    ("figures", "code"),
    [
        ({"gap": "wide"}, "weld_figure_wrong"),
        ({"clean": "maybe"}, "weld_figure_wrong"),
        ({"shine": "yes"}, "weld_figure_wrong"),
        ({"gap": "1", "length_unit": "ft"}, "weld_figure_wrong"),
    ],
)
def test_a_fit_up_that_cannot_be_is_refused(
    floor: Floor, bench: Housing, figures: dict[str, str], code: str
) -> None:
    with refused(code):
        fit_up(floor, bench, figures=figures)


def test_a_fit_up_has_its_time(floor: Floor, bench: Housing) -> None:
    fit_up(floor, bench)
    with refused("time_backwards"):
        fit_up(floor, bench, done_at=text(later(floor, -5)))
    with refused("weld_in_future"):
        fit_up(floor, bench, done_at=text(later(floor, 5)))


def test_filler_and_gas_are_named_once(floor: Floor, bench: Housing, heats: None) -> None:
    settings(floor, bench, filler=FILLER, gas=" ar-11 ")
    done(floor, bench, 1)
    done(floor, bench, 2, filler=OTHER)
    one, two = WeldPass.objects.select_related("filler", "gas").order_by("number")
    assert one.filler is not None
    assert two.filler is not None
    assert (one.filler.number, two.filler.number) == (FILLER, OTHER)
    assert one.gas == two.gas == Heat.objects.get(number=GAS)
    assert (one.outside, [found["code"] for found in two.outside]) == ([], ["filler"])
    # What is left out stays as it was said before.
    settings(floor, bench, figures={"amps": "170"})
    newest = JointSettings.objects.order_by("record_position").last()
    assert newest is not None
    assert (newest.filler, newest.figures["volts"]) == (one.filler, "12")


def test_settings_outside_are_said_at_once_and_open_nothing(
    floor: Floor, bench: Housing, heats: None
) -> None:
    answer = settings(floor, bench, figures={"amps": "230", "position": "PF"}, filler=OTHER)
    assert [one["code"] for one in answer["outside"]] == ["amps", "position", "filler"]
    assert not Nonconformance.objects.exists()
    assert [one["code"] for one in done(floor, bench, 1)["outside"]] == ["amps", "position", "filler"]


def test_what_is_no_filler_is_refused(floor: Floor, bench: Housing, heats: None) -> None:
    with refused("heat_other_kind"):
        settings(floor, bench, filler="P-1")
    with refused("heat_other_kind"):
        done(floor, bench, 1, gas=FILLER)
    with refused("not_found"):
        settings(floor, bench, filler="F-UNKNOWN")
    with refused("field_missing"):
        settings(floor, bench, figures={})


def test_a_recalled_filler_is_refused_even_where_the_settings_name_it(
    floor: Floor, bench: Housing, heats: None
) -> None:
    settings(floor, bench, filler=FILLER)
    floor.do(recall_heat, by="Q1", heat=FILLER, why="Wrong spool in the box.", hold=False)
    with refused("heat_recalled"):
        done(floor, bench, 1)
    with refused("heat_recalled"):
        done(floor, bench, 1, filler=FILLER)
    with refused("heat_recalled"):
        settings(floor, bench, filler=FILLER)
    steel.heat(floor, "F-2", kind="filler", grade="ER80S-D2")
    settings(floor, bench, filler="F-2")
    assert done(floor, bench, 1)["outside"] == []


def test_asking_for_every_pass_keeps_what_was_set(floor: Floor, bench: Housing, heats: None) -> None:
    settings(floor, bench, filler=FILLER)
    each_pass(floor, bench, "audit")
    newest = floor.joint(bench, LEFT).settings
    assert newest is not None
    assert (newest.each_pass, newest.figures["amps"]) == ("audit", "180")
    assert newest.filler is not None
    assert ledger.verify().faults == ()
