"""Orders: the list, one order, and placing one."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_safe

from housings import queries, states
from housings.models import Order
from housings.operations.orders import place_order
from housings.order_forms import MOST_LINES, OrderPaper
from housings.places import ORDERS
from housings.spec_words import spec_words
from housings.whereabouts import is_late, whereabouts
from shopqc.doors import actor_at, for_roles, may, run
from shopqc.models import Customer
from shopqc.refusals import Refused, refuse

AT_ONCE = 25


@for_roles(*ORDERS)
@require_safe
def orders(request: HttpRequest) -> HttpResponse:
    """Every order, the newest first."""
    signed = Count("housings", filter=Q(housings__state=states.SIGNED_OFF))
    found = Order.objects.select_related("customer").order_by("-pk")
    found = found.annotate(housings_in_all=Count("housings"), housings_signed=signed)
    words = request.GET.get("words", "").strip()
    if words:
        found = found.filter(
            Q(number__iexact=words) | Q(reference__icontains=words) | Q(customer__name__icontains=words)
        )
    page = Paginator(found, AT_ONCE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "words": words,
        "may_place": may(request, "place_order"),
    }
    return render(request, "housings/orders.html", context)


@for_roles(*ORDERS)
@require_safe
def order(request: HttpRequest, number: str) -> HttpResponse:
    """One order: what was asked for, and where each of its housings is."""
    row = Order.objects.select_related("customer").filter(number=number).first()
    if row is None:
        raise refuse("not_found", what=_("order"), name=number)
    found = queries.with_progress(queries.housings_for(actor_at(request)).filter(order=row).order_by("pk"))
    today = timezone.localdate()
    rows = [
        (one, whereabouts(one, one.all_visits, one.open_holds), is_late(one, today))  # type: ignore[attr-defined]
        for one in found
    ]
    lines = [(spec, spec_words(spec.data)) for spec in row.specs.all()]
    ended = {states.CANCELLED, states.SCRAPPED}
    printable = [one.serial for one in found if one.state not in ended]
    context = {"order": row, "rows": rows, "lines": lines, "printable": printable}
    return render(request, "housings/order.html", context)


@for_roles(*ORDERS)
@require_http_methods(["GET", "HEAD", "POST"])
def order_new(request: HttpRequest) -> HttpResponse:
    """The order form: lines are added and taken away without anything typed being lost."""
    if not Customer.objects.exists():
        return render(request, "housings/order_new.html", {"no_customer": True})
    if request.method != "POST":
        return _form(request, OrderPaper.blank())
    paper = OrderPaper.sent(request.POST)
    if "add" in request.POST:
        return _form(request, paper.with_another_line())
    if "drop" in request.POST:
        return _form(request, paper.without_line(request.POST["drop"]))
    if not paper.is_valid():
        return _form(request, paper, 422)
    try:
        answer = run(request, place_order, paper.head, **paper.inputs)
    except Refused as refused:
        paper.say(refused.reasons)
        return _form(request, paper, refused.status)
    count = len(answer["housings"])
    said = ngettext(
        "Order %(number)s is placed; its housing is released to the floor.",
        "Order %(number)s is placed; its %(count)s housings are released to the floor.",
        count,
    )
    messages.success(request, said % {"number": answer["order"], "count": count})
    return redirect("order", number=answer["order"])


def _form(request: HttpRequest, paper: OrderPaper, status: int = 200) -> HttpResponse:
    context: dict[str, Any] = {"paper": paper, "may_add": len(paper.lines) < MOST_LINES}
    return render(request, "housings/order_new.html", context, status=status)
