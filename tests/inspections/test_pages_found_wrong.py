"""A gauge found wrong, at a desk: looked at first, recorded then; the table, the labels, withdrawing."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from housings.models import Hold
from inspections.models import Calibration, Certificate, Gauge, IssueJob, ReadingDoubt
from inspections.operations.gauges import add_gauge
from inspections.tasks import issue_certificate
from tests.factories import GAUGE, OVERDUE, Floor
from tests.inspections.conftest import SignedIn
from tests.inspections.sending import form_of, send
from tests.inspections.wrong_caliper import CODE, at_jig, just_inside, shows, signed_with_caliper
from tests.visitor import Visitor


@pytest.fixture
def caliper(floor: Floor) -> Gauge:
    floor.do(add_gauge, by="Q1", code=CODE, kind="caliper", place="Bench 2")
    return Gauge.objects.get(code=CODE)


def test_what_changes_is_seen_before_it_is_recorded(
    floor: Floor, signed_in: SignedIn, caliper: Gauge
) -> None:
    housing = at_jig(floor)
    shows(floor, housing, just_inside(floor, housing))
    lead = signed_in("Q1")
    lead.get(f"/gauges/{caliper.pk}/wrong/")
    assert send(lead, error_offset="-0.0002", do="look").status_code == 200
    text = lead.page.text
    assert "1 verdict changes" in text and "1 reading since it was last found right was judged again." in text
    assert (housing.serial_grouped.split()[0] in text and "under" in text) or "%" in text
    assert not Calibration.objects.exists() and not Hold.objects.exists()
    assert send(lead, do="record").status_code == 302
    lead.follow()
    assert "These came out otherwise." in lead.page.text
    assert f"/h/{housing.serial}/problem/?characteristic=" in " ".join(lead.page.links)
    assert Hold.objects.get().housing == housing and ReadingDoubt.objects.count() == 1
    lead.get(f"/gauges/{caliper.pk}/")
    assert "withdrawn: Found wrong on" in lead.page.text and "1 reading judged again" in lead.page.text


def test_it_is_not_recorded_unseen_and_not_after_something_came_in(
    floor: Floor, signed_in: SignedIn, caliper: Gauge
) -> None:
    housing = at_jig(floor)
    shows(floor, housing, just_inside(floor, housing))
    lead = signed_in("Q1")
    lead.get(f"/gauges/{caliper.pk}/wrong/")
    # Without having looked, sending only shows.
    assert send(lead, error_offset="-0.0002", do="record").status_code == 200
    assert not Calibration.objects.exists()
    shows(floor, housing, just_inside(floor, housing))
    assert send(lead, do="record").status_code == 409
    assert "This changed while you looked at it." in lead.page.text
    assert "2 verdicts change" in lead.page.text and not Calibration.objects.exists()
    assert send(lead, do="record").status_code == 302
    assert ReadingDoubt.objects.count() == 2


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"error_offset": ""}, "Say by how much it reads wrong."),
        ({"error_offset": "a bit"}, "is no number"),
        ({"error_offset": "9" * 5000}, "is no number"),
        ({"error_scale": "2"}, "between -0.5 and 0.5"),
        ({"error_offset": "1", "done_on": "2031-01-01"}, "This lies in the future"),
        ({"error_offset": "1", "done_on": "1999-01-01"}, "before the year 2000"),
        ({"error_offset": "1", "done_on": "0001-01-01"}, "before the year 2000"),
        ({"error_offset": "1", "done_on": "9999-12-31"}, "This lies in the future"),
        ({"error_offset": "1", "done_on": "soon"}, "Write the day as year-month-day"),
    ],
)
def test_an_error_that_is_none_is_refused_beside_its_field(
    floor: Floor, signed_in: SignedIn, caliper: Gauge, typed: dict[str, str], says: str
) -> None:
    lead = signed_in("Q1")
    lead.get(f"/gauges/{caliper.pk}/wrong/")
    assert send(lead, **typed, do="look").status_code == 422
    assert says in lead.page.text
    assert not Calibration.objects.exists()


def test_a_certificate_goes_under_question_and_is_answered(
    floor: Floor, signed_in: SignedIn, caliper: Gauge
) -> None:
    housing = signed_with_caliper(floor)
    issue_certificate(IssueJob.objects.get().pk)
    certificate = Certificate.objects.get()
    lead, stranger = signed_in("Q1"), Visitor()
    lead.get(f"/gauges/{caliper.pk}/wrong/")
    send(lead, error_offset="-0.0002", do="look")
    send(lead, do="record")
    stranger.get(f"/c/{certificate.code}/")
    assert "Under question" in stranger.page.text and "Genuine" not in stranger.page.text
    assert CODE not in stranger.page.text
    assert stranger.get(f"/c/{certificate.code}/certificate.pdf").status_code == 302
    lead.get(f"/certificates/{certificate.number}/")
    assert "Under question" in lead.page.text and f"{CODE} was found wrong." in lead.page.text
    lead.get("/certificates/")
    assert f"{certificate.number} under question" in lead.page.text
    assert "These are under question and wait for an answer" in lead.page.text
    lead.get(f"/h/{housing.serial}/measured/")
    assert "its gauge was found wrong; corrected:" in lead.page.text
    lead.get(f"/certificates/{certificate.number}/")
    assert send(lead, "answer/", why="").status_code == 422
    assert send(lead, "answer/", why="Measured again with a comparator: inside.").status_code == 302
    stranger.get(f"/c/{certificate.code}/")
    assert "Genuine" in stranger.page.text and "Measured again with a comparator" in stranger.page.text
    assert lead.post(f"/certificates/{certificate.number}/answer/", {"why": "Once more."}).status_code == 409
    worker = signed_in("W1")
    assert worker.post(f"/certificates/{certificate.number}/answer/", {"why": "Me."}).status_code == 403
    lead.get("/certificates/")
    assert "wait for an answer" not in lead.page.text


def test_a_scanned_code_opens_its_gauge(signed_in: SignedIn, caliper: Gauge) -> None:
    worker = signed_in("W1")
    response = worker.get(f"/gauges/?find={CODE.lower()}")
    assert response.status_code == 302 and response["Location"] == f"/gauges/{caliper.pk}/"
    worker.get("/gauges/?find=bench")
    assert CODE in worker.page.text and OVERDUE not in worker.page.text
    worker.get("/gauges/?find=nothing%20like%20it")
    assert "Nothing on file is like that." in worker.page.text
    assert worker.get("/gauges/?find=%00").status_code == 400
    assert worker.get("/gauges/?kind=nonsense&stands=nonsense&page=x").status_code == 200


def test_the_table_is_narrowed_by_how_things_stand_and_what_they_are(
    signed_in: SignedIn, caliper: Gauge
) -> None:
    worker = signed_in("W1")
    worker.get("/gauges/?stands=overdue")
    assert OVERDUE in worker.page.text and CODE not in worker.page.text
    worker.get("/gauges/?stands=in_date&kind=caliper")
    assert CODE in worker.page.text and GAUGE not in worker.page.text
    worker.get(f"/gauges/{caliper.pk}/")
    assert send(worker, "withdraw/", why="Fell on the floor.").status_code == 302
    worker.get("/gauges/?stands=withdrawn")
    assert "withdrawn: Fell on the floor." in worker.page.text and OVERDUE not in worker.page.text


def test_it_is_withdrawn_by_a_worker_and_taken_back_by_the_qc_lead(
    signed_in: SignedIn, caliper: Gauge
) -> None:
    worker, lead = signed_in("W1"), signed_in("Q1")
    worker.get(f"/gauges/{caliper.pk}/")
    assert send(worker, "withdraw/", why="").status_code == 422
    assert "Say it in words." in worker.page.text
    assert send(worker, "withdraw/", why="Dropped.").status_code == 302
    assert worker.post(f"/gauges/{caliper.pk}/withdraw/", {"why": "Again."}).status_code == 409
    worker.get(f"/gauges/{caliper.pk}/")
    assert "Take it into use again" not in worker.page.text
    assert worker.post(f"/gauges/{caliper.pk}/return/", {"why": "Fine."}).status_code == 403
    lead.get(f"/gauges/{caliper.pk}/")
    assert send(lead, "return/", why="Compared with the master.").status_code == 302
    assert Gauge.objects.get(code=CODE).withdrawn_at is None


def test_kind_and_code_are_enough_and_a_bar_is_asked_for_its_figures(signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get("/gauges/new/")
    assert send(lead, kind="caliper", code="CAL-9").status_code == 302
    assert Gauge.objects.get(code="CAL-9").name == "Caliper"
    lead.get("/gauges/new/")
    response = send(lead, kind="bar", code="BAR-9")
    bar = Gauge.objects.get(code="BAR-9")
    assert response["Location"] == f"/gauges/{bar.pk}/change/"
    lead.follow()
    assert "Diameter of the bar" in lead.page.text
    assert send(lead, diameter="1.5", supports="27; -27").status_code == 422
    assert "two numbers, left and right" in lead.page.text
    assert send(lead, diameter="1.5", supports="-27; 27", ends="-36 36").status_code == 302
    bar.refresh_from_db()
    assert bar.constants == {
        "diameter": "1.5",
        "supports": ["-27", "27"],
        "ends": ["-36", "36"],
        "unit": "in",
    }
    lead.get(f"/gauges/{bar.pk}/")
    assert "-27; 27" in lead.page.text


def test_of_two_who_change_a_gauge_the_second_is_told(signed_in: SignedIn, caliper: Gauge) -> None:
    first, second = signed_in("Q1"), signed_in("1")
    for desk in (first, second):
        desk.get(f"/gauges/{caliper.pk}/change/")
    assert send(first, highest="6").status_code == 302
    assert send(second, place="Bench 9").status_code == 409
    assert "This changed while you looked at it." in second.page.text
    assert form_of(second).values["place"] == "Bench 9"
    caliper.refresh_from_db()
    assert (caliper.highest, caliper.place) == ("6", "Bench 2")


def test_what_it_was_used_for_is_listed(floor: Floor, signed_in: SignedIn, caliper: Gauge) -> None:
    worker = signed_in("W1")
    worker.get(f"/gauges/{caliper.pk}/used/")
    assert "Nothing was measured with it yet." in worker.page.text
    housing = at_jig(floor)
    shows(floor, housing, just_inside(floor, housing))
    worker.get(f"/gauges/{caliper.pk}/used/")
    assert f"/h/{housing.serial}/measured/" in worker.page.links


def test_labels_hold_the_code(signed_in: SignedIn, caliper: Gauge) -> None:
    worker = signed_in("W1")
    response = worker.get("/gauges/labels/?kind=caliper")
    assert response.content.count(b"<svg") >= 1 and CODE in worker.page.text and GAUGE not in worker.page.text


@pytest.mark.parametrize("path", ["change/", "wrong/", "used/", "wrong/1/"])
def test_a_gauge_that_is_none_is_not_found(floor: Floor, signed_in: SignedIn, path: str) -> None:
    assert signed_in("Q1").get(f"/gauges/99999999999999999999/{path}").status_code == 404
    assert signed_in("Q1").get(f"/gauges/424242/{path}").status_code == 404
    assert Visitor().get(f"/gauges/1/{path}").status_code == 302


@pytest.mark.parametrize("stamp", ["W1", "E1", "O1"])
def test_only_the_qc_lead_changes_and_finds_wrong(
    floor: Floor, signed_in: SignedIn, caliper: Gauge, stamp: str
) -> None:
    visitor = signed_in(stamp)
    for path in ("change/", "wrong/"):
        visitor.get(f"/gauges/{caliper.pk}/{path}")
        assert "This needs the role QC lead." in visitor.page.text
    position = caliper.record_position
    change = {"kind": "caliper", "place": "Mine", "seen_position": position}
    assert visitor.post(f"/gauges/{caliper.pk}/change/", change).status_code == 403
    found = {"done_on": "2026-05-04", "error_offset": "1", "seen": "0" * 64, "do": "record"}
    assert visitor.post(f"/gauges/{caliper.pk}/wrong/", found).status_code == 403
    assert not Calibration.objects.exists()


def test_no_page_asks_more_often_when_there_is_more(
    floor: Floor, signed_in: SignedIn, caliper: Gauge
) -> None:
    housing = at_jig(floor)
    value = just_inside(floor, housing)
    shows(floor, housing, value)
    lead = signed_in("Q1")
    pages = ["/gauges/", "/gauges/labels/", f"/gauges/{caliper.pk}/", f"/gauges/{caliper.pk}/used/"]

    def queries() -> dict[str, int]:
        found = {}
        for page in pages:
            with CaptureQueriesContext(connection) as seen:
                assert lead.get(page).status_code == 200
            found[page] = len(seen)
        return found

    few = queries()
    assert max(few.values()) <= 12, few
    for number in range(40):
        floor.do(add_gauge, by="Q1", code=f"X-{number}", kind="micrometer")
    shows(floor, housing, *[value] * 20)
    assert queries() == few


def test_of_a_master_its_true_size_is_asked(floor: Floor, signed_in: SignedIn) -> None:
    floor.do(add_gauge, by="Q1", code="RING-1", kind="master", constants={"size": "2.5000"})
    master = Gauge.objects.get(code="RING-1")
    lead = signed_in("Q1")
    lead.get(f"/gauges/{master.pk}/wrong/")
    assert "It was found to be other than on file" in lead.page.text and "on file: 2.5000" in lead.page.text
    assert send(lead, size="", do="look").status_code == 422
    assert send(lead, size="0", do="look").status_code == 422
    assert "a number above zero" in lead.page.text
    assert send(lead, size="2.5002", do="look").status_code == 200
    assert "No verdict changes" in lead.page.text
    assert send(lead, do="record").status_code == 302
    master.refresh_from_db()
    assert master.constants == {"size": "2.5002"} and master.withdrawn_at is not None
    lead.follow()
    assert "No verdict changed." in lead.page.text
