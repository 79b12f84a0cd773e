"""People: the list, somebody new, a change."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from shopqc.doors import for_roles, person_at, run
from shopqc.models import Person
from shopqc.operations.people import add_person, change_person
from shopqc.page_forms.people import ChangePersonForm, PersonForm
from shopqc.people import OWNER
from shopqc.refusals import Refused, refuse
from shopqc.secret import Secret

AT_ONCE = 50


@for_roles(OWNER)
@require_safe
def people(request: HttpRequest) -> HttpResponse:
    """Everybody, who works here first."""
    found = Person.objects.order_by("-is_active", "name", "pk")
    page = Paginator(found, AT_ONCE).get_page(request.GET.get("page"))
    return render(request, "shopqc/people.html", {"page": page})


@sensitive_post_parameters("pin", "password")
@for_roles(OWNER)
@require_http_methods(["GET", "HEAD", "POST"])
def person_new(request: HttpRequest) -> HttpResponse:
    """Add somebody."""
    if request.method != "POST":
        return _form(request, PersonForm())
    form = PersonForm(request.POST)
    if not form.is_valid():
        return _form(request, form, status=422)
    told = {name: form.cleaned_data[name] for name in ("badge", "stamp", "name", "roles", "credential")}
    secrets = {name: Secret(form.cleaned_data[name]) for name in ("pin", "password")}
    try:
        run(request, add_person, form, **told, **secrets)
    except Refused as refused:
        form.say(refused.reasons)
        return _form(request, form, status=refused.status)
    messages.success(request, _("%(name)s is added.") % {"name": told["name"]})
    return redirect("people")


@sensitive_post_parameters("pin", "password")
@for_roles(OWNER)
@require_http_methods(["GET", "HEAD", "POST"])
def person(request: HttpRequest, stamp: str) -> HttpResponse:
    """Change somebody's name, roles or secrets, or say that they do not work here any more."""
    row = Person.objects.filter(stamp=stamp).first()
    if row is None:
        raise refuse("not_found", what=_("person"), name=stamp)
    if request.method != "POST":
        initial = {name: getattr(row, name) for name in ("name", "roles", "credential", "is_active")}
        return _form(request, ChangePersonForm(initial=initial), row)
    form = ChangePersonForm(request.POST)
    if not form.is_valid():
        return _form(request, form, row, 422)
    try:
        run(request, change_person, form, stamp=row.stamp, **form.inputs)
    except Refused as refused:
        form.say(refused.reasons)
        return _form(request, form, row, refused.status)
    row.refresh_from_db()
    if row == person_at(request):
        update_session_auth_hash(request, row)  # a new password ends one's other sessions, not this one
    messages.success(request, _("%(name)s is changed.") % {"name": row.name})
    return redirect("people")


def _form(
    request: HttpRequest, form: PersonForm, row: Person | None = None, status: int = 200
) -> HttpResponse:
    return render(request, "shopqc/person.html", {"form": form, "person": row}, status=status)
