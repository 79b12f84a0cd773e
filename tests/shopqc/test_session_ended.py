"""A session that ended while somebody typed: what was typed is shown, and the way back leads to the form."""

from __future__ import annotations

from urllib.parse import quote

from django.test import Client
from django.urls import reverse

from inspections.models import Certificate
from tests.factories import Floor


def test_signing_in_again_leads_to_the_page_where_the_form_stood(db: None) -> None:
    floor = Floor()
    floor.housing(until="signed")
    number = Certificate.objects.get().number
    page, target = (reverse(name, args=[number]) for name in ("certificate", "certificate-revoke"))
    sent = {"why": "A wrong heat number was found."}
    answer = Client().post(target, sent, headers={"referer": f"http://testserver{page}"})
    shown = answer.content.decode()
    assert answer.status_code == 403
    assert sent["why"] in shown
    assert f"?next={quote(page)}" in shown.replace("%2F", "/")
    other = Client().post(target, sent, headers={"referer": "http://elsewhere.example/trap"})
    assert "elsewhere" not in other.content.decode()
