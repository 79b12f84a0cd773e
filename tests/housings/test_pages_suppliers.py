"""Suppliers, described work and slips on the housing's page."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from housings.engineering.route_rules import long_route
from housings.models import Away, Housing, Visit, WorkDone
from housings.operations.routes import publish_route
from housings.operations.suppliers import back_from_supplier, send_to_supplier
from tests.at_the_gate import come, go
from tests.factories import Floor
from tests.housings.conftest import SignedIn
from tests.visitor import Visitor

PAPER = b"%PDF-1.4\n% certificate of conformity, invented\n"
CHART = b"minutes;F\n0;70\n150;1150\n"


@pytest.fixture
def long_floor(floor: Floor) -> Floor:
    floor.do(publish_route, name="standard", stations=[{"station": code} for code in long_route(False)])
    return floor


def fields(visitor: Visitor, do: str) -> dict[str, Any]:
    form = visitor.page.form_with("do", do)
    assert form is not None, visitor.page.text
    return {**form.values, "do": do}


def send(worker: Visitor, do: str, **typed: Any) -> Any:
    """Send a form of the page with files, which the plain visitor does not."""
    return worker.post(worker.url, {**fields(worker, do), **typed})


def file(content: bytes, name: str = "paper.pdf") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content)


def test_it_goes_to_a_supplier_and_comes_back_with_its_paper(long_floor: Floor, signed_in: SignedIn) -> None:
    housing = long_floor.housing(until="stress_relief")
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    send(worker, "send", supplier="Kiln Street Heat Treating", expected_on="2026-05-01")
    worker.follow()
    assert "Sent to Kiln Street Heat Treating." in worker.page.text
    assert "Away at Kiln Street Heat Treating" in worker.page.text
    assert "overdue, was expected 1 May 2026" in worker.page.text
    assert worker.page.form_with("do", "leave") is None
    typed = {"condition": "No dents.", "conformity": file(PAPER), "chart": file(CHART, "run.csv")}
    send(worker, "back", **typed, held_temperature="1150", held_hours="1,5", work_done="on")
    worker.follow()
    assert "It is back. What the work there moves is measured again." in worker.page.text
    assert "1150 °F" in worker.page.text and "1.5 h" in worker.page.text
    stay, work = Away.objects.get(), WorkDone.objects.get(station="stress_relief")
    for digest, content in ((stay.conformity, PAPER), (work.details["chart"], CHART)):
        response = worker.get(f"/h/{housing.serial}/documents/{digest}/")
        assert b"".join(response.streaming_content) == content
        assert "attachment" in response["Content-Disposition"]


def test_a_form_that_is_refused_keeps_what_was_typed_and_the_file(
    long_floor: Floor, signed_in: SignedIn
) -> None:
    housing = long_floor.housing(until="coat")
    long_floor.do(
        send_to_supplier, by="W1", housing=housing.serial, station="coat", supplier="Quarry Powder Coat"
    )
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    assert send(worker, "back", condition=" ", conformity=file(PAPER)).status_code == 422
    assert "This is needed." in worker.page.text
    assert Away.objects.get().back_at is None
    # The file has to be chosen again only if the form was not valid; here nothing was filed yet.
    assert send(worker, "back", condition="Even coat.", conformity=file(b"<svg/>")).status_code == 422
    assert "Even coat." in str(worker.page.form_with("do", "back").values)
    send(worker, "back", condition="Even coat.", conformity=file(PAPER))
    worker.follow()
    assert Away.objects.get().conformity


def test_a_paper_that_comes_later_is_filed_later(long_floor: Floor, signed_in: SignedIn) -> None:
    housing = long_floor.housing(until="coat")
    long_floor.do(
        send_to_supplier, by="W1", housing=housing.serial, station="coat", supplier="Quarry Powder Coat"
    )
    long_floor.do(back_from_supplier, by="W1", housing=housing.serial, condition="Even coat.")
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    assert "The certificate of conformity of Quarry Powder Coat is not filed." in worker.page.text
    assert send(worker, "conformity").status_code == 422
    assert "Choose the file first." in worker.page.text
    send(worker, "conformity", conformity=file(PAPER))
    worker.follow()
    assert "The supplier's certificate of conformity is filed." in worker.page.text
    assert "is not filed" not in worker.page.text


def test_a_wrong_sending_is_taken_back(long_floor: Floor, signed_in: SignedIn) -> None:
    housing = long_floor.housing(until="coat")
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    assert send(worker, "send", supplier="  ").status_code == 422
    send(worker, "send", supplier="Quarry Powder Coat")
    worker.follow()
    assert send(worker, "recall", why="").status_code == 422
    assert "Say why." in worker.page.text
    send(worker, "recall", why="Wrong housing.")
    worker.follow()
    assert "taken back by stamp W1: Wrong housing." in worker.page.text
    assert worker.page.form_with("do", "send") is not None


def test_everything_away_stands_on_one_page(long_floor: Floor, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get("/away/")
    assert "Nothing is away at a supplier." in lead.page.text
    for day in ("2026-05-20", "2026-05-02"):
        housing = long_floor.housing(until="coat")
        long_floor.do(
            send_to_supplier,
            by="W1",
            housing=housing.serial,
            station="coat",
            supplier=f"Powder {day}",
            expected_on=day,
        )
    lead.get("/away/")
    assert lead.page.text.index("Powder 2026-05-02") < lead.page.text.index("Powder 2026-05-20")
    assert lead.page.text.count("overdue") == 1
    lead.get("/housings/?which=away")
    assert lead.page.text.count("away at Powder") == 2


def test_straightening_is_recorded_with_where_and_how_hot(long_floor: Floor, signed_in: SignedIn) -> None:
    housing = long_floor.housing(until="straighten")
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    assert "What was done here?" in worker.page.text
    where = {"method": "flame", "side": "left", "place": "14,5", "direction": "3"}
    assert send(worker, "work_done", **where).status_code == 422
    assert "This is needed." in worker.page.text
    assert "14,5" in str(worker.page.form_with("do", "work_done").values)
    assert not WorkDone.objects.filter(station="straighten").exists()
    send(worker, "work_done", **where, peak_temperature="1100", how_far="0.045")
    worker.follow()
    assert "1100 °F" in worker.page.text and "3 o'clock" in worker.page.text
    assert WorkDone.objects.get(station="straighten").details["place"] == "14.5"


def test_a_form_begins_with_the_shops_units(long_floor: Floor, signed_in: SignedIn) -> None:
    from shopqc.operations.shop import change_shop

    long_floor.do(change_shop, by="O1", changes={"length_unit": "mm", "temperature_unit": "C"})
    housing = long_floor.housing(until="straighten")
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    values = fields(worker, "work_done")
    assert (values["place_unit"], values["peak_temperature_unit"]) == ("mm", "C")


def test_a_slip_is_taken_back_with_one_tap(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="jig")
    other = signed_in("M1")
    other.get(f"/h/{housing.serial}/")
    assert not other.page.has_button("do", "undo_arrival")
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    worker.press("do", "undo_arrival")
    worker.follow()
    assert "The arrival at Jig is taken back." in worker.page.text
    assert "Not begun; first is Jig" in worker.page.text
    come(floor, housing, "jig")
    floor.measure_due(housing, "jig")
    go(floor, housing, "jig")
    worker.get(f"/h/{housing.serial}/")
    worker.press("do", "undo_leaving")
    worker.follow()
    assert "It is at Jig again." in worker.page.text
    go(floor, housing, "jig")
    come(floor, housing, "tack")
    floor.work(housing, "tack")
    worker.get(f"/h/{housing.serial}/")
    assert not worker.page.has_button("do", "undo_arrival")
    assert not worker.page.has_button("do", "undo_leaving")


def test_a_slip_that_is_none_any_more_is_refused(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="tack")
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    sent = fields(worker, "undo_arrival")
    floor.work(housing, "tack")
    assert worker.post(worker.url, sent).status_code == 409
    assert "The arrival stays." in worker.page.text
    assert Visit.objects.get(housing=housing, station="tack").state == "here"


def test_two_clicks_take_back_once(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="jig")
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    sent = fields(worker, "undo_arrival")
    assert [worker.post(f"/h/{housing.serial}/", sent).status_code for _ in range(2)] == [302, 302]
    assert Housing.objects.get(pk=housing.pk).state == "released"


def test_a_station_that_only_cleans_offers_its_work_too(long_floor: Floor, signed_in: SignedIn) -> None:
    """Cleaning and coating bend nothing, and leaving them still asks that the work was recorded."""
    housing = long_floor.housing(until="clean_inside")
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    worker.press("do", "work_done")
    worker.follow()
    assert WorkDone.objects.filter(housing=housing, station="clean_inside").exists()


@pytest.mark.parametrize("name", ["0" * 64, "x", "..%2f..%2fetc"])
def test_a_document_that_the_housing_does_not_name_is_not_there(
    floor: Floor, signed_in: SignedIn, name: str
) -> None:
    housing = floor.housing()
    assert signed_in("W1").get(f"/h/{housing.serial}/documents/{name}/").status_code == 404


def test_what_is_missing_of_the_work_is_named_and_led_to(long_floor: Floor, signed_in: SignedIn) -> None:
    housing = long_floor.housing(until="straighten")
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    assert send(worker, "work_done", place="14.5").status_code == 422
    assert "What you typed is still here." in worker.page.text
    assert "How: This is needed." in worker.page.text and "Side: This is needed." in worker.page.text
    # A choice of two buttons is led to by its first one (HTML standard: a fragment names an element's id).
    shown = worker.response.content.decode()  # type: ignore[union-attr]
    assert 'href="#work_done_method_0"' in shown and 'id="work_done_method_0"' in shown
