"""What these pages have in common: one operation for one sending, lists by pages."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from inspections.forms.keyed import KeyedForm
from shopqc import doors
from shopqc.operation import Answer
from shopqc.refusals import Reason, Refused

ROWS = 25


def attempt(
    request: HttpRequest, form: KeyedForm, operation: Callable[..., Answer], **inputs: Any
) -> Answer | None:
    """Run an operation for whoever sent a valid form; ``None`` if it was refused, and the form says why."""
    try:
        return doors.run(request, operation, form, **inputs)
    except Refused as refused:
        form.take(refused)
        return None


def sentences(reasons: Iterable[Reason]) -> list[str]:
    """Reasons as a page says them: what needs a role is said without the name of an operation."""
    return [
        _("This needs the role %(roles)s.") % reason.facts
        if reason.code == "not_allowed"
        else reason.sentence
        for reason in reasons
    ]


def page_of(request: HttpRequest, rows: QuerySet[Any] | Sequence[Any], count: int = ROWS) -> Page[Any]:
    """The page of a list that the address asks for; the nearest one if there is none such."""
    return Paginator(rows, count).get_page(request.GET.get("page"))


def show(
    request: HttpRequest, template: str, context: dict[str, Any], *, form: KeyedForm | None = None
) -> HttpResponse:
    """Render a page; with the status of what its form was refused with."""
    status = form.status if form is not None and form.is_bound and form.errors else 200
    response = render(request, f"inspections/{template}", context, status=status)
    if status == 503:
        response["Retry-After"] = "1"
    for reason in form.reasons if form is not None else ():
        if reason.code == "wait":
            response["Retry-After"] = str(reason.facts["seconds"])
    return response
