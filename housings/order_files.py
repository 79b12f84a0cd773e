"""The orders of a file: which rows make which order, and each reason against one beside its row and cell."""

from __future__ import annotations

import datetime
import functools
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _

from housings import queries
from housings.engineering.order_table import COLUMNS, REASONS, OrderTable, Row, write
from housings.engineering.spec import spec_from
from housings.engineering.spec_fields import FIELDS, FieldKind
from housings.models import Order, RouteRevision
from housings.operations.orders import check_lines
from shopqc.canonical import digest
from shopqc.models import Customer
from shopqc.refusals import Reason, Refused

LONGEST = {"customer": 20, "reference": 60, "note": 2000, "route": 40}
YES, NO = frozenset({"yes", "y", "true", "1"}), frozenset({"no", "n", "false", "0"})
_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})|(\d{1,2})\.(\d{1,2})\.(\d{4})")
_WHOLE = re.compile(r"[0-9]{1,6}")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


@dataclass(frozen=True)
class CellReason:
    """Why a row cannot be placed: the column it is about, "" for the row or the order; what stands there."""

    line: int
    column: str
    typed: str
    sentence: str

    @property
    def label(self) -> str:
        return _(COLUMNS[self.column]) if self.column else ""


@dataclass
class FileOrder:
    """Rows of one customer's one reference.

    ``placed_as``: the number of the order that it is already. ``reasons``: none if it is whole.
    """

    rows: list[Row]
    customer: str
    reference: str
    customer_name: str = ""
    due_on: str | None = None
    note: str = ""
    lines: list[dict[str, Any]] = field(default_factory=list)
    reasons: list[CellReason] = field(default_factory=list)
    placed_as: str = ""

    @property
    def id(self) -> str:
        """What names it in its file."""
        return digest(f"{self.customer}\n{self.reference}".encode())[:24]

    @property
    def is_whole(self) -> bool:
        return not self.reasons and not self.placed_as

    @property
    def count(self) -> int:
        return sum(int(line["quantity"]) for line in self.lines if isinstance(line["quantity"], int))

    @property
    def due(self) -> datetime.date | None:
        return datetime.date.fromisoformat(self.due_on) if self.due_on else None

    @property
    def inputs(self) -> dict[str, Any]:
        """The order as the operation takes it."""
        return {
            "customer": self.customer,
            "reference": self.reference,
            "due_on": self.due_on,
            "note": self.note,
            "lines": self.lines,
        }

    def row_reasons(self) -> list[tuple[Row, list[CellReason]]]:
        """Each row with what stands against it; what is against the order stands with its first row."""
        return [(row, [one for one in self.reasons if one.line == row.line]) for row in self.rows]

    def say(self, reasons: Iterable[Reason]) -> None:
        """Put each reason of the operation beside its row and cell."""
        for reason in reasons:
            parts = (reason.field or "").strip("/").split("/")
            row = self.rows[0]
            if (
                parts[0] == "lines"
                and len(parts) > 1
                and parts[1].isdigit()
                and int(parts[1]) < len(self.rows)
            ):
                row = self.rows[int(parts[1])]
            column = {"due_on": "due"}.get(parts[-1], parts[-1])
            self.against(row, column if column in COLUMNS else "", reason.sentence)

    def against(self, row: Row, column: str, sentence: str) -> None:
        said = CellReason(row.line, column, row.cells.get(column, "")[:60], sentence)
        if said not in self.reasons:
            self.reasons.append(said)


def orders_in(table: OrderTable) -> list[FileOrder]:
    """Every order of a file in the order of its first rows, each checked: a fixed number of queries."""
    groups: dict[tuple[str, str], list[Row]] = {}
    for row in table.rows:
        groups.setdefault((row.cells.get("customer", ""), row.cells.get("reference", "")), []).append(row)
    orders = [FileOrder(rows, customer, reference) for (customer, reference), rows in groups.items()]
    customers = {row.code: row.name for row in Customer.objects.all()}
    placed = _placed(orders)
    newest = functools.cache(queries.newest_route)
    for order in orders:
        _check(order, customers, newest)
        if known := placed.get((order.customer, order.reference)):
            _compare(order, known)
    return orders


def rest_of(table: OrderTable, orders: Sequence[FileOrder]) -> str:
    """The rows that are not placed and cannot be yet, as a file: corrected, it can be read again."""
    columns = [place for place, head in enumerate(table.heads) if head.strip().casefold() != REASONS]
    rows = [[*(table.heads[place] for place in columns), REASONS]]
    for order in orders:
        if not order.reasons:
            continue
        for row, reasons in order.row_reasons():
            cells = [row.given[place] if place < len(row.given) else "" for place in columns]
            why = " ".join(f"{one.label}: {one.sentence}" if one.label else one.sentence for one in reasons)
            rows.append([*cells, why])
    return write(rows, table.delimiter)


def _check(
    order: FileOrder, customers: Mapping[str, str], newest: Callable[[str], RouteRevision | None]
) -> None:
    first = order.rows[0]
    order.customer_name = customers.get(order.customer, "")
    for name in ("customer", "reference"):
        if not first.cells.get(name):
            order.say([Reason("field_missing", field=f"/{name}")])
    if order.customer and not order.customer_name:
        facts = {"what": _("customer"), "name": order.customer[:20]}
        order.say([Reason("not_found", facts, "/customer")])
    for row in order.rows:
        if row.too_many:
            why = _(
                "The row has more cells than there are columns. Where commas part the cells, a number with a "
                "decimal comma stands in quotation marks."
            )
            order.against(row, "", why)
        for name, cell in row.cells.items():
            if len(cell) > LONGEST.get(name, 200):
                order.against(row, name, _("This is too long."))
            if _CONTROL.search(cell):
                order.against(row, name, _("This has characters that are no text."))
    _read_head(order)
    order.lines = [_line(order, row) for row in order.rows]
    countable = [line for line in order.lines if isinstance(line["quantity"], int)]
    try:
        if len(countable) == len(order.lines):
            check_lines(order.lines, newest)
        else:
            check_lines([{**line, "quantity": 1} for line in order.lines], newest)
    except Refused as refused:
        order.say(refused.reasons)


def _read_head(order: FileOrder) -> None:
    """What is said of the whole order may stand on any of its rows, but not differently."""
    for name in ("due", "note"):
        said = [(row, row.cells[name]) for row in order.rows if row.cells.get(name)]
        for row, text in said[1:]:
            if text != said[0][1]:
                why = _("Row %(line)s of the same order says something else.") % {"line": said[0][0].line}
                order.against(row, name, why)
        if not said:
            continue
        row, text = said[0]
        if name == "note":
            order.note = text
            continue
        day = _day(text)
        if day is None:
            why = _(
                "Write year, month and day, such as 2026-07-01; with slashes a day can be read in two ways."
            )
            order.against(row, name, why)
        order.due_on = day.isoformat() if day else None


def _day(text: str) -> datetime.date | None:
    match = _DAY.fullmatch(text)
    if match is None:
        return None
    year, month, day = match.group(1, 2, 3) if match[1] else match.group(6, 5, 4)
    try:
        return datetime.date(int(year), int(month), int(day))
    except ValueError:
        return None


def _line(order: FileOrder, row: Row) -> dict[str, Any]:
    """A row as a line of an order: ``quantity`` is ``None`` if it is no number."""
    typed = row.cells.get("quantity", "")
    quantity = int(typed) if typed.isascii() and _WHOLE.fullmatch(typed) else None
    if not typed:
        order.against(row, "quantity", Reason("field_missing").sentence)
    elif quantity is None:
        order.against(row, "quantity", _("Write a whole number, such as 2."))
    spec: dict[str, Any] = {}
    for name, description in FIELDS.items():
        cell = row.cells.get(name, "")
        if not cell:
            continue
        spec[name] = cell
        if description.kind is FieldKind.YES_NO and cell.casefold() in YES | NO:
            spec[name] = cell.casefold() in YES
    return {"quantity": quantity, "spec": spec, "route": row.cells.get("route") or None}


def _placed(orders: Sequence[FileOrder]) -> dict[tuple[str, str], Order]:
    found = Order.objects.filter(reference__in={order.reference for order in orders if order.reference})
    rows = found.select_related("customer").prefetch_related("specs")
    return {(row.customer.code, row.reference): row for row in rows}


def _compare(order: FileOrder, known: Order) -> None:
    """An order of the same reference: the same order, or another one."""
    specs = [(spec.quantity, spec.data) for spec in known.specs.all()]
    same = not order.reasons and specs == [(line["quantity"], _as_kept(line["spec"])) for line in order.lines]
    if same and known.due_on == order.due and known.note == order.note:
        order.placed_as = known.number
        return
    facts = {"customer": order.customer, "reference": order.reference, "number": known.number}
    order.say([Reason("order_known", facts, "/reference")])


def _as_kept(spec: Mapping[str, Any]) -> dict[str, Any]:
    return spec_from(spec).as_json()
