"""Certificates at a desk, and the page that anybody with a certificate's code can open."""

from __future__ import annotations

import json

import pytest
from django.test import Client

from housings.models import Housing
from inspections.models import Certificate, IssueJob
from inspections.tasks import issue_certificate
from tests.factories import Floor
from tests.inspections.conftest import SignedIn
from tests.inspections.sending import form_of, send
from tests.visitor import Visitor

NUMBER = "C-00001"


@pytest.fixture
def housing(floor: Floor) -> Housing:
    """A signed housing whose certificate is not made yet."""
    return floor.housing(until="signed")


@pytest.fixture
def certificate(housing: Housing) -> Certificate:
    """Its certificate, made."""
    issue_certificate(IssueJob.objects.get().pk)
    return Certificate.objects.get()


def public(certificate: Certificate) -> str:
    return f"/c/{certificate.code}/"


# --- at a desk -----------------------------------------------------------------------------------
def test_the_list_says_how_each_stands(certificate: Certificate, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get("/certificates/")
    assert "C-00001 genuine" in lead.page.text
    lead.get(f"/certificates/?find={certificate.housing.serial[:6].lower()}")
    assert NUMBER in lead.page.text
    lead.get("/certificates/?find=nothing%20such")
    assert "No certificate has this number or serial." in lead.page.text
    assert lead.get("/certificates/?page=9999").status_code == 200
    assert lead.get("/certificates/?page=x").status_code == 200


def test_an_empty_list_says_how_one_comes(floor: Floor, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get("/certificates/")
    assert "One is made as soon as a housing is signed off." in lead.page.text


def test_it_gives_file_and_facts(certificate: Certificate, signed_in: SignedIn) -> None:
    lead = signed_in("O1")
    lead.get(f"/certificates/{NUMBER}/")
    assert "Genuine" in lead.page.text and "Its file was made; it is issued." in lead.page.text
    assert lead.get(f"/certificates/{NUMBER}/certificate.pdf").content.startswith(b"%PDF-")
    facts = lead.get(f"/certificates/{NUMBER}/facts.json").content
    assert facts.decode() == certificate.sign_off.facts
    assert json.loads(facts)["number"] == NUMBER


def test_before_it_is_made_there_is_no_file(housing: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(f"/certificates/{NUMBER}/")
    assert "Being made" in lead.page.text
    assert lead.get(f"/certificates/{NUMBER}/certificate.pdf").status_code == 409


def test_the_qc_lead_revokes_with_a_reason_once(certificate: Certificate, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(f"/certificates/{NUMBER}/")
    assert send(lead, "/revoke/", why=" ").status_code == 422
    assert "Say it in words." in lead.page.text
    data = {**form_of(lead, "/revoke/").values, "why": "The plate was of another heat."}
    for _tap in range(2):
        assert lead.post(f"/certificates/{NUMBER}/revoke/", data).status_code == 302
    lead.follow()
    assert "Revoked" in lead.page.text and "The plate was of another heat." in lead.page.text
    assert lead.post(f"/certificates/{NUMBER}/revoke/", {"why": "again"}).status_code == 409
    assert "was revoked already" in lead.page.text
    certificate.housing.refresh_from_db()
    assert certificate.housing.state == "in_work"


@pytest.mark.parametrize("stamp", ["E1", "O1"])
def test_others_do_not_revoke(certificate: Certificate, signed_in: SignedIn, stamp: str) -> None:
    visitor = signed_in(stamp)
    visitor.get(f"/certificates/{NUMBER}/")
    assert "Revoking: This needs the role QC lead." in visitor.page.text
    assert visitor.post(f"/certificates/{NUMBER}/revoke/", {"why": "no"}).status_code == 403
    assert not certificate.events.filter(kind="revoked").exists()


def test_one_that_was_set_aside_shows_why_and_is_tried_again(housing: Housing, signed_in: SignedIn) -> None:
    IssueJob.objects.update(state=IssueJob.ASIDE, attempts=6, last_error="OSError: no room on the disk")
    lead = signed_in("Q1")
    lead.get("/certificates/")
    assert "These could not be made yet" in lead.page.text and "no room on the disk" in lead.page.text
    lead.get(f"/certificates/{NUMBER}/")
    assert "Could not be made" in lead.page.text
    assert send(lead, "/again/").status_code == 302
    assert IssueJob.objects.get().state == IssueJob.WAITING
    assert lead.post(f"/certificates/{NUMBER}/again/", {}).status_code == 404
    owner = signed_in("O1")
    assert owner.post(f"/certificates/{NUMBER}/again/", {}).status_code == 403


def test_a_number_that_is_none_is_not_found(floor: Floor, signed_in: SignedIn) -> None:
    for path in ("", "certificate.pdf", "facts.json"):
        assert signed_in("Q1").get(f"/certificates/C-09999/{path}").status_code == 404


# --- for whoever holds one ----------------------------------------------------------------------
def test_a_stranger_with_the_code_sees_that_it_is_genuine(certificate: Certificate) -> None:
    stranger = Visitor()
    response = stranger.get(public(certificate))
    text = stranger.page.text
    assert "Genuine" in text and NUMBER in text
    assert certificate.housing.serial_grouped.replace(" ", "") in text.replace(" ", "")
    assert "Quinn Abara" in text and "4 May 2026" in text
    # Who ordered it is not theirs to know, and there is nothing to sign in to.
    assert "North" not in text and "PO-" not in text
    assert not any("sign-in" in link for link in stranger.page.links)
    assert "noindex" in response["X-Robots-Tag"] and "noindex" in response.content.decode()
    assert "max-age=30" in response["Cache-Control"]


def test_the_code_as_printed_needs_no_slash_at_its_end(certificate: Certificate) -> None:
    assert Visitor().get(f"/c/{certificate.code}").status_code == 200
    assert Visitor().get(f"/c/{certificate.code.upper()}").status_code == 200


def test_a_stranger_with_the_code_gets_the_file(certificate: Certificate) -> None:
    response = Visitor().get(f"{public(certificate)}certificate.pdf")
    assert response.content.startswith(b"%PDF-")
    assert "noindex" in response["X-Robots-Tag"]


def test_while_it_is_made_its_page_says_so(housing: Housing) -> None:
    found = Certificate.objects.get()
    stranger = Visitor()
    stranger.get(public(found))
    assert "Being made" in stranger.page.text and "Genuine" not in stranger.page.text
    assert stranger.get(f"{public(found)}certificate.pdf").status_code == 302


def test_a_revoked_one_says_why_and_gives_no_file(certificate: Certificate, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(f"/certificates/{NUMBER}/")
    send(lead, "/revoke/", why="The plate was of another heat.")
    stranger = Visitor()
    stranger.get(public(certificate))
    assert "Revoked" in stranger.page.text and "The plate was of another heat." in stranger.page.text
    assert "Genuine" not in stranger.page.text
    assert stranger.get(f"{public(certificate)}certificate.pdf")["Location"] == public(certificate)


@pytest.mark.parametrize("code", ["abc", "a" * 26, "x" * 5000, "\U0001f600", "..", "%2e%2e", "AX000001MN"])
def test_a_code_that_is_none_gets_a_clear_page(certificate: Certificate, code: str) -> None:
    stranger = Visitor()
    response = stranger.get(f"/c/{code}/")
    assert response.status_code == 404
    assert "No certificate of this shop has this code." in stranger.page.text


def test_a_nul_in_the_code_is_refused(certificate: Certificate) -> None:
    assert Visitor().get("/c/a%00b/").status_code == 400


def test_the_public_pages_can_be_served_alone(certificate: Certificate, settings: object) -> None:
    settings.ROOT_URLCONF = "inspections.public_urls"  # type: ignore[attr-defined]
    client = Client()
    assert client.get(public(certificate)).status_code == 200
    assert client.get(f"{public(certificate)}certificate.pdf").status_code == 200
    assert client.get("/c/unknown/").status_code == 404
    for path in ("/", "/sign-in/", "/certificates/", f"/h/{certificate.housing.serial}/", "/api/v1/orders"):
        assert client.get(path).status_code == 404


def test_a_strangers_look_costs_few_queries(
    certificate: Certificate, django_assert_max_num_queries: object
) -> None:
    client = Client()
    with django_assert_max_num_queries(4):  # type: ignore[operator]
        assert client.get(public(certificate)).status_code == 200
