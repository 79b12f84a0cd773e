"""API keys: made once, shown once, revoked."""

from __future__ import annotations

import datetime

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from shopqc.canonical import moment
from shopqc.doors import for_roles, run
from shopqc.models import ApiKey
from shopqc.operations.shop import make_api_key, new_api_key, revoke_api_key
from shopqc.page_forms.keys import KeyForm, RevokeKeyForm
from shopqc.people import OWNER, SCOPES
from shopqc.refusals import Refused, refuse


@never_cache
@for_roles(OWNER)
@require_http_methods(["GET", "HEAD", "POST"])
def keys(request: HttpRequest) -> HttpResponse:
    """Show all keys; make one, or revoke one."""
    if request.method != "POST":
        return _shown(request, KeyForm())
    if request.POST.get("do") == "revoke":
        return _revoke(request)
    form = KeyForm(request.POST)
    if not form.is_valid():
        return _shown(request, form, status=422)
    key, prefix, key_digest = new_api_key()
    asked = form.cleaned_data
    try:
        run(
            request,
            make_api_key,
            form,
            name=asked["name"],
            prefix=prefix,
            key_digest=key_digest,
            scopes=asked["scopes"],
            customer=asked["customer"] or None,
            stamp=asked["stamp"] or None,
            expires_at=_end_of(asked["expires_on"]),
        )
    except Refused as refused:
        if refused.reasons[0].code == "key_reused":
            # Sent twice: the key was made by the first and cannot be shown again.
            messages.warning(
                request,
                _("This key was made already, and a key is shown once. If it is lost, revoke it below."),
            )
            return redirect("keys")
        form.say(refused.reasons)
        return _shown(request, form, status=refused.status)
    return _shown(request, KeyForm(), made=key)


def _end_of(day: datetime.date | None) -> str | None:
    """The end of a day in the shop's zone."""
    if day is None:
        return None
    last = datetime.datetime.combine(day, datetime.time.max, timezone.get_current_timezone())
    return moment(last)


def _revoke(request: HttpRequest) -> HttpResponse:
    form = RevokeKeyForm(request.POST)
    if not form.is_valid():
        raise refuse("field_wrong", why=_("This page does not know which key was meant; load it again."))
    run(request, revoke_api_key, form, prefix=form.cleaned_data["key_prefix"])
    messages.success(request, _("The key opens nothing any more."))
    return redirect("keys")


def _shown(request: HttpRequest, form: KeyForm, made: str = "", status: int = 200) -> HttpResponse:
    now = timezone.now()
    found = ApiKey.objects.select_related("customer", "person").order_by("-made_at", "-pk")[:200]
    rows = [
        {
            "key": key,
            "scopes": [SCOPES[scope] for scope in key.scopes if scope in SCOPES],
            "is_over": key.expires_at is not None and key.expires_at <= now,
            "form": RevokeKeyForm(initial={"key_prefix": key.prefix}, auto_id=f"key_{key.prefix}_%s"),
        }
        for key in found
    ]
    return render(request, "shopqc/keys.html", {"form": form, "made": made, "rows": rows}, status=status)
