"""What a welder's standing does at the bench, and what passes on record do for it."""

from __future__ import annotations

import datetime

import pytest

from housings.models import Housing, WeldPass
from housings.operations.welders import answer_welder_doubt, doubt_welder
from housings.welder_rules import WELDER_QUALIFIED
from housings.welder_standing import standing_of, welded_by
from shopqc import ledger
from tests.at_the_gate import refused
from tests.factories import AT, Floor
from tests.housings.at_a_joint import ROSETTES, begin, done, take_back, use
from tests.housings.conftest import SignedIn
from tests.housings.welding_people import publish, qualify


@pytest.fixture
def bench(floor: Floor) -> Housing:
    """A housing at the snout bench, with every joint's procedure."""
    publish(floor)
    return floor.housing(until="snouts")


def alive(floor: Floor, at: datetime.datetime = AT) -> datetime.date | None:
    return standing_of(floor.person("W1"), at).alive_until("141", at.date(), 6)


def test_the_rule_refuses_the_arc_and_the_pass(floor: Floor, bench: Housing) -> None:
    use(floor, WELDER_QUALIFIED)
    with refused("welder_not_qualified"):
        begin(floor, bench, 1)
    with refused("welder_not_qualified"):
        done(floor, bench, 1)
    qualify(floor, tested=400)
    with refused("welder_out_of_continuity"):
        done(floor, bench, 1)
    assert not WeldPass.objects.exists()
    qualify(floor, reference="renewed", tested=10)
    done(floor, bench, 1)
    assert WeldPass.objects.get().welder.stamp == "W1"


def test_with_the_rule_off_a_doubt_still_stops_the_next_pass(floor: Floor, bench: Housing) -> None:
    done(floor, bench, 1)
    doubt = floor.do(doubt_welder, by="Q1", stamp="W1", why="Undercut on both sides.")["doubt"]
    with refused("welder_doubted"):
        done(floor, bench, 2)
    done(floor, bench, 2, by="M1")
    floor.do(answer_welder_doubt, by="Q1", doubt=doubt, answer="Looked at again: within level B.")
    done(floor, bench, 3)
    assert ledger.verify().faults == ()


def test_a_recorded_pass_is_a_use_of_its_process(floor: Floor, bench: Housing) -> None:
    qualify(floor, tested=170)
    assert alive(floor) == datetime.date(2026, 5, 15)
    done(floor, bench, 1)
    assert alive(floor) == datetime.date(2026, 11, 4)
    # Wire is another process; TIG at the snout does nothing for it.
    assert standing_of(floor.person("W1"), AT).last_use("135", AT.date()) is None
    # Somebody else's pass is no use of one's own.
    assert standing_of(floor.person("M1"), AT).last_use("141", AT.date()) is None


def test_a_pass_that_was_taken_back_never_was(floor: Floor, bench: Housing) -> None:
    qualify(floor, tested=170)
    done(floor, bench, 1)
    take_back(floor, bench, 1)
    assert alive(floor) == datetime.date(2026, 5, 15)


def test_a_pass_later_than_the_moment_that_is_asked_about_does_not_count(
    floor: Floor, bench: Housing
) -> None:
    qualify(floor, tested=170)
    done(floor, bench, 1)
    assert alive(floor, AT - datetime.timedelta(days=1)) == datetime.date(2026, 5, 15)


def test_counted_welds_are_asked_for_the_same(floor: Floor, bench: Housing) -> None:
    use(floor, WELDER_QUALIFIED)
    qualify(floor, ranges={"joints": ["groove"]})
    with refused("welder_out_of_range"):
        done(floor, bench, 1, joint=ROSETTES)
    done(floor, bench, 1)
    assert WeldPass.objects.count() == 1


def test_from_a_welder_to_the_housings_they_welded(floor: Floor, bench: Housing, signed_in: SignedIn) -> None:
    done(floor, bench, 1)
    done(floor, bench, 2, by="M1")
    done(floor, bench, 3)
    other = floor.housing(until="snouts")
    done(floor, other, 1)
    take_back(floor, other, 1)
    assert list(welded_by(floor.person("W1"))) == [
        {"housing__serial": bench.serial, "passes": 2, "last": AT},
    ]
    lead = signed_in("Q1")
    lead.get("/welders/W1/")
    assert "2 weld passes, the last 4 May 2026" in lead.page.text
    assert f"/h/{bench.serial}/weld/" in lead.page.links and f"/h/{other.serial}/weld/" not in lead.page.links
    assert lead.get(f"/h/{bench.serial}/weld/").status_code == 200
