"""Somebody without an account: a serial shows a sign-in, a code whether its certificate is genuine."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from inspections.models import Certificate
from inspections.operations.certificates import revoke_certificate
from tests.browser.hands import PHONE, go, text_of
from tests.factories import Floor
from tests.harness import processes
from tests.harness.homes import Home
from tests.journeys.issued import wait_until_all_issued

pytestmark = pytest.mark.django_db(transaction=True)


def test_the_code_of_a_serial_shows_a_stranger_only_the_sign_in(
    floor: Floor, site: Any, open_page: Callable[..., Any]
) -> None:
    housing = floor.housing(until="tack")
    page = open_page("phone", **PHONE)
    for address in (f"/h/{housing.serial}/", "/h/KC999999ZZ/", f"/h/{housing.serial}/traveler.pdf"):
        go(page, site.url + address)
        assert page.url.startswith(f"{site.url}/sign-in/")
        shown = text_of(page, "body")
        assert housing.order.customer.name not in shown and "Tack" not in shown
        assert housing.order.number not in shown and housing.order.reference not in shown


def test_the_code_of_a_certificate_says_genuine_revoked_or_not_known(
    floor: Floor, site: Any, shared_home: Home, open_page: Callable[..., Any]
) -> None:
    housing = floor.housing(until="signed")
    certificate = Certificate.objects.get(housing=housing)
    page = open_page("phone", **PHONE)
    address = f"{site.url}/c/{certificate.code}/"
    go(page, address)
    assert "Being made" in text_of(page, ".verdict")
    with processes.worker(shared_home):
        wait_until_all_issued()
    go(page, f"{address}?1")
    assert "Genuine" in text_of(page, ".verdict")
    assert housing.serial in text_of(page).replace(" ", "").replace("-", "")
    assert housing.order.customer.name not in text_of(page, "body")
    assert page.locator(".who").count() == 0
    with page.expect_download() as download:
        page.get_by_role("link", name="Download the certificate (PDF)").click()
    assert download.value.suggested_filename.endswith(".pdf")

    floor.do(revoke_certificate, by="Q1", certificate=certificate.number, why="It was signed too early.")
    go(page, f"{address}?2")
    assert "Revoked" in text_of(page, ".verdict") and "It was signed too early." in text_of(page)
    assert page.get_by_role("link", name="Download the certificate (PDF)").count() == 0
    last = "a" if certificate.code[-1] != "a" else "b"
    go(page, f"{site.url}/c/{certificate.code[:-1]}{last}/")
    assert "Not known" in text_of(page, ".verdict")
