"""The watch for fire after the last arc: until when, and what was found."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from housings.fire_watch import watch_at
from housings.models import FireWatch
from housings.operations.fire_watch import end_fire_watch
from housings.weld_clock import clock
from housings.weld_forms import WatchForm
from shopqc.doors import for_roles, may, run
from shopqc.refusals import Refused
from shopqc.rules import the_shop

SHOWN = 10
FOUND = "found"


@for_roles()
@require_http_methods(["GET", "HEAD", "POST"])
def fire_watch(request: HttpRequest) -> HttpResponse:
    """Show the watch, or record that somebody watched and what they found."""
    form = WatchForm(request.POST or None)
    status = 200
    if request.method == "POST":
        status = _record(request, form)
        if status == 200:
            return redirect("fire-watch")
    now, shop = timezone.now(), the_shop()
    watch = watch_at(now, shop)
    context = {
        "form": form,
        "watch": watch,
        "last": clock(watch.last_arc_at, now) if watch else "",
        "until": clock(watch.until, now) if watch else "",
        "minutes": shop.fire_watch_minutes,
        "is_offered": may(request, "end_fire_watch"),
        "watched": FireWatch.objects.order_by("-at")[:SHOWN],
    }
    return render(request, "housings/weld/fire_watch.html", context, status=status)


def _record(request: HttpRequest, form: WatchForm) -> int:
    """Record the watch; the status of the answer."""
    if not form.is_valid():
        return 422
    found = form.cleaned_data["found"].strip()
    if request.POST.get("do") == FOUND and not found:
        form.add_error("found", _("Say what was found, or press the other button."))
        return 422
    try:
        run(request, end_fire_watch, form, found=found if request.POST.get("do") == FOUND else "")
    except Refused as refused:
        form.say(refused.reasons)
        return refused.status
    messages.success(request, _("The watch is recorded."))
    return 200
