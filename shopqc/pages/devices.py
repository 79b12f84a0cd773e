"""Devices: this browser becomes one, or one is taken out of use."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from shopqc.canonical import digest
from shopqc.devices import device_of, give_token, token_under
from shopqc.doors import actor_at, for_roles, run
from shopqc.models import Device
from shopqc.operations.shop import register_device, revoke_device
from shopqc.page_forms.devices import DeviceForm, RevokeDeviceForm
from shopqc.places import SHOP
from shopqc.refusals import Refused, refuse


@for_roles(*SHOP)
@require_http_methods(["GET", "HEAD", "POST"])
def devices(request: HttpRequest) -> HttpResponse:
    """Show all devices; register this one, or revoke one."""
    if request.method != "POST":
        return _shown(request, DeviceForm())
    if request.POST.get("do") == "revoke":
        return _revoke(request)
    form = DeviceForm(request.POST)
    if not form.is_valid():
        return _shown(request, form, 422)
    token, token_digest = token_under(actor_at(request).owner, form.key)
    try:
        run(request, register_device, form, name=form.cleaned_data["name"], token_digest=token_digest)
    except Refused as refused:
        form.say(refused.reasons)
        return _shown(request, form, refused.status)
    messages.success(request, _("This device is registered: badge and PIN work here now."))
    response = redirect("devices")
    give_token(response, token)
    return response


@require_http_methods(["GET", "HEAD", "POST"])
def become_device(request: HttpRequest, token: str) -> HttpResponse:
    """The link that makes the browser which opens it a registered device: the token in it is the secret."""
    device = Device.objects.filter(token_digest=digest(token.encode()), revoked_at=None).first()
    if device is None:
        raise refuse("not_found", what=_("registered device under"), name=_("this address"))
    if request.method != "POST":
        return render(request, "shopqc/become_device.html", {"device": device})
    messages.success(request, _("This is %(name)s now: badge and PIN work here.") % {"name": device.name})
    response = redirect("sign-in")
    give_token(response, token)
    return response


def _revoke(request: HttpRequest) -> HttpResponse:
    form = RevokeDeviceForm(request.POST)
    if not form.is_valid():
        raise refuse("field_wrong", why=_("This page does not know which device was meant; load it again."))
    run(request, revoke_device, form, device=form.cleaned_data["device"])
    messages.success(request, _("A PIN does not work there any more."))
    return redirect("devices")


def _shown(request: HttpRequest, form: DeviceForm, status: int = 200) -> HttpResponse:
    rows = [
        (device, RevokeDeviceForm(initial={"device": device.pk}, auto_id=f"device_{device.pk}_%s"))
        for device in Device.objects.order_by("-registered_at")[:200]
    ]
    context = {"form": form, "rows": rows, "this": device_of(request)}
    return render(request, "shopqc/devices.html", context, status=status)
