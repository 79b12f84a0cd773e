"""Lists in pages that stay the same while rows are added, and the parameters of an address."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar
from urllib.parse import urlencode

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _
from rest_framework.request import Request

from shopqc.refusals import refuse

USUAL, MOST = 50, 100
LONGEST = 60
M = TypeVar("M", bound=models.Model)


def parameters(request: Request, *names: str) -> dict[str, str]:
    """The parameters of an address that were given; refuses others, and one given twice."""
    for name, values in request.query_params.lists():
        if name not in names:
            shown = ", ".join(names) or _("none")
            raise refuse("parameter_unknown", name=name[:LONGEST], names=shown)
        if len(values) > 1:
            raise refuse("parameter_twice", name=name)
    return {name: str(value) for name, value in request.query_params.items() if value}


def _limit(given: str) -> int:
    number = int(given) if given.isascii() and given.isdigit() and len(given) < 5 else 0
    if not 1 <= number <= MOST:
        raise refuse(
            "parameter_wrong", name="limit", why=_("a whole number from 1 to %(most)s.") % {"most": MOST}
        )
    return number


def page(
    request: Request,
    rows: QuerySet[M],
    *,
    called: str,
    by: str,
    shape: Callable[[M], Mapping[str, Any]],
    newest: Sequence[str] = ("pk",),
    filters: Mapping[str, str] | None = None,
) -> dict[str, Any]:
    """One page of rows, newest first: ``{called: […], "next": address of the next page or null}``.

    A page begins after a row that is named by its public name (column ``by``), never by a count of
    rows, so rows that come in meanwhile move nothing. ``newest`` are columns that only grow.
    ``filters`` are the parameters that the rows were chosen by; the next page needs them again.
    """
    given = parameters(request, "after", "limit", *(filters or {}))
    limit = _limit(given["limit"]) if "limit" in given else USUAL
    if after := given.get("after"):
        try:
            last = rows.filter(**{by: after}).values(*newest).first() if len(after) <= LONGEST else None
        except (ValidationError, ValueError):  # a row is named by a UUID or a number here, and this is none
            last = None
        if last is None:
            raise refuse("place_unknown", after=after[:LONGEST])
        rows = rows.filter(_before(last, newest))
    found = list(rows.order_by(*(f"-{column}" for column in newest))[: limit + 1])
    following = None
    if len(found) > limit:
        kept = {name: value for name, value in given.items() if name != "after"}
        following = f"{request.path}?{urlencode({**kept, 'after': str(getattr(found[limit - 1], by))})}"
    return {called: [shape(row) for row in found[:limit]], "next": following}


def _before(last: Mapping[str, Any], newest: Sequence[str]) -> Q:
    """Rows that stand before ``last`` in the order of several columns."""
    older, same = Q(), Q()
    for column in newest:
        older |= same & Q(**{f"{column}__lt": last[column]})
        same &= Q(**{column: last[column]})
    return older
