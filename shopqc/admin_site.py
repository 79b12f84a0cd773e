"""The admin's pages behind our own sign-in: it has no sign-in and no password page of its own.

Its own sign-in would pass by the slowing down of wrong secrets, and its
password page would write outside an operation.
"""

from __future__ import annotations

from typing import Any

from django.contrib import admin
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode

from shopqc.refusals import Reason


class ReadOnlySite(admin.AdminSite):
    """Shows every row to owners and QC leads."""

    site_title = site_header = "Rows"
    index_title = "Every table, as it is stored"
    site_url = "/"

    def login(self, request: HttpRequest, extra_context: dict[str, Any] | None = None) -> HttpResponse:
        return redirect("sign-in")

    def logout(  # type: ignore[override]
        self, request: HttpRequest, extra_context: dict[str, Any] | None = None
    ) -> HttpResponse:
        return redirect("home")

    def password_change(  # type: ignore[override]
        self, request: HttpRequest, extra_context: dict[str, Any] | None = None
    ) -> HttpResponse:
        return redirect("people")

    def admin_view(self, view: Any, cacheable: bool = False) -> Any:
        shown = super().admin_view(view, cacheable)

        def after_our_sign_in(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if not request.user.is_authenticated:
                return redirect(f"{reverse('sign-in')}?{urlencode({'next': request.path})}")
            if not self.has_permission(request):
                reason = Reason("not_allowed", {"operation": "admin", "roles": "owner or QC lead"})
                context = {"reasons": [reason], "status": 403}
                return render(request, "shopqc/problem.html", context, status=403)
            answer: HttpResponse = shown(request, *args, **kwargs)
            return answer

        return after_our_sign_in
