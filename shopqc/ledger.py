"""The record book: chains of lines that name each other and the facts they brought.

A line is canonical text (RFC 8785). It names the digest of the line before
it, who did what, when, and the digest of each row of a sealed table that the
operation added. The thing a chain belongs to keeps the last digest and
position, so a line cut off the end is missed as well.
"""

from __future__ import annotations

import datetime
import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db import models

from shopqc.append_only import SEALED
from shopqc.canonical import canonical, digest, moment, plain, row_digest
from shopqc.models import NO_HEAD, LedgerEntry, Recorded
from shopqc.people import Actor

FORMAT = 1
AT_ONCE = 500


def append(
    owner: Recorded,
    *,
    operation: str,
    by: Actor,
    at: datetime.datetime,
    data: Mapping[str, Any],
    facts: Sequence[models.Model],
) -> LedgerEntry:
    """Add one line to the chain of ``owner``, which the caller has locked.

    Raises
    ------
    RuntimeError
        The chain moved under the caller: it was not locked.
    """
    position = owner.record_position + 1
    text = canonical(
        {
            "format": FORMAT,
            "chain": owner.chain,
            "position": position,
            "previous": owner.record_head,
            "operation": operation,
            "at": moment(at),
            "by": by.in_record(),
            "data": plain(dict(data)),
            "facts": [[row._meta.label_lower, str(row.pk), row_digest(row)] for row in facts],
        }
    )
    entry = LedgerEntry(chain=owner.chain, position=position, line=text.decode("utf-8"), digest=digest(text))
    moved = (
        type(owner)
        ._default_manager.filter(pk=owner.pk, record_position=position - 1, record_head=owner.record_head)
        .update(record_position=position, record_head=entry.digest)
    )
    if moved != 1:
        raise RuntimeError(f"The chain {owner.chain} moved while {operation} wrote to it; it was not locked.")
    entry.save(force_insert=True)
    owner.record_position, owner.record_head = position, entry.digest
    return entry


@dataclass(frozen=True)
class Fault:
    """Something in the record book that does not agree."""

    chain: str
    position: int | None
    sentence: str

    def __str__(self) -> str:
        where = f"{self.chain}, line {self.position}" if self.position is not None else self.chain
        return f"{where}: {self.sentence}"


@dataclass(frozen=True)
class Verification:
    """What a check of the whole record book found."""

    lines: int
    chains: int
    facts: int
    faults: tuple[Fault, ...]


def verify() -> Verification:
    """Recompute every line, every fact and every head."""
    faults: list[Fault] = []
    heads: dict[str, tuple[int, str]] = {}
    named: dict[str, dict[str, tuple[str, str, int]]] = defaultdict(dict)
    lines = 0
    entries = LedgerEntry.objects.order_by("chain", "position").iterator(chunk_size=AT_ONCE)
    for entry in entries:
        lines += 1
        position, head = heads.get(entry.chain, (0, NO_HEAD))
        faults += _faults_of_line(entry, position, head)
        heads[entry.chain] = (entry.position, entry.digest)
        for label, key, row in _facts_of(entry):
            if key in named[label]:
                faults.append(Fault(entry.chain, entry.position, f"names {label} {key} a second time"))
            named[label][key] = (row, entry.chain, entry.position)
    faults += _faults_of_facts(named)
    faults += _faults_of_heads(heads)
    return Verification(lines, len(heads), sum(map(len, named.values())), tuple(faults))


def _faults_of_line(entry: LedgerEntry, position: int, head: str) -> Iterator[Fault]:
    def fault(sentence: str) -> Fault:
        return Fault(entry.chain, entry.position, sentence)

    text = entry.line.encode("utf-8", "surrogatepass")
    if digest(text) != entry.digest:
        yield fault("the text does not have the digest that stands beside it")
    if entry.position != position + 1:
        yield fault(f"follows line {position}; what stood between is gone")
    try:
        line = json.loads(entry.line)
        same_text = canonical(line) == text
    except ValueError:
        yield fault("the text cannot be read any more")
        return
    if not same_text:
        yield fault("the text is not canonical any more")
    if line.get("previous") != head:
        yield fault("does not name the line before it")
    if (line.get("chain"), line.get("position")) != (entry.chain, entry.position):
        yield fault("stands in another place than its text says")


def _facts_of(entry: LedgerEntry) -> list[tuple[str, str, str]]:
    try:
        return [(label, key, row) for label, key, row in json.loads(entry.line)["facts"]]
    except (ValueError, KeyError, TypeError):
        return []  # said already by `_faults_of_line`


def _faults_of_facts(named: Mapping[str, Mapping[str, tuple[str, str, int]]]) -> Iterator[Fault]:
    models_by_label = {model._meta.label_lower: model for model in SEALED if model is not LedgerEntry}
    for label in named.keys() - models_by_label.keys():
        _, chain, position = next(iter(named[label].values()))
        yield Fault(chain, position, f"names rows of {label}, which is no sealed table")
    for label, model in models_by_label.items():
        wanted = dict(named.get(label, {}))
        for row in model._default_manager.order_by("pk").iterator(chunk_size=AT_ONCE):
            key = str(row.pk)
            if key not in wanted:
                yield Fault(label, None, f"row {key} is named by no line")
                continue
            stored, chain, position = wanted.pop(key)
            if not _is_as_recorded(row, stored):
                yield Fault(chain, position, f"{label} {key} is not what was recorded")
        for key, (_, chain, position) in wanted.items():
            yield Fault(chain, position, f"{label} {key} is gone")


def _is_as_recorded(row: models.Model, stored: str) -> bool:
    """Whether a row has the digest its line names, or had it before its table got more columns.

    A row from before (`added_later` of its model) holds nothing in them but what the migration put there.
    """
    if row_digest(row) == stored:
        return True
    later: tuple[str, ...] = getattr(row, "added_later", ())
    columns = [field for field in row._meta.concrete_fields if field.name in later]
    untouched = all(getattr(row, field.attname) == field.get_default() for field in columns)
    return untouched and row_digest(row, without=later) == stored


def recorded_models() -> Iterable[type[Recorded]]:
    """Every model whose rows have a chain."""
    return [model for model in apps.get_models() if issubclass(model, Recorded)]


def _faults_of_heads(heads: dict[str, tuple[int, str]]) -> Iterator[Fault]:
    left = dict(heads)
    for model in recorded_models():
        for owner in model._default_manager.order_by("pk").iterator(chunk_size=AT_ONCE):
            position, head = left.pop(owner.chain, (0, NO_HEAD))
            if (owner.record_position, owner.record_head) != (position, head):
                yield Fault(
                    owner.chain,
                    position,
                    f"is the last line here, but {owner.chain} says line {owner.record_position} is",
                )
    for chain, (position, _) in left.items():
        yield Fault(chain, position, "belongs to nothing any more")
