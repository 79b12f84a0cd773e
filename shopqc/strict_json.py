"""One strict reading of JSON for every door.

JSON leaves open what a receiver does with duplicate names, depth, sizes and
half characters (RFC 8259, sections 4, 8 and 9); here they are refused, so
that what we store is what the sender meant.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from decimal import Decimal
from typing import Any, NoReturn

from rest_framework.parsers import BaseParser

from shopqc.api_bodies import whole_body
from shopqc.refusals import refuse

LARGEST = 1_000_000
DEEPEST = 12
LONGEST_NUMBER = 40
# The largest power of ten a number may have: far beyond anything in a shop.
LARGEST_EXPONENT = 30
# A text that never ends is taken as one to the end of the body: looked for anew from each of its quotes,
# a body of escaped quotes would cost the square of its length.
_TEXT_OR_BRACKET = re.compile(r'"(?:[^"\\]|\\.)*+"?|[\[\]{}]', re.DOTALL)


class _Broken(ValueError):
    """What is wrong, as the end of the sentence "The body is not JSON: …"."""


def _refuse_constant(name: str) -> NoReturn:
    raise _Broken(f"{name} is no number of JSON.")


def _number(text: str) -> Decimal:
    number = Decimal(text)
    if len(text) > LONGEST_NUMBER or abs(number.adjusted()) > LARGEST_EXPONENT:
        raise _Broken(f"the number {text[:20]}… is out of all proportion.")
    return number


def _whole_number(text: str) -> int:
    if len(text) > LONGEST_NUMBER:
        raise _Broken(f"the number {text[:20]}… is out of all proportion.")
    return int(text)


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) != len(pairs):
        times = Counter(name for name, _ in pairs)
        double = next(name for name, found in times.items() if found > 1)
        raise _Broken(f"the name {double[:60]!r} stands twice in one object.")
    return members


def _check_text(value: Any) -> None:
    """Refuse NUL and half surrogate pairs, which databases and paper cannot keep."""
    match value:
        case str():
            if "\x00" in value:
                raise _Broken("a text has a NUL character.")
            if any("\ud800" <= character <= "\udfff" for character in value):
                raise _Broken("a text has half a surrogate pair.")
        case dict():
            for name, item in value.items():
                _check_text(name)
                _check_text(item)
        case list():
            for item in value:
                _check_text(item)


def _check_depth(text: str) -> None:
    depth = deepest = 0
    for token in _TEXT_OR_BRACKET.finditer(text):
        match token.group():
            case "[" | "{":
                depth += 1
                deepest = max(deepest, depth)
            case "]" | "}":
                depth -= 1
    if deepest > DEEPEST:
        raise _Broken(f"it is nested {deepest} deep; {DEEPEST} is the most.")


def parse(body: bytes) -> Any:
    """Read JSON; numbers with a point come as `Decimal`.

    Raises
    ------
    Refused
        ``json_broken`` with what is wrong and where; ``too_large``.
    """
    if len(body) > LARGEST:
        raise refuse("too_large", limit=LARGEST)
    try:
        text = body.decode("utf-8")
        _check_depth(text)
        value = json.loads(
            text,
            object_pairs_hook=_object,
            parse_constant=_refuse_constant,
            parse_float=_number,
            parse_int=_whole_number,
        )
        _check_text(value)
    except UnicodeDecodeError as error:
        raise refuse("json_broken", why=f"byte {error.start} is not UTF-8.") from error
    except json.JSONDecodeError as error:
        raise refuse(
            "json_broken", why=f"{error.msg} (line {error.lineno}, column {error.colno})."
        ) from error
    except _Broken as error:
        raise refuse("json_broken", why=str(error)) from error
    return value


class StrictJSONParser(BaseParser):
    """`parse` for Django REST framework."""

    media_type = "application/json"

    def parse(self, stream: Any, media_type: str | None = None, parser_context: Any = None) -> Any:
        return parse(whole_body(stream, LARGEST, parser_context))
