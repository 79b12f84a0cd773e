"""Orders and routes at the desk."""

from __future__ import annotations

from typing import Any

import pytest

from housings.models import Order
from tests.factories import PLAIN_SPEC, Floor
from tests.housings.conftest import SignedIn
from tests.visitor import Visitor


def line(number: int = 0, **changes: Any) -> dict[str, Any]:
    """What somebody types into one line of the form."""
    words = {True: "yes", False: "no"}
    spec = {name: words.get(value, value) for name, value in PLAIN_SPEC.items()}
    return {f"line-{number}-{name}": value for name, value in {"quantity": "1", **spec, **changes}.items()}


def place(visitor: Visitor, **typed: Any) -> Any:
    visitor.get("/orders/new/")
    return visitor.press("do", "place", **{"customer": "north", "reference": "PO-9", **typed})


def test_it_places_an_order_and_shows_its_housings(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    response = place(owner, due_on="2026-07-01", note="white box", **line(quantity="2"))
    order = Order.objects.get()
    assert response["Location"] == f"/orders/{order.number}/"
    owner.follow()
    text = owner.page.text
    assert "its 2 housings are released to the floor" in text
    assert "1 Jul 2026" in text and "white box" in text and "Line 1: 2 housings" in text
    assert sum(link.startswith("/h/") and link.endswith("/") for link in owner.page.links) == 2
    assert sum(link.endswith("traveler.pdf") for link in owner.page.links) == 2
    owner.get("/orders/")
    assert "0 of 2 signed off" in owner.page.text


def test_every_reason_of_every_line_stands_beside_its_field(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    owner.get("/orders/new/")
    owner.press("add")
    wrong = line(0, tube_grade="1020") | line(1, snout_size="3.25", width="wide", links="")
    response = owner.press("do", "place", customer="north", reference="PO-9", **wrong)
    assert response.status_code == 422
    assert not Order.objects.exists()
    body = response.content.decode()
    for name in ("line-0-tube_grade", "line-1-width", "line-1-links"):
        assert f'id="id_{name}_error"' in body, name
    values = owner.page.form_with("do", "place")
    assert values is not None and values.values["line-1-width"] == "wide"
    assert values.values["reference"] == "PO-9"


def test_what_does_not_go_together_is_said_where_it_is(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    # A 3.25 in snout does not go with the 3.5 in tube: fact of the trade, common practice, no source.
    response = place(owner, **line(snout_size="3.25"))
    assert response.status_code == 422
    assert 'id="id_line-0-snout_size_error"' in response.content.decode()


def test_adding_a_line_keeps_what_was_typed_and_says_nothing_is_missing(
    floor: Floor, signed_in: SignedIn
) -> None:
    owner = signed_in("O1")
    owner.get("/orders/new/")
    owner.press("add", **{"reference": "half done", **line(width="61,5", tube_wall="")})
    assert "Line 2" in owner.page.text and "not placed" not in owner.page.text
    form = owner.page.form_with("do", "place")
    assert form is not None
    assert form.values["reference"] == "half done"
    assert form.values["line-0-width"] == form.values["line-1-width"] == "61,5"
    assert form.values["line-0-vent_side"] == "left"
    owner.press("drop", "0", **{"line-1-width": "70"})
    form = owner.page.form_with("do", "place")
    assert form is not None and form.values["line-0-width"] == "70" and "line-1-width" not in form.values


def test_two_lines_become_one_order(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    owner.get("/orders/new/")
    owner.press("add", customer="north", reference="PO-9", **line())
    assert owner.press("do", "place", **line(1, quantity="3")).status_code == 302
    assert list(Order.objects.get().specs.values_list("quantity", flat=True)) == [1, 3]


def test_sent_twice_it_is_one_order(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    page = owner.get("/orders/new/")
    typed = {"customer": "north", "reference": "PO-9", **line()}
    first = owner.press("do", "place", **typed)
    owner._keep("/orders/new/", page)
    again = owner.press("do", "place", **typed)
    assert first["Location"] == again["Location"]
    assert Order.objects.count() == 1


def test_a_reference_that_is_an_order_already_is_refused(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    place(owner, **line())
    assert place(owner, **line()).status_code == 409 or owner.response.status_code == 422  # type: ignore[union-attr]
    assert "has an order with the reference PO-9 already" in owner.page.text


@pytest.mark.parametrize(
    "typed",
    [
        {"customer": "nobody"},
        {"customer": ""},
        {"reference": " "},
        {"due_on": "soon"},
        {"line-0-quantity": "many"},
        {"line-0-quantity": "0"},
        {"line-0-quantity": "51"},
        {"line-0-links": "perhaps"},
        {"line-0-width": "1e400"},
        {"line-0-width": "60.000,5"},
        {"line-0-width": "NaN"},
        {"reference": "a\x00b"},
        {"line_count": "-1", "line-0-width": ""},
        {"line_count": "999999", "line-0-width": ""},
    ],
)
def test_bad_input_is_refused_with_a_reason_and_nothing_is_ordered(
    floor: Floor, signed_in: SignedIn, typed: dict[str, str]
) -> None:
    owner = signed_in("O1")
    response = place(owner, **{**line(), **typed})
    assert response.status_code in {404, 422}
    assert "The order was not placed" in owner.page.text
    assert not Order.objects.exists()


@pytest.mark.parametrize(
    ("url", "roles"),
    [
        ("/orders/", {"O1", "Q1"}),
        ("/orders/new/", {"O1", "Q1"}),
        ("/routes/", {"O1", "Q1", "E1"}),
        ("/housings/", {"O1", "Q1", "E1", "W1"}),
    ],
)
def test_each_place_is_open_to_its_roles_and_named_to_them_only(
    floor: Floor, signed_in: SignedIn, url: str, roles: set[str]
) -> None:
    for stamp in ("O1", "Q1", "E1", "W1"):
        visitor = signed_in(stamp)
        assert visitor.get(url).status_code == (200 if stamp in roles else 403), stamp
        visitor.get("/")
        if url != "/orders/new/":
            assert (url in visitor.page.links) == (stamp in roles), stamp
    assert Visitor().get(url)["Location"] == f"/sign-in/?next={url}"


def test_an_order_that_is_none_is_not_found(floor: Floor, signed_in: SignedIn) -> None:
    assert signed_in("O1").get("/orders/77777/").status_code == 404


def test_routes_show_every_revision_with_its_stations(floor: Floor, signed_in: SignedIn) -> None:
    engineer = signed_in("E1")
    engineer.get("/routes/")
    assert "standard, revision 1" in engineer.page.text
    assert "Brackets and link tabs" in engineer.page.text and "only with links" in engineer.page.text


def test_what_was_changed_after_going_back_is_a_new_request(floor: Floor, signed_in: SignedIn) -> None:
    owner = signed_in("O1")
    page = owner.get("/orders/new/")
    owner.press("do", "place", customer="north", reference="PO-9", **line())
    owner._keep("/orders/new/", page)
    assert owner.press("do", "place", customer="north", reference="PO-10", **line()).status_code == 422
    assert "This page was sent before with something else, and that was done." in owner.page.text
    assert owner.press("do", "place").status_code == 302
    assert set(Order.objects.values_list("reference", flat=True)) == {"PO-9", "PO-10"}
