"""The one shape of a write.

    claim the key → may you → lock, in one order → check and write → a line
    in each chain → store the answer → commit → ring the bell

An operation takes plain data and answers plain data, so that the same
request under the same key can be recognised and gets the same answer. It
never asks the clock or the thread who the user is: ``by`` and ``at`` come
from the door. What it raises undoes everything, its key included.
"""

from __future__ import annotations

import datetime
import functools
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Concatenate, ParamSpec, TypeVar

from django.db import DatabaseError, OperationalError, connection, models, transaction

from shopqc import dispatch, ledger
from shopqc.canonical import canonical, digest, plain
from shopqc.models import Answered, Counter, Recorded, Shop
from shopqc.people import MAY, Actor
from shopqc.refusals import Reason, Refused, refuse

P = ParamSpec("P")
M = TypeVar("M", bound=models.Model)
Answer = dict[str, Any]
OPERATIONS: dict[str, Callable[..., Answer]] = {}


@dataclass(frozen=True)
class Rows:
    """Rows to lock: those of ``model`` whose ``column`` has one of ``values``.

    ``field`` is the input they were named by, for the refusal when one is not there.
    """

    model: type[models.Model]
    column: str
    values: Sequence[Any]
    field: str | None = None

    @property
    def rank(self) -> int:
        return int(getattr(self.model, "lock_rank"))  # noqa: B009  (Recorded and Counter both have it)


def the_shop() -> Rows:
    """The lock of the shop's own chain."""
    return Rows(Shop, "code", ["shop"])


def counter(series: str) -> Rows:
    """The lock of a running number, made on first use."""
    return Rows(Counter, "series", [series])


@dataclass
class Run:
    """One run of an operation: who, when, and the rows it holds locked."""

    name: str
    by: Actor
    at: datetime.datetime
    key: str
    rows: dict[tuple[type[models.Model], Any], models.Model] = field(default_factory=dict)
    lines: dict[str, tuple[Recorded, dict[str, Any], list[models.Model]]] = field(default_factory=dict)

    def get(self, model: type[M], value: Any) -> M:
        """A row that this run has locked."""
        row = self.rows[model, value]
        assert isinstance(row, model)
        return row

    @property
    def shop(self) -> Shop:
        return self.get(Shop, "shop")

    def next_number(self, series: str) -> int:
        """The next number of a series this run has locked."""
        row = self.get(Counter, series)
        row.value += 1
        if Counter.objects.filter(pk=row.pk, value=row.value - 1).update(value=row.value) != 1:
            raise RuntimeError(f"The counter {series} moved while {self.name} held it.")
        return row.value

    def position_in(self, owner: Recorded) -> int:
        """The position that this run's line will have in a chain: what a fact says of when it came."""
        return owner.record_position + 1

    def write(self, owner: Recorded, facts: Iterable[models.Model] = (), **data: Any) -> None:
        """Note what this run did to ``owner``; one line per chain is written at the end.

        Rows named as facts have been saved already, and are rows of sealed tables.
        """
        self._must_be_inside()
        # By row, not by name: sign_in locks a person by badge and the chain is named by stamp.
        if owner.record_position and owner not in self.rows.values():
            raise RuntimeError(f"{self.name} writes to {owner.chain} without its lock.")
        _, known, rows = self.lines.setdefault(owner.chain, (owner, {}, []))
        known.update(data)
        rows.extend(facts)

    def after_commit(self, task: str, *ids: int | str) -> None:
        """Ring for background work once everything stands."""
        self._must_be_inside()
        dispatch.after_commit(task, *ids)

    def _must_be_inside(self) -> None:
        if not connection.in_atomic_block:
            raise RuntimeError(f"{self.name} writes outside its transaction.")


Locks = Callable[..., Iterable[Rows]]
"""From the inputs of an operation, by keyword, to the rows it must hold."""


def nothing(**_: Any) -> Iterable[Rows]:
    """No row to hold: the operation only adds things nobody knows yet."""
    return ()


def operation(
    name: str, *, locks: Locks = nothing
) -> Callable[[Callable[Concatenate[Run, P], Answer]], Callable[..., Answer]]:
    """Make a function ``(run, *, …)`` the body of the operation ``name``.

    The result is called with keywords only: the body's inputs, and ``by``
    (`Actor`), ``at`` (an aware moment) and ``key`` (the caller's name for this
    request). It answers a dict of plain data.
    """
    if name not in MAY:
        raise ValueError(f"The operation {name!r} is not in the table of rights (shopqc.people.MAY).")

    def decorate(body: Callable[Concatenate[Run, P], Answer]) -> Callable[..., Answer]:
        @functools.wraps(body)
        def run_operation(*, by: Actor, at: datetime.datetime, key: str, **inputs: Any) -> Answer:
            if at.tzinfo is None:
                raise ValueError("`at` needs a time zone.")
            run = Run(name, by, at, key)
            try:
                with transaction.atomic(durable=True):
                    before = _claim(run, inputs)
                    if before is not None:
                        return before
                    by.check_may(name)
                    _lock(run, locks(**inputs))
                    answer = body(run, **inputs)  # type: ignore[call-arg]
                    for owner, data, facts in run.lines.values():
                        ledger.append(owner, operation=name, by=by, at=at, data=data, facts=facts)
                    _store(run, answer)
                    return answer
            except OperationalError as error:
                # Lock time-outs and deadlocks; all is rolled back, so trying again is right.
                if _is_about_locks(error):
                    raise refuse("busy") from error
                raise

        OPERATIONS[name] = run_operation
        return run_operation

    return decorate


def _claim(run: Run, inputs: Mapping[str, Any]) -> Answer | None:
    """Claim the key of this run; the answer it got before, if it was claimed by the same request."""
    if not 1 <= len(run.key) <= 100:
        raise refuse("key_missing")
    request = digest(canonical({"operation": run.name, "inputs": plain(dict(inputs))}))
    with connection.cursor() as cursor:
        # The insert waits for a run under the same key that has not ended yet. Written by hand because
        # the row count, which says whose the key is, is what the ORM's bulk_create does not tell.
        cursor.execute(
            "INSERT INTO shopqc_answered (owner, key, operation, request_digest, at) "
            "VALUES (%s, %s, %s, %s, %s) ON CONFLICT (owner, key) DO NOTHING",
            [
                run.by.owner,
                run.key,
                run.name,
                request,
                connection.ops.adapt_datetimefield_value(run.at.astimezone(datetime.UTC)),
            ],
        )
        if cursor.rowcount == 1:
            return None
    stored = Answered.objects.get(owner=run.by.owner, key=run.key)
    if stored.request_digest != request:
        raise refuse("key_reused", key=run.key)
    assert stored.answer is not None, "a claim is seen by others only once its answer stands beside it"
    return dict(stored.answer)


def _store(run: Run, answer: Answer) -> None:
    mine = Answered.objects.filter(owner=run.by.owner, key=run.key, answer__isnull=True)
    if mine.update(answer=plain(answer)) != 1:
        raise RuntimeError(f"The answer under the key {run.key} was stored twice.")


def _lock(run: Run, wanted: Iterable[Rows]) -> None:
    """Lock rows in the one order: by rank, and within a table by primary key."""
    by_model: dict[tuple[int, type[models.Model], str], list[Rows]] = defaultdict(list)
    for rows in wanted:
        by_model[rows.rank, rows.model, rows.column].append(rows)
    for (_, model, column), asked in sorted(
        by_model.items(), key=lambda item: (item[0][0], item[0][1].__name__)
    ):
        values = {value for rows in asked for value in rows.values}
        if model is Counter:
            Counter.objects.bulk_create(
                [Counter(series=value) for value in sorted(values)], ignore_conflicts=True
            )
        found = model._default_manager.filter(**{f"{column}__in": values}).order_by("pk")
        for row in found.select_for_update(no_key=True):
            if not _is_anothers(row, run.by):
                run.rows[model, getattr(row, column)] = row
        for rows in asked:
            for value in rows.values:
                if (model, value) not in run.rows:
                    what = str(model._meta.verbose_name)
                    raise Refused(Reason("not_found", {"what": what, "name": value}, rows.field))


def _is_anothers(row: models.Model, by: Actor) -> bool:
    """Whether a row belongs to a customer other than the one the actor's key is for: then it is not there."""
    if by.customer is None or not isinstance(row, Recorded) or row.of_customer is None:
        return False
    return row.of_customer != by.customer


def _is_about_locks(error: DatabaseError) -> bool:
    if connection.vendor == "sqlite":
        return "locked" in str(error)
    # lock_not_available, deadlock_detected, serialization_failure (PostgreSQL, appendix A of its manual)
    return getattr(error.__cause__, "sqlstate", None) in {"55P03", "40P01", "40001"}
