"""What is checked before the program starts to serve."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register
from django.db import DatabaseError
from django.utils.module_loading import import_string

from shopqc import append_only


@register(Tags.database)
def seals_are_laid(databases: Sequence[str] | None = None, **_: Any) -> list[CheckMessage]:
    """Every sealed table has its triggers, and they are switched on."""
    if not databases:
        return []
    try:
        gone = append_only.missing()
    except DatabaseError:
        return []  # no database yet; migrate lays them
    return [
        Error(
            f"The trigger {name} is missing or switched off, so a sealed table could be changed.",
            hint="Run: manage.py migrate. Then run: manage.py verify_ledger.",
            id="shopqc.E001",
        )
        for name in gone
    ]


@register()
def ports_are_answered(**_: Any) -> list[CheckMessage]:
    """What one app asks of a higher one is named and can be called; without it nothing starts."""
    found: list[CheckMessage] = []
    for name in (
        "STATION_GATE",
        "RELEASE_PLANNER",
        "NONCONFORMANCE_OPENER",
        "CERTIFICATE_QUESTIONER",
        "STEEL_ACCEPTED",
    ):
        try:
            answerer = import_string(getattr(settings, name, "") or "")
        except ImportError as error:
            found.append(Error(f"{name} names nothing that answers: {error}", id="shopqc.E002"))
        else:
            if not callable(answerer):
                found.append(Error(f"{name} names {answerer!r}, which cannot be called.", id="shopqc.E002"))
    return found


@register(Tags.security, deploy=True)
def floor_can_be_reached(**_: Any) -> list[CheckMessage]:
    """A QR that points to this machine alone helps no phone."""
    if "//127." in settings.FLOOR_URL or "//localhost" in settings.FLOOR_URL:
        return [
            Warning(
                f"SHOPQC_FLOOR_URL is {settings.FLOOR_URL}: a phone that scans a traveler will not get here.",
                hint="Set SHOPQC_FLOOR_URL to the address under which the shop's network knows this machine.",
                id="shopqc.W001",
            )
        ]
    return []
