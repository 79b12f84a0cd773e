"""Steel at the desk and at the bench: receiving it, scanning it into parts, recalling it, tracing it."""

from __future__ import annotations

import csv
import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext

from housings.models import Heat, Housing, MaterialUse, Piece
from housings.operations.materials import cut_piece
from housings.operations.recalls import recall_heat
from inspections.models import Certificate, Nonconformance
from shopqc import files
from shopqc.scan_codes import square
from tests.factories import Floor
from tests.housings.conftest import SignedIn
from tests.housings.steel import COMPOSITION, heat, made_with_steel, now_of, steel_of, use, usual_heats
from tests.inspections.sending import form_of, send
from tests.visitor import Visitor

WHY = "The mill found its furnace log was of another charge."
NEW = {"number": "k 4417", "kind": "steel", "grade": "4130"}


def pk_of(number: str) -> int:
    return Heat.objects.get(number=number).pk


def test_steel_is_received_with_its_certificate(floor: Floor, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get("/materials/")
    assert "No steel is on file yet." in worker.page.text
    worker.get("/materials/new/")
    file = SimpleUploadedFile("mill.pdf", b"%PDF-1.4 invented", "application/pdf")
    typed = {**NEW, "condition": "normalised", "certificate_type": "3.1", "certificate": file}
    assert send(worker, **typed, composition="C 0,31 Mn 0,52", percent_Cr="0.96").status_code == 302
    row = Heat.objects.get()
    assert (row.number, row.certificate_type) == ("K4417", "3.1")
    assert row.composition == {"C": "0.31", "Mn": "0.52", "Cr": "0.96"}
    worker.follow()
    assert "certificate filed" in worker.page.text and "Carbon equivalent CET" in worker.page.text
    answer = worker.client.get(f"/materials/{row.pk}/certificate/")
    assert b"".join(answer.streaming_content) == b"%PDF-1.4 invented"
    assert answer["Content-Disposition"] == 'attachment; filename="K4417 certificate.pdf"'


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"number": ""}, "This is needed."),
        ({"number": "a/b"}, "write a hyphen for anything else"),
        ({"grade": ""}, "This is needed."),
        ({"kind": "wood"}, "Select a valid choice"),
        ({"certificate_type": "4.0"}, "Select a valid choice"),
        ({"composition": "C 0.30 Xx 1"}, "is no chemical symbol"),
        ({"composition": "C 60 Fe 60"}, "adds up to 120.00 percent"),
        ({"composition": "a lot"}, "is neither a chemical symbol nor a percentage"),
        ({"composition": "C 0.30", "percent_C": "0.31"}, "It says something else"),
        ({"percent_C": "thirty"}, "is neither a chemical symbol nor a percentage"),
        ({"percent_Mn": "0.50"}, "names no carbon"),
    ],
)
def test_a_heat_that_is_wrong_is_refused_and_stays_typed(
    floor: Floor, signed_in: SignedIn, typed: dict[str, str], says: str
) -> None:
    worker = signed_in("W1")
    worker.get("/materials/new/")
    assert send(worker, **{**NEW, "supplier": "Lowland Tube", **typed}).status_code == 422
    assert says in worker.page.text
    assert form_of(worker).values["supplier"] == "Lowland Tube"
    assert not Heat.objects.exists()


def test_a_file_that_came_with_a_wrong_form_is_not_lost(floor: Floor, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get("/materials/new/")
    file = SimpleUploadedFile("mill.pdf", b"%PDF-1.4 once", "application/pdf")
    assert send(worker, **NEW, certificate=file, composition="a lot").status_code == 422
    assert "The certificate as a file: filed already" in worker.page.text
    assert send(worker, composition="C 0.31").status_code == 302
    assert files.read(Heat.objects.get().certificate) == b"%PDF-1.4 once"
    no_paper = SimpleUploadedFile("mill.pdf", b"MZ nothing to read", "application/pdf")
    worker.get("/materials/new/")
    assert send(worker, **{**NEW, "number": "K-2"}, certificate=no_paper).status_code == 422
    assert not Heat.objects.filter(number="K-2").exists()


def test_a_heat_that_is_on_file_is_refused_and_a_double_tap_is_not(floor: Floor, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get("/materials/new/")
    data = {**form_of(worker).values, **NEW}
    assert [worker.post("/materials/new/", data).status_code for _tap in range(2)] == [302, 302]
    worker.get("/materials/new/")
    assert send(worker, **NEW).status_code == 422
    assert "There is a heat K4417 already." in worker.page.text


def test_the_list_finds_by_label_and_by_word(floor: Floor, signed_in: SignedIn) -> None:
    usual_heats(floor)
    floor.do(cut_piece, by="W1", heat="P-4130", code="P-4130-1", what="Center plate", number_copied=True)
    heat(floor, "F-80", kind="filler", grade="ER80S-D2")
    floor.do(recall_heat, by="Q1", heat="P-4130", why=WHY)
    worker = signed_in("W1")
    worker.get("/materials/")
    text = worker.page.text
    assert text.index("P-4130") < text.index("B-4140") and "recalled: The mill" in text
    for typed in ("p-4130 -1", "P-4130"):
        assert worker.get(f"/materials/?find={typed}").headers["Location"] == f"/materials/{pk_of('P-4130')}/"
    worker.get("/materials/?find=er80")
    assert "F-80" in worker.page.text and "T-4130" not in worker.page.text
    worker.get("/materials/?kind=filler")
    assert "F-80" in worker.page.text and "T-4130" not in worker.page.text
    worker.get("/materials/?find=nothing")
    assert "Nothing on file is like that." in worker.page.text


def test_preheat_is_advised_within_the_method_and_not_outside(floor: Floor, signed_in: SignedIn) -> None:
    heat(floor, "T-4130", composition={"C": "0.305", "Mn": "0.50", "Si": "0.25", "Cr": "0.95", "Mo": "0.20"})
    worker = signed_in("W1")
    page = f"/materials/{pk_of('T-4130')}/"
    # EN 1011-2 C.3 (C.1): CET 0.4225, 12.7 mm, HD 3, Q 1 kJ/mm; worked out by hand: 103.6 °C = 218 °F.
    worker.get(f"{page}?wall=0,5&hydrogen=3&heat_input=1")
    assert "218 °F" in worker.page.text and "0.42 %" in worker.page.text
    worker.get(f"{page}?wall=0.25&hydrogen=3&heat_input=1")
    assert "the method was made for 10 to 90 mm" in worker.page.text and "218 °F" not in worker.page.text
    for wrong in ("thick", "", "nan", "1e999", "-1"):
        assert worker.get(f"{page}?wall={wrong}&hydrogen=3&heat_input=1").status_code == 200
        assert "°F" not in worker.page.text


def test_a_piece_is_put_on_file_and_its_label_holds_its_code(floor: Floor, signed_in: SignedIn) -> None:
    usual_heats(floor)
    worker = signed_in("W1")
    page = f"/materials/{pk_of('T-4130')}/"
    worker.get(page)
    assert form_of(worker, "/piece/").values["code"] == "T-4130-1"
    assert send(worker, "/piece/", what="Left tube").status_code == 422
    assert "Copy the heat number onto the piece before the cut" in worker.page.text
    assert send(worker, "/piece/", what="Left tube", number_copied="on").status_code == 302
    assert Piece.objects.get().code == "T-4130-1"
    worker.get(f"{page}labels/")
    assert worker.page.text.endswith("T-4130-1 4130, normalised Left tube")
    assert worker.response is not None
    page_of_labels = worker.response.content.decode()
    assert square("T-4130") in page_of_labels and square("T-4130-1") in page_of_labels
    worker.get("/materials/labels/")
    assert "P-4130" in worker.page.text


def test_a_certificate_that_comes_later_is_added_by_the_qc_lead(floor: Floor, signed_in: SignedIn) -> None:
    usual_heats(floor)
    page = f"/materials/{pk_of('T-4130')}/change/"
    worker = signed_in("W1")
    worker.get(page)
    assert "This needs the role QC lead." in worker.page.text
    lead = signed_in("Q1")
    lead.get(page)
    assert form_of(lead).values["composition"] == "C 0.31 Mn 0.52 Si 0.24 Cr 0.96 Mo 0.19"
    file = SimpleUploadedFile("mill.pdf", b"%PDF-1.4 late", "application/pdf")
    assert send(lead, certificate=file, certificate_type="3.2").status_code == 302
    row = Heat.objects.get(number="T-4130")
    assert row.certificate and row.certificate_type == "3.2" and row.composition == COMPOSITION
    lead.get(page)
    assert send(lead, supplier="Lowland Tube").status_code == 302
    assert Heat.objects.get(number="T-4130").certificate == row.certificate


@pytest.fixture
def housing(floor: Floor) -> Housing:
    usual_heats(floor)
    return floor.housing(until="jig")


def test_the_steel_of_a_station_is_scanned_part_by_part(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    page = f"/h/{housing.serial}/materials/"
    assert page in worker.page.links and "steel not recorded: Left tube" in worker.page.text
    worker.get(page)
    values = form_of(worker).values
    assert {name for name in values if name.startswith("part_")} == {
        "part_tube_left",
        "part_tube_right",
        "part_center_plate",
    }
    assert send(worker).status_code == 422 and "Scan or type at least one." in worker.page.text
    scanned = {"part_tube_left": " t-4130", "part_tube_right": "T-4130", "part_center_plate": "P-4131"}
    assert send(worker, **scanned).status_code == 422
    assert "No heat and no piece is on file as P-4131." in worker.page.text
    assert form_of(worker).values["part_tube_left"] == " t-4130" and not now_of(housing)
    assert send(worker, part_center_plate="p-4130").status_code == 302
    assert now_of(housing) == {"tube_left": "T-4130", "tube_right": "T-4130", "center_plate": "P-4130"}
    worker.follow()
    assert not [form for form in worker.page.forms if "sent_key" in form.values]


def test_wrong_steel_is_refused_and_offered_as_a_nonconformance(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    heat(floor, "X-1", grade="1020", condition="normalised", form="tube")
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/materials/")
    assert send(worker, part_tube_left="X-1").status_code == 409
    assert "Plain carbon tube bends too easily." in worker.page.text and not now_of(housing)
    (offered,) = [link for link in worker.page.links if "defect=wrong_steel" in link]
    worker.get(offered)
    values = form_of(worker).values
    assert values["defect"] == ["wrong_steel"] and "X-1 is 1020" in values["what"]
    assert send(worker, defect="wrong_steel").status_code == 302
    found = Nonconformance.objects.get()
    assert (found.defect, found.severity) == ("wrong_steel", "major")


def test_a_wrong_entry_is_corrected_with_a_reason(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    heat(floor, "T-2", condition="normalised", form="tube")
    use(floor, housing, *steel_of(housing, "jig"))
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/materials/?part=tube_left")
    assert send(worker, part_tube_left="T-2").status_code == 422
    assert "Say why." in worker.page.text
    assert send(worker, part_tube_left="T-2", why="The label of the next tube.").status_code == 302
    assert now_of(housing)["tube_left"] == "T-2"
    worker.follow()
    assert "What was corrected" in worker.page.text and "The label of the next tube." in worker.page.text


def test_a_station_that_was_left_asks_why_only_now(floor: Floor, signed_in: SignedIn) -> None:
    usual_heats(floor)
    housing = floor.housing(until="tack")
    worker = signed_in("W1")
    page = f"/h/{housing.serial}/materials/"
    worker.get(page)
    assert send(worker, part_ribs="P-4130", part_tube_left="T-4130").status_code == 422
    assert "say why its steel is recorded only now" in worker.page.text
    assert send(worker, why="The scanner was flat.").status_code == 302
    assert now_of(housing) == {"ribs": "P-4130", "tube_left": "T-4130"}


def test_a_recall_says_first_what_it_holds_and_leads_to_the_list(floor: Floor, signed_in: SignedIn) -> None:
    usual_heats(floor)
    here = made_with_steel(floor, "jig")
    signed = made_with_steel(floor, "signed", customer="basin")
    page = f"/materials/{pk_of('T-4130')}/"
    worker = signed_in("W1")
    worker.get(f"{page}recall/")
    assert "This needs the role QC lead." in worker.page.text
    lead = signed_in("Q1")
    lead.get(f"{page}recall/")
    assert "It is in 2 housings." in lead.page.text and "1 is in work and is held" in lead.page.text
    assert send(lead, why="").status_code == 422 and "Say why." in lead.page.text
    assert send(lead, why=WHY).status_code == 302
    lead.follow()
    number = Certificate.objects.get().number
    text = lead.page.text
    assert here.serial_grouped[:9] in text and f"{number} under question" in text
    assert "For: Basin Off-Road, North Off-Road." in text
    lead.get(f"/h/{here.serial}/")
    assert "A heat in it was recalled:" in lead.page.text
    worker.get(page)
    assert "Recalled" in worker.page.text
    lead.get(f"{page}clear/")
    assert here.serial in lead.page.text
    assert send(lead, why="It was the next heat.").status_code == 302
    lead.follow()
    assert "Still held:" in lead.page.text
    lead.get("/record-book/heat:T-4130/")
    assert "Recalled: The mill" in lead.page.text and "Taken back as a mistake" in lead.page.text
    assert signed.serial


def test_the_file_has_a_line_for_each_place(floor: Floor, signed_in: SignedIn) -> None:
    usual_heats(floor)
    housing = made_with_steel(floor, "jig")
    made_with_steel(floor, "signed", customer="basin")
    answer = signed_in("W1").get(f"/materials/{pk_of('T-4130')}/trace.csv")
    rows = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))
    assert [(row["housing"], row["part"]) for row in rows[:2]] == [
        (housing.serial, "Left tube"),
        (housing.serial, "Right tube"),
    ]
    assert {row["customer"] for row in rows} == {"north", "basin"} and len(rows) == 4
    assert rows[-1]["certificates"].startswith("C-00001") and rows[0]["certificates"] == ""


@pytest.mark.parametrize("path", ["", "new/", "{}/", "{}/trace/", "{}/recall/", "labels/"])
def test_a_stranger_is_sent_to_sign_in(floor: Floor, path: str) -> None:
    usual_heats(floor)
    assert Visitor().get("/materials/" + path.format(pk_of("T-4130"))).status_code == 302


@pytest.mark.parametrize("path", ["{}/", "{}/trace/", "{}/recall/", "{}/certificate/", "{}/trace.csv"])
def test_a_heat_that_is_none_is_not_found(floor: Floor, signed_in: SignedIn, path: str) -> None:
    for pk in ("4711", "99999999999999999999"):
        assert signed_in("Q1").get("/materials/" + path.format(pk)).status_code == 404


def test_pages_ask_as_often_for_many(floor: Floor, signed_in: SignedIn) -> None:
    usual_heats(floor)
    made_with_steel(floor, "jig")
    housing = made_with_steel(floor, "signed")
    pk = pk_of("T-4130")
    pages = [
        "/materials/",
        f"/materials/{pk}/",
        f"/materials/{pk}/trace/",
        f"/materials/{pk}/trace.csv",
        f"/h/{housing.serial}/materials/",
    ]
    lead = signed_in("Q1")

    def asked() -> dict[str, int]:
        found = {}
        for page in pages:
            with CaptureQueriesContext(connection) as seen:
                assert lead.get(page).status_code == 200
            found[page] = len(seen)
        return found

    few = asked()
    for number in range(6):
        heat(floor, f"N-{number}")
        made_with_steel(floor, "jig", customer="basin")
    made_with_steel(floor, "signed")
    assert MaterialUse.objects.filter(heat=pk).count() > 10
    assert asked() == few and max(few.values()) <= 16, few
