"""Many rows quickly, for size tests only: copies of one housing that was walked through the real operations.

The record book gets its lines, but they are copies: ``verify_ledger`` finds
them wrong. So nothing but the cost of reading and writing beside them may be
tested with them; every other test takes `tests.factories`.
"""

from __future__ import annotations

from collections.abc import Mapping

from django.db import connection, models

from housings.engineering import serials
from housings.models import BuildSpec, Housing, Order, Visit, WorkDone
from inspections.models import Certificate, CertificateEvent, Characteristic, IssueJob, Reading, SignOff
from shopqc.models import NO_HEAD, LedgerEntry

# Far from the numbers that the shop of a test gives out.
FIRST_NUMBER = 500_000


def many_like(housing: Housing, count: int, *, whole: int | None = None, per_order: int = 8) -> list[str]:
    """Add ``count`` copies of a housing with its visits, characteristics, readings, work, certificate.

    Parameters
    ----------
    whole : int, optional
        How many of them, the newest, get all of that; the others get their visits alone. Ten thousand
        whole ones are 1.7 million rows and take minutes.
    per_order : int
        How many are one order.

    Returns
    -------
    list of str
        The serials, the newest last.
    """
    orders = _orders_like(housing, -(-count // per_order))
    made = Housing.objects.bulk_create(
        Housing(
            serial=serials.serial_from("VOL", FIRST_NUMBER + n),
            order=orders[n // per_order],
            spec=orders[n // per_order].specs.all()[0],
            route_id=housing.route_id,
            state=housing.state,
            released_at=housing.released_at,
            record_position=housing.record_position,
            record_head=NO_HEAD,
        )
        for n in range(count)
    )
    copies = {"housing_id": "h.id"}
    visit = {"visit_id": "v.id"}
    _copy(Visit, housing, made[0].pk, copies)
    first = made[-min(whole or count, count)].pk
    _copy(Characteristic, housing, first, copies)
    _copy(WorkDone, housing, first, {**copies, **visit, "id": _new_uuid()})
    _copy(
        Reading,
        housing,
        first,
        {**copies, **visit, "id": _new_uuid(), "characteristic_id": "c.id", "replaces_id": "NULL"},
    )
    _copy(SignOff, housing, first, {**copies, "facts": "'{}'"})
    certificate = {"sign_off_id": "s.id", "number": "'VOL-' || h.serial", "code": "h.serial"}
    _copy(Certificate, housing, first, {**copies, **certificate})
    _copy_of_certificates(CertificateEvent, housing, first)
    _copy_of_certificates(IssueJob, housing, first)
    _copy_lines(housing, first)
    return [copy.serial for copy in made]


def _orders_like(housing: Housing, count: int) -> list[Order]:
    old = housing.order
    orders = Order.objects.bulk_create(
        Order(
            number=f"VOL-{n}",
            customer_id=old.customer_id,
            reference=f"volume {n}",
            due_on=old.due_on,
            placed_at=old.placed_at,
            placed_by=old.placed_by,
        )
        for n in range(count)
    )
    BuildSpec.objects.bulk_create(
        BuildSpec(order=order, line=1, quantity=1, data=housing.spec.data) for order in orders
    )
    return list(Order.objects.filter(number__startswith="VOL-").order_by("pk").prefetch_related("specs"))


def _new_uuid() -> str:
    """SQL for a random primary key, as Django keeps it on each database."""
    return "lower(hex(randomblob(16)))" if connection.vendor == "sqlite" else "gen_random_uuid()"


def _columns(model: type[models.Model], replaced: Mapping[str, str]) -> tuple[str, str]:
    """Columns to fill and what to fill them with: from the row ``t`` unless replaced."""
    names = [
        field.column
        for field in model._meta.concrete_fields
        if not isinstance(field, models.AutoField) or field.column in replaced
    ]
    values = [replaced.get(name, f't."{name}"') for name in names]
    return ", ".join(f'"{name}"' for name in names), ", ".join(values)


def _copy(model: type[models.Model], housing: Housing, first: int, replaced: Mapping[str, str]) -> None:
    """Copy the rows of a housing to every housing from ``first`` on, in one statement."""
    columns, values = _columns(model, replaced)
    joins = ""
    if "visit_id" in replaced:
        joins += (
            ' JOIN housings_visit tv ON tv.id = t."visit_id"'
            " JOIN housings_visit v ON v.housing_id = h.id AND v.number = tv.number"
        )
    if "characteristic_id" in replaced:
        joins += (
            ' JOIN inspections_characteristic tc ON tc.id = t."characteristic_id"'
            " JOIN inspections_characteristic c ON c.housing_id = h.id AND c.code = tc.code"
        )
    if "sign_off_id" in replaced:
        joins += " JOIN inspections_signoff s ON s.housing_id = h.id"
    _run(
        f'INSERT INTO "{model._meta.db_table}" ({columns}) SELECT {values} '
        f'FROM "{model._meta.db_table}" t JOIN housings_housing h ON h.id >= %s{joins} '
        "WHERE t.housing_id = %s",
        [first, housing.pk],
    )


def _copy_of_certificates(model: type[models.Model], housing: Housing, first: int) -> None:
    columns, values = _columns(model, {"certificate_id": "n.id"})
    _run(
        f'INSERT INTO "{model._meta.db_table}" ({columns}) SELECT {values} '
        f'FROM "{model._meta.db_table}" t JOIN inspections_certificate o ON o.id = t.certificate_id '
        "JOIN inspections_certificate n ON n.housing_id >= %s WHERE o.housing_id = %s",
        [first, housing.pk],
    )


def _copy_lines(housing: Housing, first: int) -> None:
    columns, values = _columns(LedgerEntry, {"chain": "'housing:' || h.serial"})
    _run(
        f"INSERT INTO shopqc_ledgerentry ({columns}) SELECT {values} "
        "FROM shopqc_ledgerentry t JOIN housings_housing h ON h.id >= %s WHERE t.chain = %s",
        [first, housing.chain],
    )


def _run(statement: str, parameters: list[object]) -> None:
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            # Told nothing of rows that came a moment ago, it plans the joins for empty tables: minutes.
            cursor.execute("ANALYZE")
        cursor.execute(statement, parameters)
