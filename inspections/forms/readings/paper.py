"""Copied from paper: who measured, when, and a photograph of the page."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

FIELDS = ("measured_by", "done_at", "photo", "same_page")


def fields_of(kept: Mapping[str, str]) -> dict[str, forms.Field]:
    """The fields; ``kept`` is the page that the reading before was copied from, if there is one."""
    made: dict[str, forms.Field] = {
        "measured_by": forms.CharField(label=_("Stamp of who measured"), required=False, max_length=30),
        "done_at": forms.DateTimeField(
            label=_("When it was measured, by the shop's clock"),
            required=False,
            widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
            error_messages={"invalid": gettext_lazy("Write the day and the time, like 2031-03-09 14:02.")},
        ),
        "photo": forms.FileField(
            label=_("Photograph of the page"),
            required=False,
            widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,application/pdf"}),
        ),
    }
    if kept:
        made["same_page"] = forms.BooleanField(
            label=_("From the same page as the reading before"), required=False
        )
    return made


def initial_of(kept: Mapping[str, str]) -> dict[str, Any]:
    """What the fields start with while readings are copied from one page."""
    if not kept:
        return {}
    initial: dict[str, Any] = {"same_page": True, "measured_by": kept["measured_by"]}
    if kept["done_at"]:
        initial["done_at"] = timezone.localtime(datetime.datetime.fromisoformat(kept["done_at"]))
    return initial


def is_used(data: Mapping[str, Any], kept: Mapping[str, str]) -> bool:
    """Whether this reading is said to come from paper."""
    if kept:
        return bool(data.get("same_page") or data.get("photo"))
    return any(data.get(name) for name in FIELDS)


def wrong_with(data: Mapping[str, Any], kept: Mapping[str, str]) -> dict[str, str]:
    """What is missing of it, by field."""
    if not is_used(data, kept):
        return {}
    wrong = {}
    if not data.get("measured_by"):
        wrong["measured_by"] = _("Type the stamp of who measured.")
    if not data.get("done_at"):
        wrong["done_at"] = _("Say when it was measured; the page says it.")
    if not data.get("photo") and not data.get("same_page"):
        wrong["photo"] = _("Take a photograph of the page; what it says is then proof.")
    return wrong


def said(data: Mapping[str, Any], paper: str) -> dict[str, str]:
    """The page as `record_readings` takes it; ``paper`` is the digest of its photograph."""
    return {
        "paper": paper,
        "measured_by": data["measured_by"],
        "done_at": data["done_at"].isoformat(),
    }
