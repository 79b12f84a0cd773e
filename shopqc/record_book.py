"""Lines of the record book as sentences that people read.

Each app says in its ``record_words.py`` what its operations look like, by
`says`. An operation that nobody has words for is named by its own name and
what it noted, so that no line is ever left out.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.db.models import QuerySet
from django.utils.module_loading import autodiscover_modules
from django.utils.translation import gettext as _

from shopqc.models import LedgerEntry

Words = Callable[[Mapping[str, Any]], str]
WORDS: dict[str, Words] = {}


@dataclass(frozen=True)
class ReadLine:
    """One line: its place in the chain, when, by whom, what was done, how many facts it brought."""

    position: int
    at: datetime.datetime
    stamp: str
    sentence: str
    facts: int
    digest: str


def says(operation: str) -> Callable[[Words], Words]:
    """Register the words of an operation: a function from what its line noted to a sentence."""

    def register(words: Words) -> Words:
        if operation in WORDS:
            raise ValueError(f"The operation {operation!r} has words already.")
        WORDS[operation] = words
        return words

    return register


@cache
def _all_words() -> Mapping[str, Words]:
    autodiscover_modules("record_words")
    return WORDS


def lines_of(chain: str) -> QuerySet[LedgerEntry]:
    """The lines of one chain, the newest first."""
    return LedgerEntry.objects.filter(chain=chain).order_by("-position")


def read(entry: LedgerEntry) -> ReadLine:
    """One line in words."""
    line = json.loads(entry.line)
    data = line["data"]
    words = _all_words().get(line["operation"])
    return ReadLine(
        position=entry.position,
        at=datetime.datetime.fromisoformat(line["at"]),
        stamp=line["by"]["stamp"],
        sentence=_said(words, line["operation"], data),
        facts=len(line["facts"]),
        digest=entry.digest,
    )


def _said(words: Words | None, operation: str, data: Mapping[str, Any]) -> str:
    try:
        said = words(data) if words else ""
    except KeyError:
        said = ""  # written by an older version of the operation
    return said or f"{operation.replace('_', ' ')}: {plainly(data)}"


def plainly(data: Any) -> str:
    """What a line noted, without a program's brackets."""
    match data:
        case dict():
            return "; ".join(f"{name.replace('_', ' ')} {plainly(value)}" for name, value in data.items())
        case list():
            return ", ".join(map(plainly, data)) or _("none")
        case bool():
            return _("yes") if data else _("no")
        case None:
            return _("none")
    return str(data)
