"""Who may ask what: keys, their scopes, their customer; and pages' people."""

from __future__ import annotations

import uuid
from typing import Any

import pytest

from housings.models import Housing
from shopqc.operations.people import change_person
from shopqc.operations.shop import revoke_api_key
from tests.api.caller import Caller, done, refused
from tests.factories import AT, SECRET, Floor

READS = [
    "/orders",
    "/orders/{order}",
    "/housings",
    "/housings/{serial}",
    "/housings/{serial}/readings",
    "/housings/{serial}/nonconformances",
    "/housings/{serial}/traveler.pdf",
    "/travelers.pdf?serial={serial}",
    "/certificates",
    "/certificates/{certificate}",
    "/certificates/{certificate}/facts",
    "/certificates/{certificate}/file",
]
READING = {"characteristic": "pilot_bore", "raw": {"value": "1"}, "seen_position": 1}
WRITES: list[tuple[str, dict[str, Any]]] = [
    ("/orders", {"customer": "north", "reference": "PO-9", "lines": [{"quantity": 1, "spec": {}}]}),
    ("/housings/{serial}/arrive", {"station": "jig"}),
    ("/housings/{serial}/work-done", {"station": "jig"}),
    ("/housings/{serial}/leave", {"station": "jig"}),
    ("/housings/{serial}/undo-arrival", {"station": "jig"}),
    ("/housings/{serial}/undo-leaving", {"station": "jig"}),
    ("/housings/{serial}/send-to-supplier", {"station": "coat", "supplier": "x"}),
    ("/housings/{serial}/back-from-supplier", {"condition": "x"}),
    ("/housings/{serial}/conformity", {"stay": 1, "conformity": "0" * 64}),
    ("/housings/{serial}/recall-from-supplier", {"why": "x"}),
    ("/housings/{serial}/add-visit", {"station": "coat", "why": "x"}),
    ("/housings/{serial}/drop-visit", {"visit": 1, "why": "x"}),
    ("/housings/{serial}/hold", {"why": "x"}),
    ("/housings/{serial}/release", {"hold": 1, "why": "x"}),
    ("/housings/{serial}/cancel", {"why": "x"}),
    ("/housings/{serial}/readings", {"readings": [READING]}),
    ("/housings/{serial}/nonconformances", {"what": "x"}),
    ("/housings/{serial}/nonconformances/1/disposition", {"decision": "scrap", "reason": "x"}),
    ("/housings/{serial}/sign-off", {"secret": SECRET}),
    ("/certificates/{certificate}/revoke", {"why": "x"}),
]


@pytest.fixture
def places(floor: Floor) -> dict[str, str]:
    """The public names of what the customer north owns: an order, its housing, signed for."""
    housing = floor.housing(until="signed", customer="north")
    return {
        "serial": housing.serial,
        "order": housing.order.number,
        "certificate": housing.certificates.get().number,
    }


def test_nothing_is_said_without_a_key_that_holds(
    floor: Floor, places: dict[str, str], nothing_changes: Any
) -> None:
    expired = floor.api_key("orders", expires_at=AT.isoformat())[0]
    revoked, row = floor.api_key("orders")
    floor.do(revoke_api_key, prefix=row.prefix)
    nobody, right = Caller(None), floor.api_key("orders")[0]
    with nothing_changes():
        for caller, code in (
            (nobody, "not_signed_in"),
            (Caller(expired), "key_unknown"),
            (Caller(revoked), "key_unknown"),
            (Caller(right[:-1]), "key_unknown"),
            (Caller(right + "x"), "key_unknown"),
            (Caller("\xff\xfe"), "key_unknown"),
        ):
            for path in READS:
                response = caller.get(path.format(**places))
                refused(response, 401, code)
                assert response["WWW-Authenticate"].startswith("Bearer")
            for path, body in WRITES:
                refused(caller.post(path.format(**places), body), 401, code)
        for header in ("Basic dXNlcjpwYXNz", "Bearer", "Bearer ", right, "bearer  " + right + " x"):
            refused(nobody.get("/orders", Authorization=header), 401)
    done(nobody.get("/orders", Authorization=f"bearer {right}"))


def test_a_key_of_somebody_who_left_opens_nothing(floor: Floor, phone: Caller, nothing_changes: Any) -> None:
    floor.do(change_person, stamp="W1", is_active=False)
    with nothing_changes():
        refused(phone.get("/housings"), 401, "key_person_inactive")


def test_what_another_customer_owns_is_not_there(
    basin: Caller, places: dict[str, str], nothing_changes: Any
) -> None:
    with nothing_changes():
        for name in ("orders", "housings", "certificates"):
            assert done(basin.get(f"/{name}")) == {name: [], "next": None}
        refused(basin.get(f"/housings?order={places['order']}"), 404, "not_found")
        for name, after in (("orders", "order"), ("housings", "serial"), ("certificates", "certificate")):
            refused(basin.get(f"/{name}?after={places[after]}"), 422, "place_unknown")
        for path in READS:
            if "{" in path:
                refused(basin.get(path.format(**places)), 404, "not_found")
        refused(basin.post(*(WRITES[0][0], WRITES[0][1])), 404, "not_found")
        for name in ("cancel", "readings"):
            path, body = next(entry for entry in WRITES if entry[0].endswith(name))
            refused(basin.post(path.format(**places), body), 404, "not_found")


def test_a_customer_sees_its_own(north: Caller, places: dict[str, str], floor: Floor) -> None:
    floor.order(customer="basin")
    for name in ("orders", "housings", "certificates"):
        assert len(done(north.get(f"/{name}"))[name]) == 1
    for path in READS:
        assert north.get(path.format(**places)).status_code in {200, 409}


def test_a_customers_key_that_stands_for_a_person_walks_only_that_customers_housings(
    floor: Floor, places: dict[str, str], nothing_changes: Any
) -> None:
    caller = Caller(floor.api_key("floor", "readings", "orders", stamp="Q1", customer="basin")[0])
    with nothing_changes():
        for path, body in WRITES[1:-1]:
            refused(caller.post(path.format(**places), body), 404, "not_found")
    (own,) = floor.order(customer="basin")
    done(caller.post(f"/housings/{own.serial}/arrive", {"station": "jig"}))


def test_a_scope_opens_what_it_names_and_nothing_else(
    floor: Floor, places: dict[str, str], nothing_changes: Any
) -> None:
    bare = Caller(floor.api_key(stamp="Q1")[0])
    with nothing_changes():
        for path, body in WRITES:
            refused(bare.post(path.format(**places), body), 403, "key_without_scope")
        for path in READS:
            response = bare.get(path.format(**places))
            if path.endswith(("/facts", "/file")):
                refused(response, 403, "key_without_scope")
            else:
                assert response.status_code == 200


def test_a_key_without_a_person_does_no_persons_work(
    floor: Floor, places: dict[str, str], nothing_changes: Any
) -> None:
    alone = Caller(floor.api_key("floor", "readings", "orders", "certificates")[0])
    with nothing_changes():
        for path, body in WRITES:
            if not path.endswith(("/orders", "/cancel", "/readings", "/revoke")):
                refused(alone.post(path.format(**places), body), 403, "not_allowed")


def test_a_gauge_that_sends_its_own_readings_needs_no_person(floor: Floor) -> None:
    alone = Caller(floor.api_key("readings")[0])
    housing = floor.housing(until="jig")
    due = floor.measured(housing).due_at("jig")[0].characteristic
    body = {"readings": [floor.reading(housing, due, "jig", id=str(uuid.uuid4()))]}
    done(alone.post(f"/housings/{housing.serial}/readings", body), 201)
    assert Housing.objects.get(pk=housing.pk).readings.get().by_person is None


def test_keys_of_two_callers_do_not_meet(floor: Floor, phone: Caller, desk: Caller) -> None:
    """The same idempotency key, sent by two, is two requests."""
    first, second = floor.order(quantity=2)
    done(phone.post(f"/housings/{first.serial}/arrive", {"station": "jig"}, name="1"))
    done(desk.post(f"/housings/{second.serial}/arrive", {"station": "jig"}, name="1"))
