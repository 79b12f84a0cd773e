"""From frozen facts to the bytes of the certificate: the same facts give the same bytes on one machine."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import segno
from django.conf import settings
from django.utils.safestring import mark_safe

from inspections.certificate.pictures import with_pictures
from inspections.weld_summary import in_rows
from shopqc import paper


def public_address(code: str) -> str:
    """Where anybody who holds the certificate can check it."""
    return f"{settings.PUBLIC_URL}/c/{code}"


def qr_svg(address: str) -> str:
    """A QR code as inline SVG; level Q is readable with a quarter of it smeared."""
    svg: str = segno.make(address, error="q", micro=False).svg_inline(border=2)
    return mark_safe(svg)


def render(facts: Mapping[str, Any]) -> bytes:
    """The certificate as PDF."""
    address = public_address(facts["code"])
    shown = {**with_pictures(facts), "public_address": address}
    if "welds" in facts:
        shown["welds"] = in_rows(facts["welds"])
    context = {"facts": shown, "qr": qr_svg(address)}
    return paper.pdf("inspections/certificate.html", context, facts["shop"]["paper"])
