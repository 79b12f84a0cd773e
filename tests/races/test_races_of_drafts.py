"""Two at once at drafts, slips, suppliers and the way of a housing, on real transactions."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.utils import timezone

from housings.engineering.route_rules import long_route
from housings.models import Away, Housing, RouteDraft, RouteRevision, Visit, WorkDone
from housings.operations.routes import publish_route
from housings.operations.suppliers import back_from_supplier, send_to_supplier
from housings.operations.taking_back import undo_arrival, undo_leaving
from housings.operations.visits import arrive, leave_station, record_work_done
from inspections.operations.extra_visits import add_visit, drop_visit
from shopqc import drafts
from tests.factories import Floor
from tests.harness.overlap import Meeting
from tests.harness.threads import at_once
from tests.races.test_races import agreed, at_the_same_time, codes, meeting

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def floor(transactional_db: None) -> Floor:
    return Floor()


@pytest.fixture
def furnace(floor: Floor) -> Housing:
    floor.do(publish_route, name="standard", stations=[{"station": code} for code in long_route(False)])
    return floor.housing(until="stress_relief")


def a_draft(floor: Floor) -> RouteDraft:
    source = RouteRevision.objects.get()
    made: RouteDraft = drafts.begin(
        RouteDraft,
        by=floor.actor("Q1"),
        at=floor.at,
        copied_from=source,
        name="standard",
        stations=source.stations,
        note="",
    )
    return made


def test_of_two_who_keep_the_same_version_one_is_told(floor: Floor) -> None:
    draft = a_draft(floor)

    def keep(stamp: str) -> Callable[[], object]:
        return lambda: drafts.keep(
            RouteDraft, draft.pk, 1, by=floor.actor(stamp), at=timezone.now(), note=f"Typed by {stamp}."
        )

    outcomes = at_the_same_time(keep("Q1"), keep("E1"), before=meeting("housings_routedraft"))
    assert sorted(bool(outcome.value) for outcome in outcomes) == [False, True]
    draft.refresh_from_db()
    assert draft.version == 2 and draft.note == f"Typed by {draft.kept_by}."


def test_a_draft_is_published_once(floor: Floor) -> None:
    draft = a_draft(floor)

    def publish(stamp: str) -> Callable[[], object]:
        return lambda: floor.do(
            publish_route,
            by=stamp,
            name="standard",
            stations=draft.stations,
            draft=draft.pk,
            version=draft.version,
        )

    outcomes = at_the_same_time(
        publish("Q1"), publish("E1"), before=Meeting('DELETE FROM "housings_routedraft"', patience=0.7)
    )
    assert codes(outcomes) == ["", "draft_gone"]
    assert sorted(RouteRevision.objects.values_list("number", flat=True)) == [1, 2]
    agreed()


def test_publishing_and_keeping_at_once_publish_what_was_seen_or_nothing(floor: Floor) -> None:
    draft = a_draft(floor)
    outcomes = at_once(
        lambda: floor.do(
            publish_route,
            by="Q1",
            name="standard",
            stations=draft.stations,
            draft=draft.pk,
            version=1,
        ),
        lambda: drafts.keep(
            RouteDraft, draft.pk, 1, by=floor.actor("E1"), at=timezone.now(), note="Wait for me."
        ),
    )
    published = RouteRevision.objects.filter(number=2).exists()
    # Either it was published and the keeping is told, or it was kept and the publishing is refused.
    assert outcomes[1].value is (not published)
    assert RouteDraft.objects.exists() is (not published)
    assert codes(outcomes[:1]) == ([""] if published else ["changed_meanwhile"])
    agreed()


def test_of_two_who_take_an_arrival_back_one_does(floor: Floor) -> None:
    housing = floor.housing(until="jig")

    def back(stamp: str) -> Callable[[], object]:
        return lambda: floor.do(undo_arrival, by=stamp, housing=housing.serial, station="jig")

    outcomes = at_the_same_time(back("W1"), back("Q1"), before=meeting("housings_visit"))
    assert codes(outcomes) == ["", "not_here"]
    housing.refresh_from_db()
    assert housing.state == "released"
    agreed()


def test_a_leaving_taken_back_and_the_next_arrival_do_not_pass_each_other(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    floor.measure_due(housing, "jig")
    floor.do(leave_station, by="W1", housing=housing.serial, station="jig")
    outcomes = at_the_same_time(
        lambda: floor.do(undo_leaving, by="W1", housing=housing.serial, station="jig"),
        lambda: floor.do(arrive, by="M1", housing=housing.serial, station="tack"),
        before=meeting("housings_visit"),
    )
    here = Visit.objects.get(housing=housing, state="here").station
    assert codes(outcomes) == (["", "is_elsewhere"] if here == "jig" else ["", "recorded_since"])
    agreed()


def test_it_is_sent_once(floor: Floor, furnace: Housing) -> None:
    def send(stamp: str) -> Callable[[], object]:
        return lambda: floor.do(
            send_to_supplier,
            by=stamp,
            housing=furnace.serial,
            station="stress_relief",
            supplier=f"Furnace of {stamp}",
        )

    outcomes = at_the_same_time(
        send("W1"), send("M1"), before=Meeting('INSERT INTO "housings_away"', patience=0.7)
    )
    assert codes(outcomes) == ["", "away_at_supplier"]
    assert Away.objects.count() == 1
    outcomes = at_the_same_time(
        *(
            lambda stamp=stamp: floor.do(
                back_from_supplier, by=stamp, housing=furnace.serial, condition="Fine."
            )
            for stamp in ("W1", "M1")
        ),
        before=meeting("housings_away"),
    )
    assert codes(outcomes) == ["", "not_away"]
    assert WorkDone.objects.filter(station="stress_relief").count() == 1
    agreed()


def test_sending_out_and_working_here_do_not_both_happen_unseen(floor: Floor, furnace: Housing) -> None:
    outcomes = at_the_same_time(
        lambda: floor.do(
            send_to_supplier, by="W1", housing=furnace.serial, station="stress_relief", supplier="Kiln"
        ),
        lambda: floor.do(record_work_done, by="M1", housing=furnace.serial, station="stress_relief"),
        before=meeting("housings_housing"),
    )
    worked = WorkDone.objects.filter(station="stress_relief").exists()
    # Work here first and sent after it, or sent and the work refused; never work while it is away.
    assert codes(outcomes) == (["", ""] if worked else ["", "away_at_supplier"])
    agreed()


def test_dropping_a_visit_and_arriving_there_do_not_pass_each_other(floor: Floor) -> None:
    housing = floor.housing(until="measured")
    added = floor.do(add_visit, by="Q1", housing=housing.serial, station="straighten", why="Asked for.")[
        "visits"
    ][0]["visit"]
    outcomes = at_the_same_time(
        lambda: floor.do(drop_visit, by="Q1", housing=housing.serial, visit=added, why="Not needed."),
        lambda: floor.do(arrive, by="W1", housing=housing.serial, station="straighten"),
        before=meeting("housings_visit"),
    )
    state = Visit.objects.get(housing=housing, number=added).state
    expected = ["", "not_ahead"] if state == "here" else ["", "nothing_ahead"]
    assert codes(outcomes) == expected
    agreed()


def test_two_extra_stations_at_once_get_places_of_their_own(floor: Floor) -> None:
    housing = floor.housing(until="jig")

    def add(station: str) -> Callable[[], object]:
        return lambda: floor.do(add_visit, by="Q1", housing=housing.serial, station=station, why="Asked for.")

    outcomes = at_the_same_time(add("straighten"), add("coat"), before=meeting("housings_visit"))
    assert codes(outcomes) == ["", ""]
    places = list(Visit.objects.filter(housing=housing).values_list("sequence", flat=True))
    assert len(set(places)) == len(places)
    agreed()
