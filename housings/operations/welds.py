"""What every operation at a joint begins with: rows it holds, the joint as it stands, people and times."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings import gate, rules, weld_rules
from housings.engineering.procedure_figures import Problem
from housings.material_queries import plain_code
from housings.models import Heat, Housing, Joint, JointSettings, Visit
from housings.operations.joints import joints_laid
from housings.weld_queries import JointState
from housings.weld_rules import clock
from shopqc.models import Person
from shopqc.operation import Rows, Run
from shopqc.refusals import Reason, Refused, refuse, register

register(
    409,
    {
        "pass_known": _("Pass %(number)s of %(joint)s is on record already; the next one is %(next)s."),
        "pass_skipped": _("The next pass of %(joint)s is %(next)s; %(number)s would leave one out."),
        "no_arc": _("Nobody is welding %(joint)s now."),
        "not_last_pass": _("Only the last pass of %(joint)s is taken back, and that is %(last)s."),
        "no_pass": _("%(joint)s has no pass on record."),
        "fit_up_covered": _("%(joint)s has passes already; its fit-up cannot be seen any more."),
        "unit_asked": _(
            "%(value)s °%(unit)s is unlikely for %(joint)s now. Was it %(value)s °%(other)s? Put the unit "
            "right, or say that the figure is right."
        ),
        "no_arc_yet": _("No arc is on record, so there is nothing to watch."),
        "arc_on_now": _(
            "Stamp %(stamp)s is welding %(joint)s of %(serial)s since %(since)s; the watch begins when that "
            "arc has ended."
        ),
        "watch_not_over": _("Watch for fire until %(until)s."),
        "watched_already": _("The fire watch after the last arc was recorded already by stamp %(stamp)s."),
    },
)
register(
    422,
    {
        "weld_figure_wrong": _("%(why)s"),
        "weld_in_future": _("This lies in the future; say when it was."),
        "time_backwards": _("%(at)s is before %(what)s at %(before)s. Look at the time again."),
        "read_after_arc": _(
            "This temperature was read after the end of the pass. Record it apart, once the pass is there."
        ),
        "temperatures_number": _("Send 1 to %(most)s temperatures at once."),
        "one_by_one": _("%(joint)s cools between its passes; record them one by one."),
        "welds_left": _(
            "%(joint)s has %(count)s welds and %(left)s are left; that is fewer than %(passes)s."
        ),
        "each_pass_needed": _(
            "Every pass of %(joint)s is recorded with all its numbers (%(why)s). Say: %(fields)s."
        ),
        "welder_needed": _("Say who welded it: this API key stands for no person."),
    },
)


@dataclass(frozen=True)
class AtJoint:
    """A joint at the bench: its housing as the gate sees it, and how the joint stands."""

    housing: Housing
    situation: gate.Situation
    state: JointState

    @property
    def joint(self) -> Joint:
        return self.state.joint

    @property
    def visit(self) -> Visit:
        """The present visit; `at_joint` has made sure that there is one, unless it was told not to."""
        assert self.state.visit is not None
        return self.state.visit


def at_joint(run: Run, housing: str, code: str, *, here: bool = True, ended_too: bool = False) -> AtJoint:
    """The joint of a housing that this run holds; joints are laid now if the housing has none.

    Refused if the housing has ended or is signed off (unless ``ended_too``), and (with ``here``) if it is not
    where the joint is welded.
    """
    row = run.get(Housing, housing)
    situation = gate.Situation(row)
    states = situation.kept(weld_rules.standing_joints)
    if any(one.joint.pk is None for one in states):
        joints_laid(run, row)
        situation = gate.Situation(row)
        states = situation.kept(weld_rules.standing_joints)
    state = next((one for one in states if one.joint.code == code), None)
    if state is None:
        raise refuse("not_found", "/joint", what=str(_("joint")), name=code[:40])
    reasons = [] if ended_too else rules.reasons_of_state(row)
    if here and not reasons:
        reasons += rules.reasons_of_away(situation.visits) + weld_rules.reasons_of_place(state)
    if reasons:
        raise Refused(*reasons)
    return AtJoint(row, situation, state)


def the_joint(*, housing: str, **_inputs: Any) -> list[Rows]:
    """The lock of the housing."""
    return [Rows(Housing, "serial", [housing])]


def the_joint_and_heats(
    *, housing: str, joint: str, filler: str | None = None, gas: str | None = None, **_inputs: Any
) -> list[Rows]:
    """The locks of the housing and of filler and gas: those that are named, else those of its settings."""
    newest = settings_of(housing, joint)
    rows = [Rows(Housing, "serial", [housing])]
    for name, given in (("filler", filler), ("gas", gas)):
        kept: Heat | None = getattr(newest, name) if newest else None
        if number := _number(given, kept):
            rows.append(Rows(Heat, "number", [number], f"/{name}"))
    return rows


def settings_of(housing: str, joint: str) -> JointSettings | None:
    """The newest settings of a joint, by serial and code."""
    found = JointSettings.objects.filter(housing__serial=housing, joint__code=joint)
    return found.select_related("filler", "gas").order_by("record_position").last()


def _number(given: str | None, kept: Heat | None) -> str:
    """The number of the heat that is meant, as it stands on file."""
    return plain_code(given or "") or (kept.number if kept else "")


def held_heat(run: Run, given: str | None, kept: Heat | None) -> Heat | None:
    """Filler or gas: the one that was named, else that of the settings; this run holds it."""
    number = _number(given, kept)
    if not number:
        return None
    if (Heat, number) not in run.rows:
        # Somebody set the machine anew between the locks and here.
        raise refuse("changed_meanwhile")
    return run.get(Heat, number)


def held_welder(run: Run, welder: str | None) -> Person:
    """Whose weld it is, by stamp, else who asks; locked, so that a welder has one arc at a time.

    Locked here and not by the table of locks, because who asks is no input; people come after housings and
    heats in the one order, and these operations lock nothing behind them.
    """
    people = Person.objects.select_for_update(no_key=True)
    if welder:
        person = people.filter(stamp=welder).first()
        if person is None:
            raise refuse("not_found", "/welder", what=str(_("person with the stamp")), name=welder[:20])
        return person
    if run.by.person is None:
        raise refuse("welder_needed", "/welder")
    return people.get(pk=run.by.person)


def moment_of(
    run: Run,
    given: str | None,
    default: datetime.datetime,
    before: Iterable[tuple[datetime.datetime | None, object]],
    field: str,
) -> datetime.datetime:
    """When something was: not in the future, and not before what ``before`` names with its moment."""
    at = datetime.datetime.fromisoformat(given) if given else default
    if at.tzinfo is None:
        raise refuse("field_wrong", field, why=str(_("Say the time zone too.")))
    if at > run.at:
        raise refuse("weld_in_future", field)
    for moment, what in before:
        if moment is not None and at < moment:
            facts = {"at": clock(at, run.at), "what": what, "before": clock(moment, run.at)}
            raise Refused(Reason("time_backwards", facts, field))
    return at


def figure_reasons(problems: Sequence[Problem], pointer: str = "/figures") -> list[Reason]:
    """What is wrong with figures, each at its field."""
    return [
        Reason("weld_figure_wrong", {"why": _(problem.sentence)}, f"{pointer}/{problem.field}")
        for problem in problems
    ]


def words_of(outside: Iterable[Mapping[str, str]]) -> str:
    """What is outside a procedure, as one text."""
    return " ".join(one["what"] for one in outside)
