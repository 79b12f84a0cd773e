"""Signing in with badge and PIN or password, and out again."""

from __future__ import annotations

from typing import Any

from django.contrib.auth import login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from shopqc.devices import device_of
from shopqc.dispatch import new_key
from shopqc.models import Device, Person
from shopqc.operations.sign_in import sign_in as sign_in_operation
from shopqc.page_forms.sign_in import SignInForm
from shopqc.people import PROGRAM
from shopqc.refusals import Refused
from shopqc.rules import the_shop
from shopqc.secret import Secret

BACKEND = "django.contrib.auth.backends.ModelBackend"
NO_DEVICE = 0  # no row has this key, so the operation refuses a PIN and says why


@sensitive_post_parameters("pin", "password")
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask who it is. A wrong secret is counted, and the badge stays as it was typed."""
    the_shop()
    device = device_of(request)
    if request.method != "POST":
        return _shown(
            request, SignInForm(initial={"next": request.GET.get("next", "")}, device=device), device
        )
    form = SignInForm(request.POST, device=device)
    if not form.is_valid():
        return _shown(request, form, device, status=422)
    by_pin = bool(form.cleaned_data["pin"])
    secret = "pin" if by_pin else "password"
    try:
        answer = sign_in_operation(
            badge=form.cleaned_data["badge"],
            secret=Secret(form.cleaned_data[secret]),
            device=(device.pk if device else NO_DEVICE) if by_pin else None,
            by=PROGRAM,
            at=timezone.now(),
            # Not the form's: the same secret sent again is one more try, also where it was right before.
            key=new_key(),
        )
    except Refused as refused:
        reason = refused.reasons[0]
        form.add_error(secret, reason.sentence)
        wait = int(reason.facts.get("seconds", 0))
        response = _shown(request, form, device, status=refused.status, wait_seconds=wait)
        if wait:
            response["Retry-After"] = str(wait)
        return response
    if answer["person"] is None:
        form.add_error(secret, _wrong(by_pin, answer["wait_seconds"]))
        return _shown(request, form, device, status=403)
    # Makes a new session key, and empties the session if somebody else was signed in.
    login(request, Person.objects.get(pk=answer["person"]), backend=BACKEND)
    return redirect(_own_address(request, form.cleaned_data["next"]) or "home")


def _wrong(by_pin: bool, wait_seconds: int) -> str:
    wrong = (
        _("This PIN does not go with this badge.")
        if by_pin
        else _("This password does not go with this badge, or this badge has none for the desk.")
    )
    if not wait_seconds:
        return wrong
    wait = ngettext(
        "Wait %(seconds)s second before the next try.",
        "Wait %(seconds)s seconds before the next try.",
        wait_seconds,
    )
    return f"{wrong} {wait % {'seconds': wait_seconds}}"


def _own_address(request: HttpRequest, address: str) -> str | None:
    """Where the person wanted to go, if that is here."""
    own = url_has_allowed_host_and_scheme(
        address, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return address if own else None


def _shown(
    request: HttpRequest, form: SignInForm, device: Device | None, status: int = 200, **more: Any
) -> HttpResponse:
    context = {"form": form, "device": device, **more}
    return render(request, "shopqc/sign_in.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
def sign_out(request: HttpRequest) -> HttpResponse:
    """End the session; only by a button, so that no link can do it."""
    if request.method != "POST":
        return redirect("home")
    logout(request)
    return redirect("sign-in")
