"""Unfinished entries: what somebody had typed of a measuring when they were interrupted.

Bookkeeping, not facts: nobody decides anything from a draft, it is dropped when the reading is recorded,
and what was typed into a page that nobody sent has no place in the record book. So it is written here,
without an operation and without a line.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from housings.models import Housing, Visit
from inspections.models import EntryDraft
from shopqc.models import Person

# One measuring is a few kilobytes; a pasted face of thousands of points is the longest that is kept.
LONGEST_KEPT = 400_000
OLD_AFTER = datetime.timedelta(hours=8)
NEW_UNTIL = datetime.timedelta(minutes=1)


@dataclass(frozen=True)
class Draft:
    """An unfinished entry.

    ``typed``: what the fields held, by name. ``seen_position``: the place in the housing's record that its
    page had loaded. ``address``: the further words of the page's address, such as how many points are typed.
    """

    typed: dict[str, Any]
    seen_position: int
    address: str
    kept_at: datetime.datetime

    def is_new(self, now: datetime.datetime) -> bool:
        """Whether it is not a minute old."""
        return now - self.kept_at < NEW_UNTIL

    def is_old(self, now: datetime.datetime) -> bool:
        """Whether so long ago that a shift lies between."""
        return now - self.kept_at > OLD_AFTER


def keep(
    housing: Housing,
    visit: Visit,
    code: str,
    person: Person,
    *,
    typed: Mapping[str, Any],
    seen_position: int,
    address: str,
    at: datetime.datetime,
) -> bool:
    """Keep what was typed, in place of what was kept before; False if it is too much to keep."""
    if sum(len(name) + len(str(value)) for name, value in typed.items()) > LONGEST_KEPT:
        return False
    # What no database keeps as text is no figure either.
    fields = {name.replace("\0", ""): str(value).replace("\0", "") for name, value in typed.items()}
    kept = {"fields": fields, "seen_position": seen_position, "address": address}
    EntryDraft.objects.update_or_create(
        housing=housing,
        visit=visit,
        code=code,
        person=person,
        defaults={"typed": kept, "kept_at": at},
    )
    return True


def kept_for(visit: Visit, code: str, person: Person) -> Draft | None:
    """What this person had typed of this measuring at this visit."""
    row = EntryDraft.objects.filter(visit=visit, code=code, person=person).first()
    if row is None:
        return None
    kept = row.typed
    return Draft(kept["fields"], kept["seen_position"], kept["address"], row.kept_at)


def drop(visit: Visit, code: str, person: Person) -> None:
    """It was recorded, or is not wanted any more."""
    EntryDraft.objects.filter(visit=visit, code=code, person=person).delete()
