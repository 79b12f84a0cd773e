"""The shop itself: its words and choices, and the rules it has in use."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from shopqc.doors import actor_at, for_roles, may, run
from shopqc.models import Shop
from shopqc.operations.shop import change_shop, switch_rule
from shopqc.page_forms.shop import RuleForm, ShopForm
from shopqc.places import SHOP
from shopqc.refusals import Refused, refuse
from shopqc.rules import RULES, Rule, in_use, the_shop


@dataclass(frozen=True)
class RuleRow:
    """A rule, how it stands, and the form that switches it."""

    rule: Rule
    in_use: bool
    since: str
    by: str
    form: RuleForm


@for_roles(*SHOP)
@require_http_methods(["GET", "HEAD", "POST"])
def settings(request: HttpRequest) -> HttpResponse:
    """Show the shop; change it, or switch one rule."""
    shop = the_shop()
    match request.method, request.POST.get("do"):
        case "POST", "switch":
            return _switch(request)
        case "POST", _other:
            form = ShopForm(request.POST)
            return _change(request, form, shop)
    return _shown(request, ShopForm.of(shop), shop)


def _change(request: HttpRequest, form: ShopForm, shop: Shop) -> HttpResponse:
    actor_at(request).check_may("change_shop")
    if not form.is_valid():
        return _shown(request, form, shop, 422)
    changes = form.changes_to(shop)
    if not changes:
        messages.info(request, _("Nothing was different, so nothing was changed."))
        return redirect("settings")
    try:
        run(request, change_shop, form, changes=changes)
    except Refused as refused:
        form.say(refused.reasons)
        return _shown(request, form, shop, refused.status)
    messages.success(request, _("The shop is changed. Papers that are made from now on say so."))
    return redirect("settings")


def _switch(request: HttpRequest) -> HttpResponse:
    form = RuleForm(request.POST)
    if not form.is_valid():
        raise refuse("field_wrong", why=_("This page does not know which rule was meant; load it again."))
    rule, wanted = form.cleaned_data["rule"], form.cleaned_data["in_use"]
    run(request, switch_rule, form, rule=rule, in_use=wanted)
    said = _("In use from now on: %(rule)s") if wanted else _("Not in use any more: %(rule)s")
    messages.success(request, said % {"rule": RULES[rule].asks})
    return redirect("settings")


def _shown(request: HttpRequest, form: ShopForm, shop: Shop, status: int = 200) -> HttpResponse:
    context: dict[str, Any] = {
        "form": form,
        "rules": _rows(shop),
        "may_change": may(request, "change_shop"),
        "may_switch": may(request, "switch_rule"),
        "may_see_people": may(request, "add_person"),
        "may_see_keys": may(request, "make_api_key"),
    }
    return render(request, "shopqc/settings.html", context, status=status)


def _rows(shop: Shop) -> list[RuleRow]:
    used = in_use(shop)
    rows = []
    for code, rule in RULES.items():
        decided = shop.rules.get(code, {})
        form = RuleForm(
            initial={"rule": code, "in_use": "no" if code in used else "yes"}, auto_id=f"{code}_%s"
        )
        rows.append(RuleRow(rule, code in used, decided.get("since", ""), decided.get("by", ""), form))
    return rows
