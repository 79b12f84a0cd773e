"""Every address under /api/ speaks in problems, and every code has a page that says what it means."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from shopqc.problems import meaning
from shopqc.refusals import KINDS
from tests.api.caller import PROBLEM, Caller, done, refused
from tests.factories import Floor

NOT_THERE = ("/api/", "/api/v1/", "/api/v2/orders", "/api/v1/orders/", "/api/v1/nothing", "/api/problems/")


def test_an_address_that_is_not_there_is_a_problem(db: None) -> None:
    for path in NOT_THERE:
        for caller in (Caller(None), Caller("sq_nobody")):
            refused(caller.get(path, Accept="text/html"), 404, "page_not_found")
            refused(caller.post(path, {}), 404, "page_not_found")
            assert caller.client.delete(path)["Content-Type"] == PROBLEM
    refused(Caller(None).get("/api/problems/none"), 404, "page_not_found")
    refused(Caller(None).post("/api/problems/busy", {}), 405, "method_not_allowed")


def test_an_address_that_no_text_has_is_a_problem(office: Caller) -> None:
    for path, status in (("/orders/%00", 400), ("/orders?after=%00", 400), ("/orders/%ff%fe", 404)):
        response = office.get(path)
        assert (response.status_code, response["Content-Type"]) == (status, PROBLEM)


def test_a_method_that_an_address_does_not_take_says_which_it_does(office: Caller) -> None:
    for path, takes in (
        ("/api/v1/orders", {"GET", "HEAD", "POST"}),
        ("/api/v1/certificates", {"GET", "HEAD"}),
        ("/api/v1/files", {"POST"}),
    ):
        for method in ("put", "patch", "delete", "options", "trace"):
            response = getattr(office.client, method)(path, headers=office.headers())
            refused(response, 405, "method_not_allowed")
            assert set(response["Allow"].split(", ")) == takes
    refused(office.post("/certificates", {}), 405, "method_not_allowed")
    refused(office.get("/files"), 405, "method_not_allowed")


def test_it_answers_json_or_says_that_it_does_not(office: Caller) -> None:
    for accept in ("text/html", "application/xml", "image/png, text/*"):
        refused(office.get("/orders", Accept=accept), 406, "not_acceptable")
    for accept in ("*/*", "application/json", "application/*;q=0.5", "text/html, */*;q=0.1"):
        done(office.get("/orders", Accept=accept))


def test_what_breaks_in_the_program_is_a_problem_too(office: Caller, monkeypatch: pytest.MonkeyPatch) -> None:
    def break_(*_: Any, **__: Any) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("housings.queries.orders_for", break_)
    office.client.raise_request_exception = False
    response = office.get("/orders")
    assert (response.status_code, response["Content-Type"]) == (500, PROBLEM)


def test_a_host_that_is_not_ours_is_a_problem(office: Caller) -> None:
    response = office.get("/orders", Host="elsewhere.example")
    assert (response.status_code, response["Content-Type"]) == (400, PROBLEM)


def test_every_code_has_a_page(db: None, client: Client) -> None:
    for code, kind in KINDS.items():
        response = client.get(f"/api/problems/{code}", headers={"Accept": "text/html"})
        page = response.content.decode()
        assert (response.status_code, response["Content-Type"]) == (200, "text/html; charset=utf-8")
        assert code in page and str(kind.status) in page
        assert "%(" not in meaning(code) and len(meaning(code)) > 5


def test_answers_are_kept_by_nobody_on_the_way(office: Caller) -> None:
    for response in (office.get("/orders"), office.get("/nothing")):
        assert "no-store" in response["Cache-Control"]
        assert response["X-Content-Type-Options"] == "nosniff"


def test_nothing_tells_a_primary_key(floor: Floor, desk: Caller) -> None:
    """Names that a row of the database would have stand nowhere; ids are UUIDs."""
    housing = floor.housing(until="signed")

    def names(value: Any) -> set[str]:
        match value:
            case dict():
                return set(value) | {name for inner in value.values() for name in names(inner)}
            case list():
                return {name for inner in value for name in names(inner)}
        return set()

    for path in (
        "/orders",
        f"/housings/{housing.serial}",
        "/certificates",
        f"/housings/{housing.serial}/readings",
    ):
        answer = done(desk.get(path))
        assert not {name for name in names(answer) if name == "pk" or name.endswith("_id")}
    for reading in done(desk.get(f"/housings/{housing.serial}/readings"))["readings"]:
        assert len(reading["id"]) == 36
