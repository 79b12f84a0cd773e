"""Sending the form of an operation as its page has it."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse

from tests.visitor import FormOnPage, Visitor


def form_of(visitor: Visitor, action: str = "") -> FormOnPage:
    """The form with an operation's key whose address ends so; else the one that goes to its own page."""
    found = [f for f in visitor.page.forms if "sent_key" in f.values and f.action.endswith(action)]
    assert found, f"No form of an operation on {visitor.url}: {visitor.page.text[:400]}"
    return next((form for form in found if not action and not form.action), found[0])


def send(visitor: Visitor, action: str = "", **typed: Any) -> HttpResponse:
    """Fill the form in and send it."""
    form = form_of(visitor, action)
    return visitor.post(form.action or visitor.url, {**form.values, **typed})
