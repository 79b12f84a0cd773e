"""The pages of the eight questions: each shows what is on file, takes one answer, and leads to the next."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from housings import queries
from housings.engineering.stations import STATIONS
from housings.models.routes import WITH_LINKS
from housings.operations.orders import place_order
from housings.operations.routes import publish_route
from inspections.forms.first import (
    FirstCustomerForm,
    FirstOrderForm,
    FirstPaperForm,
    FirstPersonForm,
    FirstShopForm,
    FirstStationsForm,
    changes_of,
)
from inspections.forms.gauges import GaugeForm
from inspections.models import Gauge
from inspections.operations.gauges import add_gauge
from inspections.pages.first import questions
from inspections.pages.first.questions import after, ask
from shopqc.devices import device_of
from shopqc.doors import actor_at, for_roles, run
from shopqc.forms import KeyedForm
from shopqc.models import Customer, Person
from shopqc.operation import Answer
from shopqc.operations.people import add_person
from shopqc.operations.shop import add_customer, change_shop, switch_rule
from shopqc.page_forms.shop import RuleForm
from shopqc.people import OWNER
from shopqc.refusals import Refused
from shopqc.rules import RULES, in_use, the_shop
from shopqc.secret import Secret

READ_OR_SEND = require_http_methods(["GET", "HEAD", "POST"])


def _done(request: HttpRequest, form: KeyedForm, operation: Callable[..., Answer], **inputs: Any) -> bool:
    """Run the one operation of a question; what was refused stands beside its field."""
    try:
        run(request, operation, form, **inputs)
    except Refused as refused:
        form.say(refused.reasons)
        return False
    return True


@for_roles(OWNER)
@require_safe
def overview(request: HttpRequest) -> HttpResponse:
    """All questions with what is on file."""
    return questions.overview(request)


def _about_the_shop(request: HttpRequest, code: str, kind: type[KeyedForm]) -> HttpResponse:
    shop = the_shop()
    if request.method != "POST":
        form = kind(initial={name: getattr(shop, name) for name in kind.base_fields if name != "sent_key"})
        return ask(request, code, {}, form=form)
    form = kind(request.POST)
    if form.is_valid():
        changes = changes_of(form, shop)
        if not changes or _done(request, form, change_shop, changes=changes):
            return redirect(after(code))
    return ask(request, code, {}, form=form, status=422)


@for_roles(OWNER)
@READ_OR_SEND
def shop(request: HttpRequest) -> HttpResponse:
    """Name and address."""
    return _about_the_shop(request, "shop", FirstShopForm)


@for_roles(OWNER)
@READ_OR_SEND
def paper(request: HttpRequest) -> HttpResponse:
    """Paper and units."""
    return _about_the_shop(request, "paper", FirstPaperForm)


@sensitive_post_parameters("pin", "password")
@for_roles(OWNER)
@READ_OR_SEND
def people(request: HttpRequest) -> HttpResponse:
    """One person after the other; the list so far stands below."""
    form = FirstPersonForm.proposing()
    if request.method == "POST":
        form = FirstPersonForm(request.POST)
        if form.is_valid():
            told = {
                name: form.cleaned_data[name] for name in ("badge", "stamp", "name", "roles", "credential")
            }
            secrets = {name: Secret(form.cleaned_data[name]) for name in ("pin", "password")}
            if _done(request, form, add_person, **told, **secrets):
                messages.success(request, _("%(name)s is added. Next, please.") % {"name": told["name"]})
                return redirect("first-people")
    context = {"people": Person.objects.order_by("pk")[:100], "this_device": device_of(request)}
    return ask(request, "people", context, form=form, status=422 if form.errors else 200)


@for_roles(OWNER)
@READ_OR_SEND
def stations(request: HttpRequest) -> HttpResponse:
    """The stations of the standard route."""
    route = queries.newest_route("standard")
    form = FirstStationsForm.of(route)
    if request.method == "POST":
        form = FirstStationsForm(request.POST)
        if form.is_valid():
            wanted = [
                {"station": code, **({"when": WITH_LINKS} if code == "brackets" else {})}
                for code in form.route
            ]
            same = route is not None and [entry["station"] for entry in route.stations] == form.route
            if same or _done(request, form, publish_route, name="standard", stations=wanted):
                return redirect(after("stations"))
    needed = [one.name for one in STATIONS.values() if not one.optional]
    return ask(request, "stations", {"needed": needed}, form=form, status=422 if form.errors else 200)


@for_roles(OWNER)
@READ_OR_SEND
def gauges(request: HttpRequest) -> HttpResponse:
    """One gauge after the other; the list so far stands below."""
    form = GaugeForm()
    if request.method == "POST":
        form = GaugeForm(request.POST)
        if form.is_valid() and _done(request, form, add_gauge, **form.inputs()):
            messages.success(
                request, _("%(code)s is on file. Next, please.") % {"code": form.inputs()["code"]}
            )
            return redirect("first-gauges")
    context = {"gauges": Gauge.objects.order_by("-pk")[:100]}
    return ask(request, "gauges", context, form=form, status=422 if form.errors else 200)


@for_roles(OWNER)
@READ_OR_SEND
def rules(request: HttpRequest) -> HttpResponse:
    """Which rules are in use from the first day."""
    if request.method == "POST":
        form = RuleForm(request.POST)
        if form.is_valid() and _done(
            request, form, switch_rule, rule=form.cleaned_data["rule"], in_use=form.cleaned_data["in_use"]
        ):
            return redirect("first-rules")
    used = in_use(the_shop())
    rows = [
        {
            "rule": rule,
            "in_use": code in used,
            "form": RuleForm(
                initial={"rule": code, "in_use": "no" if code in used else "yes"}, auto_id=f"{code}_%s"
            ),
        }
        for code, rule in RULES.items()
    ]
    return ask(request, "rules", {"rows": rows})


@for_roles(OWNER)
@READ_OR_SEND
def order(request: HttpRequest) -> HttpResponse:
    """A customer, and a first order out of a ready spec."""
    customer_form = FirstCustomerForm(prefix="customer")
    if request.POST.get("do") == "customer":
        customer_form = FirstCustomerForm(request.POST, prefix="customer")
        if customer_form.is_valid():
            name = customer_form.cleaned_data["name"]
            if _done(request, customer_form, add_customer, code=_code_for(name), name=name):
                return redirect("first-order")
    known = Customer.objects.exists()
    form = FirstOrderForm() if known else None
    if request.method == "POST" and request.POST.get("do") != "customer" and known:
        form = FirstOrderForm(request.POST)
        if form.is_valid() and _done(request, form, place_order, **form.inputs):
            return redirect(after("order"))
    wrong = bool(customer_form.errors or (form is not None and form.errors))
    context = {"customer_form": customer_form}
    return ask(request, "order", context, form=form, status=422 if wrong else 200)


def _code_for(name: str) -> str:
    """A short code for a customer, not taken yet: "north-ridge", "north-ridge-2"."""
    plain = re.sub("[^a-z0-9]+", "-", name.lower()).strip("-")[:16].strip("-") or "customer"
    taken = set(Customer.objects.filter(code__startswith=plain).values_list("code", flat=True))
    return next(c for c in (plain, *(f"{plain}-{n}" for n in range(2, 1000))) if c not in taken)


@for_roles(OWNER)
@require_safe
def printing(request: HttpRequest) -> HttpResponse:
    """The travelers of what is released, and where everything else is found later."""
    newest = queries.housings_for(actor_at(request)).order_by("-pk")[:12]
    return ask(request, "printing", {"housings": newest})
