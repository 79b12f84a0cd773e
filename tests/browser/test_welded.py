"""How a housing was welded, on a phone: for the shop, and for whoever holds its certificate."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from inspections import tasks
from inspections.models import Certificate
from tests.browser.hands import PHONE, check_page, go, sign_in_at_desk, text_of
from tests.factories import Floor
from tests.inspections import welded

pytestmark = pytest.mark.django_db(transaction=True)


def picture(page: Any, name: str) -> None:
    """A picture for whoever looks at it: SHOPQC_TEST_PICTURES names where."""
    if folder := os.environ.get("SHOPQC_TEST_PICTURES"):
        page.screenshot(path=str(Path(folder) / f"{name}.png"), full_page=True)


def test_the_shop_and_a_stranger_read_it(floor: Floor, site: Any, open_page: Callable[..., Any]) -> None:
    welded.stocked(floor)
    housing = welded.welded(floor)
    certificate = Certificate.objects.get()
    tasks.issue_certificate(certificate.job.pk)

    page = open_page("phone", **PHONE)
    go(page, f"{site.url}/c/{certificate.code}/")
    page.locator("summary", has_text="How it was welded").click()
    shown = text_of(page)
    assert "snout-4140-250 1" in shown and "B-4140" in shown and "Wes Tandy" not in shown
    check_page(page)
    picture(page, "welded-stranger")

    desk = open_page("phone", **PHONE)
    sign_in_at_desk(desk, site.url, "badge-Q1")
    go(desk, f"{site.url}/h/{housing.serial}/")
    desk.get_by_role("link", name="Joints, procedures, steel and filler").click()
    assert "Left snout to tube" in text_of(desk)
    check_page(desk)
    picture(desk, "welded-shop")
