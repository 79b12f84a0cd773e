"""The eight questions in their order, and what is on file for each: that is all the progress there is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from housings.models import Housing, Order
from housings.queries import newest_route
from inspections.models import Gauge
from shopqc.forms import KeyedForm
from shopqc.models import Person, Shop
from shopqc.rules import RULES, in_use, the_shop


@dataclass(frozen=True)
class Question:
    """One question: its place in the address, what it asks, and what is on file of it.

    ``on_file`` gives a sentence, and whether that is more than a new shop comes with.
    """

    code: str
    asks: Any
    on_file: Callable[[Shop], tuple[str, bool]]

    @property
    def url(self) -> str:
        return reverse(f"first-{self.code}")


def _shop(shop: Shop) -> tuple[str, bool]:
    lines = ", ".join([shop.name, *shop.address.splitlines()])
    return lines, bool(shop.address)


def _paper(shop: Shop) -> tuple[str, bool]:
    chosen = (shop.get_paper_display(), shop.get_length_unit_display(), shop.get_temperature_unit_display())
    return ", ".join(map(str, chosen)), chosen != ("Letter", "in", "°F")


def _people(_shop: Shop) -> tuple[str, bool]:
    count = Person.objects.filter(is_active=True).count()
    return ngettext("%d person", "%d people", count) % count, count > 1


def _stations(_shop: Shop) -> tuple[str, bool]:
    route = newest_route("standard")
    if route is None:
        return _("no route"), False
    count = len(route.stations)
    words = ngettext("%d station, as %s", "%d stations, as %s", count)
    return words % (count, route), route.number > 1


def _gauges(_shop: Shop) -> tuple[str, bool]:
    count = Gauge.objects.count()
    return ngettext("%d on file", "%d on file", count) % count, count > 0


def _rules(shop: Shop) -> tuple[str, bool]:
    used = len(in_use(shop))
    return _("%(used)d of %(all)d rules in use") % {"used": used, "all": len(RULES)}, bool(shop.rules)


def _order(_shop: Shop) -> tuple[str, bool]:
    count = Order.objects.count()
    return ngettext("%d order", "%d orders", count) % count, count > 0


def _printing(_shop: Shop) -> tuple[str, bool]:
    count = Housing.objects.count()
    return ngettext("%d traveler to print", "%d travelers to print", count) % count, False


QUESTIONS = (
    Question("shop", gettext_lazy("What is your shop called, and where is it?"), _shop),
    Question("paper", gettext_lazy("Which paper and which units do you use?"), _paper),
    Question("people", gettext_lazy("Who works here?"), _people),
    Question("stations", gettext_lazy("Which stations does a housing go through?"), _stations),
    Question("gauges", gettext_lazy("What do you measure with?"), _gauges),
    Question("rules", gettext_lazy("Which procedures do you already hold yourselves to?"), _rules),
    Question("order", gettext_lazy("What will you build first?"), _order),
    Question("printing", gettext_lazy("What do you want on paper?"), _printing),
)


def ask(
    request: HttpRequest,
    code: str,
    context: dict[str, Any],
    *,
    form: KeyedForm | None = None,
    status: int = 200,
) -> HttpResponse:
    """Render the page of one question."""
    codes = [question.code for question in QUESTIONS]
    place = codes.index(code)
    following = QUESTIONS[place + 1].url if place + 1 < len(QUESTIONS) else reverse("first-questions")
    return render(
        request,
        f"inspections/first/{code}.html",
        {
            "question": QUESTIONS[place],
            "number": place + 1,
            "count": len(QUESTIONS),
            "following": following,
            "form": form,
            **context,
        },
        status=status,
    )


def after(code: str) -> str:
    """The address of the question that follows."""
    codes = [question.code for question in QUESTIONS]
    place = codes.index(code) + 1
    return QUESTIONS[place].url if place < len(QUESTIONS) else reverse("first-questions")


def overview(request: HttpRequest) -> HttpResponse:
    """All questions with what is on file."""
    shop = the_shop()
    rows = []
    for question in QUESTIONS:
        words, answered = question.on_file(shop)
        rows.append({"question": question, "words": words, "answered": answered})
    first = next((row["question"] for row in rows if not row["answered"]), QUESTIONS[-1])
    return render(request, "inspections/first/overview.html", {"rows": rows, "first": first})
