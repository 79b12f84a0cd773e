"""How templates cut serials and numbers (at hyphen and point) and write moments in the shop's zone."""

from __future__ import annotations

from datetime import date, datetime

from django import template
from django.utils import formats, timezone

register = template.Library()


@register.filter
def before_point(text: object) -> str:
    """The part of a number that stands left of where the points are aligned: ``12`` of ``12.0021``.

    Text that is no number stands there whole.
    """
    words = str(text)
    return words.partition(".")[0] if _is_number(words) else words


@register.filter
def from_point(text: object) -> str:
    """The part from the point on, the point included: ``.0021`` of ``12.0021``; empty if there is none."""
    words = str(text)
    _whole, point, fraction = words.partition(".")
    return point + fraction if _is_number(words) else ""


@register.filter
def serial_body(grouped: object) -> str:
    """A grouped serial without its check characters: ``KR 000 123`` of ``KR 000 123-H7``."""
    return str(grouped).partition("-")[0]


@register.filter
def serial_check(grouped: object) -> str:
    """The check characters with the hyphen before them: ``-H7`` of ``KR 000 123-H7``."""
    _body, hyphen, check = str(grouped).partition("-")
    return hyphen + check


@register.filter
def day(value: object) -> str:
    """A date as people write it, ``9 Mar 2031``. Takes a date, a moment or their ISO 8601 text.

    Text that is neither stays as it is: a frozen record may say "not known".
    """
    when = _when(value)
    return str(value if value is not None else "") if when is None else formats.date_format(when, "j M Y")


@register.filter
def moment(value: object) -> str:
    """A moment with its zone, ``9 Mar 2031, 14:02 UTC``. Takes a moment, a date or their ISO text."""
    when = _when(value)
    if not isinstance(when, datetime):
        return day(value)
    return formats.date_format(when, "j M Y, H:i T")


def _is_number(text: str) -> bool:
    return text.strip().lstrip("+-−").replace(".", "", 1).isdecimal()


def _when(value: object) -> date | datetime | None:
    """The moment in the shop's zone, or the date; ``None`` if it is neither."""
    if isinstance(value, str):
        try:
            value = date.fromisoformat(value) if len(value) == 10 else datetime.fromisoformat(value)
        except ValueError:
            return None
    if isinstance(value, datetime):
        return timezone.localtime(value) if timezone.is_aware(value) else value
    return value if isinstance(value, date) else None
