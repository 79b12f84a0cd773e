"""What pages with one form do around its operation: run it, and show the form again with what refused it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from shopqc import doors
from shopqc.forms import KeyedForm
from shopqc.operation import Answer
from shopqc.refusals import Reason, Refused


def attempt(
    request: HttpRequest, form: KeyedForm, operation: Callable[..., Answer], /, **inputs: Any
) -> tuple[Answer | None, int]:
    """Run an operation for whoever sent a valid form; ``None`` and the status if the form says why not."""
    try:
        return doors.run(request, operation, form, **inputs), 200
    except Refused as refused:
        form.say(refused.reasons)
        return None, refused.status


def sentences(reasons: Iterable[Reason]) -> list[str]:
    """Reasons as a page says them: what needs a role is said without the name of an operation."""
    return [
        _("This needs the role %(roles)s.") % reason.facts
        if reason.code == "not_allowed"
        else reason.sentence
        for reason in reasons
    ]


def page_of(request: HttpRequest, rows: QuerySet[Any], count: int) -> Page[Any]:
    """The page of a list that the address asks for; the nearest one if there is none such."""
    return Paginator(rows, count).get_page(request.GET.get("page"))


def show(request: HttpRequest, template: str, context: dict[str, Any], status: int = 200) -> HttpResponse:
    """Render a page of this app; 422 for a form that was not accepted, unless something graver is said."""
    response = render(request, f"housings/{template}", context, status=status)
    if status == 503:
        response["Retry-After"] = "1"
    return response
