"""Signing off at a desk or a tablet: what waits, what is in the way, the secret asked for once more."""

from __future__ import annotations

import pytest

from housings.models import Housing
from inspections.models import Certificate, SignOff
from inspections.operations.nonconformances import raise_nonconformance
from shopqc.devices import give_token
from shopqc.models import SecretTries
from shopqc.operations.shop import switch_rule
from tests.factories import PIN, SECRET, Floor
from tests.inspections.conftest import SignedIn
from tests.inspections.sending import form_of, send
from tests.visitor import Visitor


@pytest.fixture
def housing(floor: Floor) -> Housing:
    """A housing whose every station is done."""
    return floor.housing(until="measured")


def of(housing: Housing) -> str:
    return f"/h/{housing.serial}/sign-off/"


def test_the_list_says_what_is_in_the_way(floor: Floor, housing: Housing, signed_in: SignedIn) -> None:
    early = floor.housing(until="jig")
    lead = signed_in("Q1")
    lead.get("/sign-offs/")
    assert "can be signed" in lead.page.text and of(housing) in lead.page.links
    assert of(early) not in lead.page.links
    floor.do(raise_nonconformance, by="W1", housing=housing.serial, what="A dent", hold=True)
    lead.get("/sign-offs/")
    assert "not yet Held: nonconformance 1 of this housing: A dent" in lead.page.text


def test_an_empty_list_says_how_one_comes(floor: Floor, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get("/sign-offs/")
    assert "A housing comes here when its last station is done." in lead.page.text


@pytest.mark.parametrize("path", ["/sign-offs/", "/certificates/", "/h/AX000001MN/sign-off/"])
def test_a_worker_has_no_business_here(floor: Floor, signed_in: SignedIn, path: str) -> None:
    floor.order()
    assert signed_in("W1").get(path).status_code == 403
    assert Visitor().get(path).status_code == 302


@pytest.mark.parametrize("stamp", ["E1", "O1"])
def test_who_may_not_sign_sees_what_would_be_frozen(
    housing: Housing, signed_in: SignedIn, stamp: str
) -> None:
    visitor = signed_in(stamp)
    visitor.get(of(housing))
    assert "This needs the role QC lead." in visitor.page.text and "North Off-Road" in visitor.page.text
    assert visitor.post(of(housing), {"secret": SECRET}).status_code == 403
    assert not SignOff.objects.exists()


def test_a_signature_with_the_password_brings_a_certificate(housing: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(of(housing))
    assert "Nothing is in the way." in lead.page.text and "Your password" in lead.page.text
    data = {**form_of(lead).values, "secret": SECRET}
    answers = [lead.post(of(housing), data)["Location"] for _tap in range(2)]
    assert answers == ["/certificates/C-00001/"] * 2
    assert Certificate.objects.count() == 1
    lead.follow()
    assert "Being made" in lead.page.text and "Signed. The certificate is being made." in lead.page.text


def test_a_wrong_secret_is_counted_and_says_how_long_to_wait(housing: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(of(housing))
    assert send(lead, secret="").status_code == 422
    for _try in range(2):
        assert send(lead, secret="not it").status_code == 403
        assert "The secret is not right. Nothing was signed." in lead.page.text
        assert form_of(lead).values["secret"] == ""
    send(lead, secret="not it")
    assert "The next try is taken in 5 seconds." in lead.page.text
    response = send(lead, secret=SECRET)
    assert response.status_code == 429 and response["Retry-After"] == "5"
    assert "Wait 5 seconds" in lead.page.text
    assert SecretTries.objects.get(badge="badge-Q1").wrong == 3
    assert not SignOff.objects.exists()


def test_at_a_registered_device_the_pin_signs(floor: Floor, housing: Housing, signed_in: SignedIn) -> None:
    from django.http import HttpResponse

    token, _device = floor.device()
    lead = signed_in("Q1")
    given = HttpResponse()
    give_token(given, token)
    lead.client.cookies.update(given.cookies)
    lead.get(of(housing))
    assert "Your PIN" in lead.page.text
    assert send(lead, secret=SECRET).status_code == 403
    assert send(lead, secret=PIN).status_code == 302


def test_what_is_in_the_way_leaves_no_button(floor: Floor, housing: Housing, signed_in: SignedIn) -> None:
    lead = signed_in("Q1")
    lead.get(of(housing))
    floor.do(raise_nonconformance, by="W1", housing=housing.serial, what="A dent")
    assert send(lead, secret=SECRET).status_code == 409
    assert "Nonconformance 1 waits for a decision: A dent" in lead.page.text
    lead.get(of(housing))
    assert not any("sent_key" in form.values for form in lead.page.forms)
    assert not SignOff.objects.exists()


def test_a_signer_who_measured_is_told_and_printed(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until="final_inspection")
    floor.measure_due(housing, "final_inspection")
    width = floor.characteristic(housing, "width")
    floor.record(housing, floor.reading(housing, width, "final_inspection"), by="Q1")
    visit = floor.next_visit(housing)
    assert visit is None
    from housings.operations.visits import leave_station

    floor.do(leave_station, by="W1", housing=housing.serial, station="final_inspection")
    lead = signed_in("Q1")
    lead.get(of(housing))
    assert "Q1 has worked on this housing or measured it; somebody else has to sign." in lead.page.text
    floor.do(switch_rule, by="O1", rule="independent_signer", in_use=False)
    lead.get(of(housing))
    assert "If you sign, that prints on the certificate." in lead.page.text
    send(lead, secret=SECRET)
    assert "has also worked on this housing" in SignOff.objects.get().facts
