"""Looking at welds, testing and repairing them at a page: one tap if nothing was found.

That "nothing found" is one tap, because gloves are on: common practice, no source.
"""

from __future__ import annotations

import datetime

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext

from housings.models import Housing
from housings.operations.orders import cancel_housing
from inspections.models import Nonconformance, WeldLook, WeldRepair, WeldTest
from inspections.operations.extra_visits import add_visit
from inspections.waiting_clock import COLD_AFTER_SLOW
from inspections.weld_rules import TESTING_STATION
from tests.factories import Floor
from tests.housings.at_a_joint import use
from tests.inspections.conftest import SignedIn
from tests.inspections.judging import LEFT, RIGHT, look, refuse_weld, repair, rework, test, to_testing
from tests.inspections.sending import send
from tests.inspections.test_weld_looks import floor_visit


@pytest.fixture
def bench(floor: Floor) -> Housing:
    """A housing at the snouts, its left snout welded."""
    floor.procedures()
    housing = floor.housing(until="snouts")
    floor.weld(housing, LEFT, 3)
    return housing


def at(housing: Housing, step: str, joint: str = LEFT) -> str:
    return f"/h/{housing.serial}/weld/{joint}/{step}/"


def test_nothing_found_is_one_tap(bench: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    assert worker.get(at(bench, "look")).status_code == 200
    assert "Look: Finished weld" in worker.page.text and "Procedure snout-4140-250 1" in worker.page.text
    assert worker.press("do", "nothing").status_code == 302
    one = WeldLook.objects.get()
    assert (one.stage, one.accepted, one.findings, one.by_stamp) == ("final", True, [], "W1")


def test_the_root_is_what_is_looked_at_first(floor: Floor, signed_in: SignedIn) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")
    floor.weld(housing, LEFT, 1)
    worker = signed_in("W1")
    worker.get(at(housing, "look"))
    assert "Look: Root" in worker.page.text and "Pass 1 is the last on record." in worker.page.text
    worker.press("do", "nothing")
    assert WeldLook.objects.get().stage == "root"
    floor.weld(housing, LEFT, 2)
    worker.get(at(housing, "look"))
    assert "Look: Finished weld" in worker.page.text


def test_what_was_found_is_refused_beside_its_field_and_stays(bench: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(at(bench, "look"))
    typed = {"number_0": "5011", "size_0": "0.8", "unit_0": "mm", "where_0": "3 o'clock"}
    assert lead.press("do", "accept", **typed).status_code == 409
    assert "is beyond what level B allows (0.317 mm)" in lead.page.text
    form = lead.page.form_with("do", "refuse")
    assert form is not None and form.values["size_0"] == "0.8" and form.values["where_0"] == "3 o'clock"
    assert not WeldLook.objects.exists()
    assert lead.press("do", "refuse").status_code == 302
    found = Nonconformance.objects.get()
    assert "3 o'clock" in found.what
    lead.follow()
    assert "Nonconformance 1 of this housing" in lead.page.text


def test_rows_left_empty_are_not_sent_and_errors_find_their_row(bench: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(at(bench, "look"))
    # The first row stays empty: what is wrong with the second one stands beside the second one.
    assert lead.press("do", "accept", number_1="602", size_1="a lot", unit_1="mm").status_code == 422
    assert "its size is a number in in or mm" in lead.page.text
    assert b'id="id_size_1_error"' in (lead.response.content if lead.response else b"")
    assert lead.press("do", "accept", size_1="1").status_code == 302
    assert [one["number"] for one in WeldLook.objects.get().findings] == ["602"]


def test_who_may_not_or_nothing_welded_says_so(floor: Floor, bench: Housing, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    owner.get(at(bench, "look"))
    assert "This needs the role" in owner.page.text and not owner.page.has_button("do", "nothing")
    worker = signed_in("W1")
    worker.get(at(bench, "look", RIGHT))
    assert "Nothing of Right snout to tube is on record as welded yet." in worker.page.text
    assert worker.get(at(bench, "look", "snout_middle")).status_code == 404
    for step in ("look", "test", "repair"):
        assert worker.get(at(floor.housing(), step)).status_code == 200
        assert "The housing has not arrived at any station" in worker.page.text


def test_a_double_tap_is_one_look(bench: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(bench, "look"))
    form = worker.page.form_with("do", "nothing")
    assert form is not None
    for _ in range(2):
        assert worker.post(at(bench, "look"), {**form.values, "do": "nothing"}).status_code == 302
    assert WeldLook.objects.count() == 1


def brought(floor: Floor, housing: Housing) -> Housing:
    floor.weld(housing, RIGHT, 3)
    floor.finish(housing, floor_visit(housing, "snouts"))
    return to_testing(floor, housing)


def test_the_clock_stands_above_the_test(floor: Floor, bench: Housing, signed_in: SignedIn) -> None:
    use(floor, "test_waited")
    brought(floor, bench)
    worker = signed_in("W1")
    worker.get(at(bench, "test"))
    assert "Wait until 6 May 2026" in worker.page.text  # 12 h and 48 h after 4 May, 9:30
    assert "Nobody has read it cold" in worker.page.text
    typed = {
        "tester": "Tess Hollow",
        "tester_level": "2",
        "certificate": "PT-0417",
        "certified_until": "2027-01-31",
        "method": "PT",
    }
    assert worker.press("do", "accept", **typed).status_code == 409
    assert "Test it after that." in worker.page.text
    assert not WeldTest.objects.exists()


def test_a_test_with_its_report(floor: Floor, bench: Housing, signed_in: SignedIn) -> None:
    brought(floor, bench)
    lead = signed_in("Q1")
    lead.get(at(bench, "test"))
    report = SimpleUploadedFile("report.pdf", b"%PDF-1.4 invented", content_type="application/pdf")
    typed = {"method": "MT", "demagnetised": "yes", "batch": "M-2", "irradiance": "8", "light": "uv"}
    assert lead.press("do", "accept", tester="M1", **typed, report=report).status_code == 302
    one = WeldTest.objects.get()
    assert len(one.document) == 64 and one.how["demagnetised"] == "yes" and one.tester == "M1"
    lead.get(at(bench, "test"))
    assert "8 W/m² of UV-A are less than 10 W/m²." in lead.page.text
    broken = SimpleUploadedFile("report.pdf", b"hello", content_type="application/pdf")
    assert lead.press("do", "accept", tester="M1", **typed, report=broken).status_code == 415
    assert WeldTest.objects.count() == 1


def test_magnetic_particles_ask_whether_it_was_demagnetised(
    floor: Floor, bench: Housing, signed_in: SignedIn
) -> None:
    brought(floor, bench)
    lead = signed_in("Q1")
    lead.get(at(bench, "test"))
    assert lead.press("do", "accept", method="MT", tester="M1", demagnetised="").status_code == 422
    assert "Say whether it was demagnetised afterwards: yes or no." in lead.page.text


def test_what_waits_for_its_test(floor: Floor, bench: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get("/weld/tests/")
    assert "No weld waits for its test." in lead.page.text
    # The test lies inside the bench clock's address; only the nearest place is marked as where one is.
    assert lead.response.content.decode().count('aria-current="page"') == 1
    brought(floor, bench)
    lead.get("/weld/tests/")
    assert at(bench, "test") in lead.page.links and at(bench, "test", RIGHT) in lead.page.links
    over = floor.at + COLD_AFTER_SLOW + datetime.timedelta(hours=48)
    test(floor, bench, at=over)
    lead.get("/weld/tests/")
    assert at(bench, "test") not in lead.page.links and at(bench, "test", RIGHT) in lead.page.links


def test_what_lacks_passes_waits_to_be_welded_not_to_be_tested(floor: Floor, signed_in: SignedIn) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")
    lead = signed_in("Q1")
    floor.weld(housing, LEFT, 2)  # of the 3 its procedure asks for
    floor.do(add_visit, by="Q1", housing=housing.serial, station=TESTING_STATION, why="first article")
    lead.get("/weld/tests/")
    assert at(housing, "test") not in lead.page.links
    floor.weld(housing, LEFT, 1)
    lead.get("/weld/tests/")
    assert at(housing, "test") in lead.page.links


def test_the_list_asks_no_more_for_many_than_for_one(
    floor: Floor, bench: Housing, signed_in: SignedIn
) -> None:
    brought(floor, bench)
    lead = signed_in("Q1")
    lead.get("/weld/tests/")
    with CaptureQueriesContext(
        connection,
    ) as one:
        lead.get("/weld/tests/")
    for _ in range(2):
        housing = floor.housing(until="snouts")
        floor.weld(housing, LEFT, 3)
        brought(floor, housing)
    with CaptureQueriesContext(connection) as many:
        lead.get("/weld/tests/")
    assert len(many) == len(one)


def test_the_list_of_sign_offs_asks_no_more_for_many(floor: Floor, signed_in: SignedIn) -> None:
    floor.procedures()
    housings = [floor.housing(until="measured") for _ in range(3)]
    use(floor, "welds_looked_at", "test_waited")
    lead = signed_in("Q1")
    lead.get("/sign-offs/")
    assert "is not looked at" in lead.page.text
    with CaptureQueriesContext(connection) as many:
        lead.get("/sign-offs/")
    for housing in housings[1:]:
        floor.do(cancel_housing, by="O1", housing=housing.serial, why="not wanted")
    with CaptureQueriesContext(connection) as one:
        lead.get("/sign-offs/")
    assert len(many) == len(one)


def test_the_testing_station_shows_its_welds(floor: Floor, bench: Housing, signed_in: SignedIn) -> None:
    brought(floor, bench)
    worker = signed_in("W1")
    worker.get(f"/h/{bench.serial}/")
    assert "Welds to be tested" in worker.page.text and at(bench, "test") in worker.page.links


def test_the_station_shows_what_is_to_be_looked_at(floor: Floor, bench: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(f"/h/{bench.serial}/")
    assert "Welds to look at" in worker.page.text and at(bench, "look") in worker.page.links
    refuse_weld(floor, bench)
    worker.get(f"/h/{bench.serial}/")
    assert "Welds to look at" not in worker.page.text  # it waits for a decision
    rework(floor, bench, 1)
    worker.get(f"/h/{bench.serial}/")
    assert "Welds to repair" in worker.page.text and at(bench, "repair") in worker.page.links
    look(floor, bench, "final")
    worker.get(f"/h/{bench.serial}/")
    assert "Welds to" not in worker.page.text


def test_a_repair_at_the_page(floor: Floor, bench: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(bench, "repair"))
    assert "Nothing of this weld is to be repaired." in worker.page.text
    refuse_weld(floor, bench)
    worker.get(at(bench, "repair"))
    assert "Nonconformance 1 waits for a decision" in worker.page.text
    rework(floor, bench, 1)
    worker.get(at(bench, "repair"))
    assert send(worker, method="grinding", depth="deep", length="1.2", hour="4").status_code == 422
    assert "The depth of the cavity is a number above zero" in worker.page.text
    assert send(worker, depth="0.12").status_code == 302
    assert WeldRepair.objects.get().how["depth"] == "0.12"
    worker.follow()
    assert "Look: Cavity" in worker.page.text
    assert worker.press("do", "nothing").status_code == 302
    worker.get(at(bench, "repair"))
    assert "Repair 1 is open." in worker.page.text


def test_the_third_repair_says_who_begins_it(floor: Floor, bench: Housing, signed_in: SignedIn) -> None:
    refuse_weld(floor, bench)
    for number in (1, 2):
        rework(floor, bench, number)
        repair(floor, bench, number)
        look(floor, bench, "cavity")
        floor.weld(bench, LEFT, 1, repair=number)
        refuse_weld(floor, bench)
    rework(floor, bench, 3)
    worker = signed_in("W1")
    worker.get(at(bench, "repair"))
    assert "was repaired 2 times. Another repair is begun by an engineer" in worker.page.text
    engineer = signed_in("E1")
    engineer.get(at(bench, "repair"))
    assert "It is dug out" in engineer.page.text


def test_the_joint_shows_what_was_seen_of_it(floor: Floor, bench: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(f"/h/{bench.serial}/weld/{LEFT}/")
    assert "Nobody has looked at this weld yet." in worker.page.text
    refuse_weld(floor, bench)
    worker.get(f"/h/{bench.serial}/weld/{LEFT}/")
    assert "5011 continuous undercut, 0.8 mm" in worker.page.text
    for step in ("look", "repair"):
        assert at(bench, step) in worker.page.links
