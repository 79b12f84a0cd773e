"""Signing, and what comes of it, over the API."""

from __future__ import annotations

import hashlib
import io
import json
from typing import Any

import pytest
from django.conf import settings
from pypdf import PdfReader

from housings.models import Housing
from inspections.models import IssueJob, SignOff
from inspections.tasks import issue_certificate
from shopqc import ledger
from shopqc.models import SecretTries
from tests.api.caller import Caller, done, pointers, refused
from tests.factories import SECRET, Floor


@pytest.fixture
def ready(floor: Floor) -> Housing:
    """A housing that waits for its signature."""
    return floor.housing(until="measured")


@pytest.fixture
def signed(floor: Floor) -> str:
    """The number of a certificate whose file is not made yet."""
    floor.housing(until="signed")
    return IssueJob.objects.get().certificate.number


def test_a_key_that_stands_for_the_qc_lead_signs(desk: Caller, ready: Housing) -> None:
    response = desk.post(f"/housings/{ready.serial}/sign-off", {"secret": SECRET})
    answer = done(response, 201)
    assert response["Location"] == f"/api/v1/certificates/{answer['certificate']}"
    shown = done(desk.get(response["Location"]))
    assert (shown["status"], shown["housing"], shown["signed_by"]) == ("waiting", ready.serial, "Q1")
    assert shown["code"] == answer["code"] and shown["public_address"].endswith(f"/c/{answer['code']}")
    order = done(desk.get(f"/orders/{ready.order.number}"))
    assert order["housings"][0]["certificates"] == [answer["certificate"]]


def test_a_wrong_secret_is_counted_once_and_slows_down(floor: Floor, desk: Caller, ready: Housing) -> None:
    path = f"/housings/{ready.serial}/sign-off"
    first = desk.post(path, {"secret": "wrong"}, name="try-1")
    problem = refused(first, 403, "secret_wrong")
    assert pointers(problem) == {"/secret"}
    again = desk.post(path, {"secret": "wrong"}, name="try-1")
    assert (again.status_code, again.content) == (first.status_code, first.content)
    assert SecretTries.objects.get().wrong == 1
    refused(desk.post(path, {"secret": SECRET}, name="try-1"), 422, "key_reused")
    refused(desk.post(path, {"secret": "wrong"}), 403, "secret_wrong")
    refused(desk.post(path, {"secret": "wrong"}), 403, "secret_wrong")
    waits = desk.post(path, {"secret": SECRET})
    refused(waits, 429, "wait")
    assert int(waits["Retry-After"]) > 0
    assert not SignOff.objects.exists()
    assert ledger.verify().faults == ()


def test_wrong_secrets_over_one_key_slow_down_no_other(floor: Floor, desk: Caller, ready: Housing) -> None:
    path = f"/housings/{ready.serial}/sign-off"
    for _ in range(3):
        refused(desk.post(path, {"secret": "wrong"}), 403, "secret_wrong")
    refused(desk.post(path, {"secret": SECRET}), 429, "wait")
    other = Caller(floor.api_key("floor", stamp="Q1")[0])
    done(other.post(path, {"secret": SECRET}), 201)


def test_nobody_signs_without_a_person_a_role_or_a_finished_housing(
    floor: Floor, desk: Caller, phone: Caller, ready: Housing, nothing_changes: Any
) -> None:
    path = f"/housings/{ready.serial}/sign-off"
    alone = Caller(floor.api_key("floor")[0])
    unfinished = floor.housing(until="jig")
    with nothing_changes():
        refused(alone.post(path, {"secret": SECRET}), 403, "not_allowed")
        refused(phone.post(path, {"secret": SECRET}), 403, "not_allowed")
        refused(desk.post(f"/housings/{unfinished.serial}/sign-off", {"secret": SECRET}), 409, "visits_ahead")
        for body in ({}, {"secret": None}, {"secret": 5}, {"secret": "s" * 201}):
            assert pointers(refused(desk.post(path, body), 422)) == {"/secret"}


def test_a_person_signs_in_at_a_page_and_the_page_carries_its_token(floor: Floor, ready: Housing) -> None:
    person = Caller(None)
    person.client.handler.enforce_csrf_checks = True
    person.client.force_login(floor.person("Q1"))
    path = f"/housings/{ready.serial}/sign-off"
    refused(person.post(path, {"secret": SECRET}), 403, "page_token_missing")
    token = "a" * 32
    person.client.cookies[settings.CSRF_COOKIE_NAME] = token
    done(person.post(path, {"secret": SECRET}, **{"X-CSRFToken": token}), 201)


def test_the_file_is_refused_while_it_is_made_and_given_after(
    desk: Caller, signed: str, nothing_changes: Any
) -> None:
    path = f"/certificates/{signed}/file"
    with nothing_changes():
        refused(desk.get(path), 409, "certificate_being_made")
        refused(desk.get(path, Accept="application/pdf"), 409, "certificate_being_made")
    issue_certificate(IssueJob.objects.get().pk)
    response = desk.get(path)
    assert (response.status_code, response["Content-Type"]) == (200, "application/pdf")
    assert f"{signed}.pdf" in response["Content-Disposition"]
    shown = done(desk.get(f"/certificates/{signed}"))
    assert shown["status"] == "genuine"
    (issued,) = shown["events"]
    assert issued["file_sha256"] == hashlib.sha256(response.content).hexdigest()
    # Read by a library that had no part in making it.
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(response.content)).pages)
    assert signed in text


def test_the_facts_are_given_byte_for_byte(desk: Caller, signed: str) -> None:
    response = desk.get(f"/certificates/{signed}/facts")
    assert (response.status_code, response["Content-Type"]) == (200, "application/json")
    shown = done(desk.get(f"/certificates/{signed}"))
    assert hashlib.sha256(response.content).hexdigest() == shown["facts_sha256"]
    assert json.loads(response.content)["number"] == signed


def test_a_file_that_could_not_be_made_or_is_gone_says_so(desk: Caller, signed: str) -> None:
    IssueJob.objects.update(state=IssueJob.ASIDE)
    refused(desk.get(f"/certificates/{signed}/file"), 409, "certificate_set_aside")
    IssueJob.objects.update(state=IssueJob.WAITING)
    issue_certificate(IssueJob.objects.get().pk)
    sha256 = done(desk.get(f"/certificates/{signed}"))["events"][0]["file_sha256"]
    stored = settings.FILE_STORE / sha256[:2] / sha256
    whole = stored.read_bytes()
    stored.write_bytes(whole[:-1])
    refused(desk.get(f"/certificates/{signed}/file"), 409, "certificate_file_gone")
    stored.unlink()
    refused(desk.get(f"/certificates/{signed}/file"), 409, "certificate_file_gone")


def test_a_person_revokes_and_a_key_does_not(floor: Floor, desk: Caller, signed: str) -> None:
    refused(desk.post(f"/certificates/{signed}/revoke", {"why": "found wrong"}), 403, "key_without_scope")
    lead = Caller(None)
    lead.client.force_login(floor.person("Q1"))
    assert pointers(refused(lead.post(f"/certificates/{signed}/revoke", {"why": " "}), 422)) == {"/why"}
    done(lead.post(f"/certificates/{signed}/revoke", {"why": "measured with a gauge that was off"}))
    refused(lead.post(f"/certificates/{signed}/revoke", {"why": "again"}), 409, "revoked_already")
    shown = done(desk.get(f"/certificates/{signed}"))
    assert shown["status"] == "revoked"
    assert shown["events"][-1]["why"] == "measured with a gauge that was off"
    refused(lead.post("/certificates/C-99999/revoke", {"why": "x"}), 404, "not_found")
    refused(desk.get("/certificates/C-99999"), 404, "not_found")
