"""By which procedure a joint is welded: chosen by the QC lead or the engineer among those that reach it."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from housings import queries
from housings.engineering.procedures import procedure_from, reaches
from housings.models import Housing, Joint, JointProcedure, ProcedureRevision
from housings.operations.procedures import assign_procedure
from housings.weld_queries import unsaved_joints
from shopqc.doors import actor_at, for_roles, run
from shopqc.forms import KeyedForm
from shopqc.people import ENGINEER, QC_LEAD
from shopqc.refusals import Refused, refuse
from shopqc.whole_numbers import whole

NONE = "none"


class JointProcedureForm(KeyedForm):
    """One procedure of those that reach a joint, and why."""

    procedure = forms.ChoiceField(label=gettext_lazy("Procedure"), widget=forms.RadioSelect)
    why = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=2000,
        error_messages={"required": gettext_lazy("Say why.")},
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, *args: Any, choices: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["procedure"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [*choices, (NONE, _("none: nothing published reaches it"))]


@for_roles(QC_LEAD, ENGINEER)
@require_http_methods(["GET", "HEAD", "POST"])
def joint_procedure(request: HttpRequest, serial: str, code: str) -> HttpResponse:
    """Show which procedures reach a joint and which do not, and why; assign one."""
    housing = queries.housing_by_serial(actor_at(request), serial)
    joint = _joint(housing, code)
    published = queries.newest_procedures()
    against = {one.pk: reaches(procedure_from(one.data), joint) for one in published}
    reaching = [one for one in published if not against[one.pk]]
    choices = [(str(one.pk), _choice(one)) for one in reaching]
    given = request.POST if request.method == "POST" else None
    form = JointProcedureForm(given, choices=choices)
    status = 200
    if form.is_bound:
        if form.is_valid() and (status := _assign(request, housing, code, form)) == 302:
            messages.success(request, _("It counts from the next pass on."))
            return redirect("joint-procedure", serial=housing.serial, code=code)
        status = 422 if status in (200, 302) else status
    context = {
        "housing": housing,
        "joint": joint,
        "form": form,
        "entries": _entries(joint),
        "reaching": reaching,
        "others": [(one, " ".join(against[one.pk])) for one in published if against[one.pk]],
    }
    return render(request, "housings/joint_procedure.html", context, status=status)


def _choice(revision: ProcedureRevision) -> str:
    said = f"{revision}: {revision.data['title']}"
    return _("%(procedure)s (for repair)") % {"procedure": said} if revision.data.get("for_repair") else said


def _assign(request: HttpRequest, housing: Housing, code: str, form: JointProcedureForm) -> int:
    chosen = form.cleaned_data["procedure"]
    inputs = {
        "housing": housing.serial,
        "joint": code,
        "procedure": None if chosen == NONE else whole(chosen),
        "why": form.cleaned_data["why"],
    }
    try:
        run(request, assign_procedure, form, **inputs)
    except Refused as refused:
        form.say(refused.reasons)
        return refused.status
    return 302


def _joint(housing: Housing, code: str) -> Joint:
    """A joint of the housing; one that it will have if none were laid yet."""
    joints = queries.joints_of_housing(housing) or unsaved_joints(housing)
    found = next((joint for joint in joints if joint.code == code), None)
    if found is None:
        raise refuse("not_found", what=_("joint"), name=code[:40])
    return found


def _entries(joint: Joint) -> list[JointProcedure]:
    """By which procedures it was to be welded, the newest first."""
    if joint.pk is None:
        return []
    return list(joint.procedures.select_related("procedure").order_by("-pk"))
