"""Codes to scan, as they are printed on labels."""

from __future__ import annotations

import segno
from django.utils.safestring import SafeString, mark_safe


def square(code: str) -> SafeString:
    """A code to scan, as inline SVG that takes the size of its label; level Q bears grease."""
    return mark_safe(segno.make(code, error="q", micro=False).svg_inline(border=2, omitsize=True))
