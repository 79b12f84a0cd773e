"""Orders out of a file at the desk: looked at, placed whole, corrected without typing again."""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext

from housings.engineering.order_table import COLUMNS, read, write
from housings.models import Housing, Order
from tests.factories import LINKS_SPEC, PLAIN_SPEC, Floor
from tests.housings.conftest import SignedIn
from tests.visitor import Visitor

URL = "/orders/file/"


def row(reference: str, spec: dict[str, Any] | Any = PLAIN_SPEC, **changes: str) -> list[str]:
    words = {True: "yes", False: "no"}
    cells = {"customer": "north", "reference": reference, "quantity": "1"}
    cells |= {name: str(words.get(value, value)) for name, value in spec.items()}
    cells |= changes
    return [cells.get(name, "") for name in COLUMNS]


def file_of(*rows: list[str], delimiter: str = ",") -> str:
    return write([list(COLUMNS), *rows], delimiter)


def paste(visitor: Visitor, text: str) -> Any:
    visitor.get(URL)
    visitor.post(URL, {"pasted": text})
    return visitor.follow()


def place(visitor: Visitor) -> Any:
    response = visitor.press("do", "place", order=list_of(visitor))
    return visitor.follow() if response.status_code == 302 else response


def list_of(visitor: Visitor) -> list[str]:
    """Every order that is ready to be placed: its box is ticked on the page."""
    assert visitor.response is not None
    return [order.id for order in visitor.response.context["orders"] if order.is_whole]


def test_rows_of_one_reference_become_one_order(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    text = file_of(
        row("PO-1", quantity="2", due="2026-07-01", note="white, boxed"),
        row("PO-2", LINKS_SPEC),
        row("PO-1", width="61,5", due="1.7.2026"),
        delimiter=";",
    )
    paste(owner, text.replace("1.7.2026", "2026-07-01"))
    assert "3 rows, 2 orders" in owner.page.text and "1 Jul 2026" in owner.page.text
    assert not Order.objects.exists()
    place(owner)
    assert "2 orders are placed; 4 housings are released to the floor." in owner.page.text
    one = Order.objects.get(reference="PO-1")
    assert [(spec.quantity, spec.data["width"]) for spec in one.specs.all()] == [(2, "60"), (1, "61.5")]
    assert str(one.due_on) == "2026-07-01" and one.note == "white, boxed"
    assert "Every order of this file is placed." in owner.page.text


def test_the_same_file_again_places_nothing(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    text = file_of(row("PO-1"), row("PO-2"))
    page = paste(owner, text)
    place(owner)
    chosen = [one.id for one in page.context["orders"]]
    again = owner.post(URL, {"file": page.context["file"], "order": chosen})
    assert again.status_code == 302
    paste(signed_in("Q1"), text)
    paste(owner, text)
    assert owner.page.text.count("placed already") >= 2 and "2 placed already" in owner.page.text
    assert Order.objects.count() == 2 and Housing.objects.count() == 2


def test_another_order_under_a_known_reference_is_no_order_placed_already(
    floor: Floor, signed_in: SignedIn
) -> None:
    owner = signed_in("O1")
    paste(owner, file_of(row("PO-1")))
    place(owner)
    paste(owner, file_of(row("PO-1", quantity="2")))
    assert "has an order with the reference PO-1 already" in owner.page.text
    assert not owner.page.has_button("do", "place")


def test_every_reason_stands_beside_its_row_and_cell(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    # Plain carbon tube; a 3.25 in snout in a 3.5 in tube: facts of the trade, common practice, no source.
    paste(
        owner,
        file_of(
            row("PO-1", tube_grade="1020"),
            row("PO-1", snout_size="3.25"),
            row("PO-2", customer="nobody", quantity="two", due="7/1/2026", links="maybe"),
            row("PO-3"),
        ),
    )
    text = owner.page.text
    for said in (
        "Row 2, Tube steel “1020”",
        "Row 3, Snout bearing size “3.25”",
        "Row 4, Customer “nobody”: There is no customer nobody.",
        "Row 4, How many “two”: Write a whole number",
        "Row 4, Due “7/1/2026”: Write year, month and day",
        "Row 4, Link tabs “maybe”",
    ):
        assert said in text, said
    assert "2 to be corrected" in text
    place(owner)
    assert list(Order.objects.values_list("reference", flat=True)) == ["PO-3"]


def test_what_failed_is_corrected_without_typing_it_again(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    paste(owner, file_of(row("PO-1", tube_grade="1020"), row("PO-2")))
    place(owner)
    rest = next(link for link in owner.page.links if "rest.csv" in link)
    table = read(owner.get(rest).content)
    assert [one.cells["reference"] for one in table.rows] == ["PO-1"]
    assert "Tube steel" in table.rows[0].given[-1]
    corrected = owner.response.content.decode().replace("1020", "4130")  # type: ignore[union-attr]
    paste(owner, corrected)
    place(owner)
    assert set(Order.objects.values_list("reference", flat=True)) == {"PO-1", "PO-2"}


def test_an_order_that_is_not_whole_cannot_be_chosen(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    page = paste(owner, file_of(row("PO-1", tube_grade="1020"), row("PO-2")))
    chosen = [one.id for one in page.context["orders"]]
    response = owner.post(URL, {"file": page.context["file"], "order": chosen})
    assert response.status_code == 422 and "Nothing was placed" in owner.page.text
    assert not Order.objects.exists()
    assert owner.post(URL, {"file": page.context["file"]}).status_code == 422
    assert "Choose at least one order" in owner.page.text


def test_one_order_that_is_refused_does_not_stop_the_others(
    floor: Floor, signed_in: SignedIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    owner = signed_in("O1")
    page = paste(owner, file_of(row("PO-1"), row("PO-2"), row("PO-3")))
    # Between looking and placing somebody else's order takes the reference.
    import housings.pages.orders_file as door

    real = door.orders_in

    def and_then_taken(table: Any) -> Any:
        found = real(table)
        floor.order(reference="PO-2", spec=LINKS_SPEC)
        return found

    monkeypatch.setattr(door, "orders_in", and_then_taken)
    response = owner.post(
        URL, {"file": page.context["file"], "order": [one.id for one in page.context["orders"]]}
    )
    assert response.status_code == 422
    assert "Some orders were not placed" in owner.page.text
    assert "has an order with the reference PO-2 already" in owner.page.text
    assert set(Order.objects.values_list("reference", flat=True)) == {"PO-1", "PO-2", "PO-3"}


def test_an_uploaded_file_is_read_like_a_pasted_one(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    owner.get(URL)
    content = file_of(row("PO-1"), delimiter="\t").encode("utf-16")
    response = owner.post(URL, {"upload": SimpleUploadedFile("may.csv", content), "pasted": ""})
    assert parse_qs(urlsplit(response["Location"]).query)["name"] == ["may.csv"]
    owner.follow()
    assert "may.csv" in owner.page.text and "1 row, 1 order" in owner.page.text


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        ({}, "Choose a file, or paste the rows"),
        ({"pasted": "nothing, like, it"}, "names no column that is known"),
        ({"upload": SimpleUploadedFile("a.csv", b"")}, "empty"),
        ({"upload": SimpleUploadedFile("a.pdf", b"%PDF-1.7")}, "a PDF"),
        ({"upload": SimpleUploadedFile("a.csv", b"x" * 1_500_000)}, "more than 1 MB"),
    ],
)
def test_what_is_no_order_file_is_refused_and_can_be_tried_again(
    floor: Floor, signed_in: SignedIn, sent: dict[str, Any], says: str
) -> None:
    owner = signed_in("O1")
    owner.get(URL)
    assert owner.post(URL, {"pasted": "", **sent}).status_code == 422
    assert says in owner.page.text
    assert owner.page.form_with("pasted") is not None or "Or paste the rows" in owner.page.text


@pytest.mark.parametrize("file", ["0" * 64, "../../etc/passwd", "é", "x" * 5000])
def test_a_file_that_is_not_kept_is_asked_for_again(floor: Floor, signed_in: SignedIn, file: str) -> None:
    owner = signed_in("O1")
    assert owner.client.get(URL, {"file": file}).status_code == 404
    assert owner.client.get(f"{URL}rest.csv", {"file": file}).status_code == 404
    owner.get(URL)
    assert owner.post(URL, {"file": file, "order": ["x"]}).status_code == 404


def test_the_example_fits_and_the_template_has_every_column(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    paste(owner, owner.get(f"{URL}example.csv").content.decode("utf-8-sig"))
    assert "3 rows, 2 orders" in owner.page.text and "to be corrected" not in owner.page.text
    for which, sign in (("template", ","), ("template-semicolons", ";")):
        first = owner.get(f"{URL}{which}.csv").content.decode("utf-8-sig").strip()
        assert first.split(sign) == list(COLUMNS)
    assert owner.get(f"{URL}other.csv").status_code == 404


def test_it_is_open_to_who_places_orders(floor: Floor, signed_in: SignedIn) -> None:
    for stamp, status in {"O1": 200, "Q1": 200, "E1": 403, "W1": 403}.items():
        assert signed_in(stamp).get(URL).status_code == status, stamp
        assert signed_in(stamp).get(f"{URL}template.csv").status_code == status, stamp
    assert Visitor().get(URL).status_code == 302
    owner = signed_in("O1")
    owner.get("/orders/")
    assert URL in owner.page.links


def test_many_orders_are_looked_at_with_as_many_queries_as_few(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    counts = []
    for number in (2, 60):
        rows = [row(f"PO-{number}-{n}") for n in range(number)]
        owner.get(URL)
        location = owner.post(URL, {"pasted": file_of(*rows)})["Location"]
        with CaptureQueriesContext(
            connection,
        ) as queries:
            assert owner.get(location).status_code == 200
        counts.append(len(queries))
    assert counts[0] == counts[1]
