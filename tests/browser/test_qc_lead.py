"""The QC lead at a desk: deciding, signing, handing out the certificate, taking it back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from housings.models import Housing, Visit
from inspections.models import Certificate
from tests.browser.hands import follow, go, press, sign_in_at_desk, text_of
from tests.factories import SECRET, Floor
from tests.harness import processes
from tests.harness.homes import Home
from tests.journeys.issued import wait_until_all_issued

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_rework_is_decided_with_its_visits_seen_before(floor: Floor, site: Any, desktop: Any) -> None:
    housing = _with_a_fail(floor)
    sign_in_at_desk(desktop, site.url, "badge-Q1", "/nonconformances/")
    with desktop.expect_navigation():
        desktop.locator("main .list a").first.click()
    desktop.check("#decision_rework")
    desktop.get_by_text("Stations, for rework or repair").click()
    desktop.check("[name=stations][value=tack]")
    press(desktop, "Show what is put in between")
    assert "Tack rework" in text_of(desktop, "[role=status]")
    assert desktop.is_checked("#decision_rework")
    press(desktop, "Record the decision")
    assert "Say it in words." in text_of(desktop)
    desktop.fill("[name=reason]", "Opened and tacked again at the gap asked for.")
    press(desktop, "Record the decision")
    assert "rework" in text_of(desktop)
    assert Visit.objects.filter(housing=housing, station="tack", kind="rework", state="ahead").count() == 1


def test_signing_brings_a_certificate_until_it_is_revoked(
    floor: Floor, site: Any, shared_home: Home, desktop: Any, phone: Any, tmp_path: Path
) -> None:
    housing = floor.housing(until="measured")
    sign_in_at_desk(desktop, site.url, "badge-Q1", "/sign-offs/")
    assert "can be signed" in text_of(desktop)
    with desktop.expect_navigation():
        desktop.locator("main .list a").first.click()
    desktop.fill("[name=secret]", "another-secret-word")
    press(desktop, "Sign for this housing")
    assert "The secret is not right. Nothing was signed." in text_of(desktop)
    assert not Certificate.objects.exists()
    desktop.fill("[name=secret]", SECRET)
    press(desktop, "Sign for this housing")
    assert "Signed. The certificate is being made." in text_of(desktop, ".messages")
    with processes.worker(shared_home):
        wait_until_all_issued()
    desktop.reload()
    assert "Genuine" in text_of(desktop, ".verdict")

    with desktop.expect_download() as download:
        desktop.get_by_role("link", name="Download the PDF").click()
    kept = tmp_path / "certificate.pdf"
    download.value.save_as(kept)
    assert kept.read_bytes().startswith(b"%PDF")

    certificate = Certificate.objects.get(housing=housing)
    public = f"{site.url}/c/{certificate.code}/"
    go(phone, public)
    assert "Genuine" in text_of(phone, ".verdict")
    desktop.get_by_text("Revoke this certificate").click()
    desktop.fill("[name=why]", "The left journal was measured with a gauge that was dropped.")
    press(desktop, "Revoke it")
    assert "Revoked" in text_of(desktop, ".verdict")
    page = phone.context.new_page()
    go(page, public + "?seen-before=no")
    assert "Revoked" in text_of(page, ".verdict") and "a gauge that was dropped" in text_of(page)
    follow(desktop, _grouped(housing))
    assert "Sign off" in text_of(desktop)


def _grouped(housing: Housing) -> str:
    return housing.serial_grouped


def _with_a_fail(floor: Floor) -> Housing:
    """A housing whose left gap is too wide: a minor nonconformance."""
    housing = floor.housing(until="tack")
    floor.work(housing, "tack")
    gap = floor.characteristic(housing, "gap_left")
    floor.record(housing, floor.reading(housing, gap, "tack", raw={"value": "0.25"}), by="W1")
    return housing
