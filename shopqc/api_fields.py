"""The fields that bodies of the API are made of: strict in type, bounded like the columns they end in."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext_lazy as _
from rest_framework import serializers

from shopqc.canonical import moment

LONG_TEXT = 2_000
# Between these years a moment or a day is meant; outside, a clock was never set or a digit slipped.
FIRST_YEAR, LAST_YEAR = 2000, 2199


class Text(serializers.CharField):
    """Text of at most ``most`` characters. Empty text is text: whether it is enough, the operation says."""

    default_error_messages = {
        "no_text": _("This is text, in quotes."),
        "control": _("There is a control character in this text."),
    }
    # C0 and C1 without tab and line ends: nothing on paper can show them.
    pattern = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")

    def __init__(self, most: int, **options: Any) -> None:
        options.setdefault("allow_blank", True)
        super().__init__(max_length=most, **options)

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str):
            self.fail("no_text")
        if self.pattern.search(data):
            self.fail("control")
        return str(super().to_internal_value(data))


class OneOf(serializers.Field):
    """One of some words."""

    default_error_messages = {"other": _("This is one of: {words}.")}

    def __init__(self, words: Sequence[str], **options: Any) -> None:
        self.words = words
        super().__init__(**options)

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str) or data not in self.words:
            self.fail("other", words=", ".join(self.words))
        return str(data)


class WholeNumber(serializers.Field):
    """A JSON number without a point, from ``least`` to ``most``."""

    default_error_messages = {"other": _("This is a whole number from {least} to {most}, without quotes.")}

    def __init__(self, least: int, most: int, **options: Any) -> None:
        self.least, self.most = least, most
        super().__init__(**options)

    def to_internal_value(self, data: Any) -> int:
        if not isinstance(data, int) or isinstance(data, bool) or not self.least <= data <= self.most:
            self.fail("other", least=self.least, most=self.most)
        return int(data)


class YesNo(serializers.Field):
    """``true`` or ``false``."""

    default_error_messages = {"other": _("This is true or false, without quotes.")}

    def to_internal_value(self, data: Any) -> bool:
        if not isinstance(data, bool):
            self.fail("other")
        return bool(data)


class Identifier(serializers.Field):
    """A UUID, written with its hyphens (RFC 9562)."""

    default_error_messages = {"other": _("This is a UUID, such as 0b6b6c0e-6a6c-4a53-9a43-0a3c5f0d2a11.")}
    pattern = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str) or not self.pattern.fullmatch(data.lower()):
            self.fail("other")
        return data.lower()


class Moment(serializers.Field):
    """A moment with its zone (RFC 3339), kept in UTC."""

    default_error_messages = {
        "other": _("This is a moment with its time zone, such as 2026-05-04T14:30:00+02:00."),
        "year": _("The year is not between {first} and {last}; is the clock set?"),
    }
    pattern = re.compile(
        r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt ][0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,6})?)?"
        r"([Zz]|[+-][0-9]{2}:[0-9]{2})"
    )

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str) or not self.pattern.fullmatch(data):
            self.fail("other")
        try:
            at = datetime.datetime.fromisoformat(data.upper())
        except ValueError:
            self.fail("other")
        if not FIRST_YEAR <= at.year <= LAST_YEAR:
            self.fail("year", first=FIRST_YEAR, last=LAST_YEAR)
        return moment(at)


class Day(serializers.Field):
    """A day of the calendar (ISO 8601), such as ``2026-05-04``."""

    default_error_messages = {
        "other": _("This is a day of the calendar, such as 2026-05-04."),
        "year": _("The year is not between {first} and {last}."),
    }

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str) or not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", data):
            self.fail("other")
        try:
            day = datetime.date.fromisoformat(data)
        except ValueError:
            self.fail("other")
        if not FIRST_YEAR <= day.year <= LAST_YEAR:
            self.fail("year", first=FIRST_YEAR, last=LAST_YEAR)
        return data


class Members(serializers.Field):
    """A JSON object whose members are checked further in, such as a build spec or a raw reading.

    At most ``most`` members with short names, so that what is said of them stays short.
    """

    default_error_messages = {
        "other": _("This is an object with named members."),
        "many": _("This has more than {most} members, or a name of more than {longest} characters."),
    }
    longest_name = 60

    def __init__(self, most: int, **options: Any) -> None:
        self.most = most
        super().__init__(**options)

    def to_internal_value(self, data: Any) -> dict[str, Any]:
        if not isinstance(data, dict):
            self.fail("other")
        if len(data) > self.most or any(len(name) > self.longest_name for name in data):
            self.fail("many", most=self.most, longest=self.longest_name)
        return data
