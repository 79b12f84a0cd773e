"""Drafts of what is published later: who keeps one over somebody else's is told, and nothing is lost.

A draft is bookkeeping, not a fact: it binds nobody, so it leaves no line in the record book. Its ``version``
is counted up with every keeping; a keeping that started from an older one changes nothing.
"""

from __future__ import annotations

import datetime
from typing import Any

from django.db.models import F, Model

from shopqc.people import Actor


def keep(
    model: type[Model], pk: int, version: int, *, by: Actor, at: datetime.datetime, **content: Any
) -> bool:
    """Keep a draft's content if it is still that version.

    True also for the same content sent twice by the same person, as by a double click.
    """
    rows: Any = model._default_manager.filter(pk=pk)
    kept = rows.filter(version=version).update(
        **content, version=F("version") + 1, kept_at=at, kept_by=by.stamp
    )
    if kept:
        return True
    mine = rows.filter(version=version + 1, kept_by=by.stamp).first()
    return mine is not None and all(getattr(mine, name) == value for name, value in content.items())


def begin(
    model: type[Model], *, by: Actor, at: datetime.datetime, copied_from: Model | None, **content: Any
) -> Any:
    """A new draft; the one that the same person has begun the same way and not touched, if there is one."""
    untouched = model._default_manager.filter(version=1, kept_by=by.stamp, copied_from=copied_from)
    for draft in untouched:
        if all(getattr(draft, name) == value for name, value in content.items()):
            return draft
    return model._default_manager.create(
        **content, copied_from=copied_from, begun_at=at, kept_at=at, kept_by=by.stamp
    )


def discard(model: type[Model], pk: int, version: int) -> bool:
    """Throw a draft away if it is still that version; true also if it is gone already."""
    rows = model._default_manager.filter(pk=pk)
    deleted, _of_each = rows.filter(version=version).delete()
    return bool(deleted) or not rows.exists()
