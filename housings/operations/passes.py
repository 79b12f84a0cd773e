"""Weld passes: recorded by one tap, or with all their numbers; and taken back if they never were."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings import gate, rules
from housings.engineering.outside import heat_outside
from housings.engineering.procedure_heat import as_text, heat_input_of
from housings.engineering.procedures import procedure_from
from housings.engineering.weld_figures import read_settings
from housings.findings import open_nonconformance
from housings.models import PassTakenBack, WeldPass
from housings.operations.arcs import PASS, check_number, check_seen, end_arc
from housings.operations.joint_settings import named_heats, outside_of
from housings.operations.temperatures import keep_temperatures, read_temperatures
from housings.operations.welds import (
    AtJoint,
    at_joint,
    figure_reasons,
    held_welder,
    moment_of,
    the_joint,
    the_joint_and_heats,
    words_of,
)
from housings.weld_queries import released_by
from housings.weld_rules import reasons_of_arcs
from shopqc.models import Person
from shopqc.operation import Answer, Run, operation
from shopqc.people import PROGRAM, actor_of
from shopqc.refusals import Reason, Refused, refuse

OF_EACH_PASS = ("volts", "amps", "travel")
OF_REPAIR = frozenset({"repair_open", "repair_not_begun"})
HOURS = tuple(str(hour) for hour in range(1, 13))


@operation("record_pass", locks=the_joint_and_heats)
def record_pass(
    run: Run,
    *,
    housing: str,
    joint: str,
    number: int,
    passes: int = 1,
    temperatures: Sequence[Mapping[str, Any]] = (),
    figures: Mapping[str, Any] | None = None,
    filler: str | None = None,
    gas: str | None = None,
    stop_at: str = "",
    repair: int = 0,
    welder: str | None = None,
    note: str = "",
    done_at: str | None = None,
    seen_position: int | None = None,
    sure: bool = False,
) -> Answer:
    """A pass is done; if its arc was begun here it ends, else the gate is asked now.

    ``number`` is the pass the device means, ``passes`` how many welds at once of a joint that is counted.
    ``temperatures`` were read before the arc; one that says no time counts for its beginning, if that is on
    record, else for the end of the pass. ``figures``, ``filler`` and ``gas`` where they differ from the
    joint's settings. ``stop_at`` is the hour of the clock where the pass stopped, seen from the end;
    ``done_at`` the end of the arc. What is outside the procedure is kept and opens a nonconformance.
    """
    at = at_joint(run, housing, joint)
    check_number(at, number)
    check_seen(at, seen_position)
    _check_passes(at, passes, repair)
    settings = at.state.settings.figures if at.state.settings else {}
    own, problems = read_settings(_in_units_of(settings, figures or {}))
    reasons = figure_reasons(problems)
    if stop_at and stop_at not in HOURS:
        reasons.append(Reason("choice_unknown", {"value": stop_at[:20], "choices": "1 – 12"}, "/stop_at"))
    reasons += _reasons_of_each_pass(at, own, passes)
    if reasons:
        raise Refused(*reasons)
    held = named_heats(run, at, filler, gas)
    person = held_welder(run, welder)
    arc = at.state.arc if at.state.arc and at.state.arc.welder_id == person.pk else None
    ended = moment_of(
        run,
        done_at,
        run.at,
        [
            (at.state.last_arc_at, _("the end of the last pass")),
            (arc.begun_at if arc else None, _("the beginning of its arc")),
        ],
        "/done_at",
    )
    begun = arc.begun_at if arc else ended
    rows = read_temperatures(run, at, temperatures, default=begun, latest=ended, sure=sure)
    step = gate.NextPass(at.joint, actor_of(person), ended, rows, repair, is_over=True)
    if arc is None:
        gate.check(at.situation, step)
    # The arc was let start; but that it is recorded under the repair it belongs to is only said now.
    elif reasons := [one for one in gate.reasons_beyond(at.situation, step) if one.code in OF_REPAIR]:
        raise Refused(*reasons)
    released = at.state.release(begun, rows, repair=repair, end_known_only=arc is None, read_by=begun)
    revision = at.state.revision_for(repair)
    procedure = procedure_from(revision.data) if revision else None
    said = {**settings, **own}
    outside = outside_of(
        procedure,
        said,
        *held,
        number_of_weld=at.state.done_of(repair) + 1,
        is_multipass=at.joint.is_multipass or repair > 0,
    )
    outside += heat_outside(procedure, released) if procedure else []
    found = None
    if outside:
        what = _("%(joint)s, pass %(number)s: %(what)s")
        facts = {"joint": at.joint.name, "number": _numbers(number, passes), "what": words_of(outside)}
        found = open_nonconformance(run, at.housing, at.visit, str(what) % facts)
    keep_temperatures(run, at.housing, rows)
    heat = heat_input_of(procedure, said)
    made = [
        WeldPass(
            housing=at.housing,
            joint=at.joint,
            visit=at.visit,
            station=at.visit.station,
            number=one,
            repair=repair,
            procedure=revision,
            figures=own,
            heat_input=as_text(heat) if heat is not None else "",
            filler=held[0],
            gas=held[1],
            released_by=released_by(released),
            stop_at=stop_at,
            outside=outside,
            nonconformance=found,
            note=note.strip(),
            record_position=run.position_in(at.housing),
            begun_at=arc.begun_at if arc else None,
            done_at=ended,
            received_at=run.at,
            welder=person,
            by_stamp=run.by.stamp,
            by_person=run.by.person,
        )
        for one in range(number, number + passes)
    ]
    for entry in made:
        entry.save(force_insert=True)
    if arc is not None:
        end_arc(run, arc, PASS, ended)
    _write(run, at, made, person)
    return {
        "housing": housing,
        "joint": joint,
        "passes": [entry.number for entry in made],
        "outside": outside,
        "nonconformance": found,
        "record_position": made[0].record_position,
    }


def _in_units_of(settings: Mapping[str, str], figures: Mapping[str, Any]) -> dict[str, Any]:
    """Figures of a pass, in the unit of the joint's settings where they say none of their own."""
    units = {"travel_unit": ("travel",), "flow_unit": ("gas_flow", "purge_flow")}
    said = {
        unit: settings[unit]
        for unit, names in units.items()
        if unit in settings and any(figures.get(name) for name in names)
    }
    return {**said, **{name: value for name, value in figures.items() if value not in ("", None)}}


def _check_passes(at: AtJoint, passes: int, repair: int) -> None:
    """Several at once only of welds that are counted, and no more than are left."""
    if passes < 1:
        raise refuse("field_wrong", "/passes", why=str(_("At least one pass.")))
    if passes == 1:
        return
    if at.joint.is_multipass or repair:
        raise refuse("one_by_one", "/passes", joint=at.joint.name)
    left = at.joint.count - at.state.done
    if passes > left:
        facts = {"joint": at.joint.name, "count": at.joint.count, "left": left, "passes": passes}
        raise Refused(Reason("welds_left", facts, "/passes"))


def _reasons_of_each_pass(at: AtJoint, own: Mapping[str, str], passes: int) -> list[Reason]:
    """Whether a pass of which all numbers are asked has them, said of this pass and not of the joint."""
    why = at.state.settings.each_pass if at.state.settings else ""
    missing = [name for name in OF_EACH_PASS if name not in own]
    if not why:
        return []
    reasons = [] if passes == 1 else [Reason("one_by_one", {"joint": at.joint.name}, "/passes")]
    if missing:
        facts = {"joint": at.joint.name, "why": why, "fields": ", ".join(missing)}
        reasons.append(Reason("each_pass_needed", facts, "/figures"))
    return reasons


def _write(run: Run, at: AtJoint, made: Sequence[WeldPass], person: Person) -> None:
    run.write(
        at.housing,
        made,
        joint=at.joint.code,
        name=at.joint.name,
        passes=[entry.number for entry in made],
        repair=made[0].repair,
        welder=person.stamp,
        outside=[one["code"] for one in made[0].outside],
        nonconformance=made[0].nonconformance,
    )


def _numbers(first: int, passes: int) -> str:
    return str(first) if passes == 1 else f"{first} – {first + passes - 1}"


@operation("take_back_pass", locks=the_joint)
def take_back_pass(run: Run, *, housing: str, joint: str, number: int, why: str) -> Answer:
    """A pass that never was: a second tap, or the wrong joint. Only the last of the joint, while the housing
    is still where it is welded; by whoever recorded it, or by the QC lead. A nonconformance that it opened
    stays, for the QC lead to decide.
    """
    at = at_joint(run, housing, joint)
    last = at.state.last_pass
    if last is None:
        raise refuse("no_pass", joint=at.joint.name)
    reasons = rules.reasons_of_person(run.by, last.by_stamp) + reasons_of_arcs(at.state, PROGRAM, run.at)
    if last.number != number:
        reasons.append(Reason("not_last_pass", {"joint": at.joint.name, "last": last.number}, "/number"))
    if not why.strip():
        reasons.append(Reason("reason_needed", field="/why"))
    if reasons:
        raise Refused(*reasons)
    entry = PassTakenBack(
        weld_pass=last,
        why=why.strip(),
        record_position=run.position_in(at.housing),
        at=run.at,
        by_stamp=run.by.stamp,
    )
    entry.save(force_insert=True)
    run.write(at.housing, [entry], joint=at.joint.code, name=at.joint.name, number=number, why=entry.why)
    return {"housing": housing, "joint": joint, "number": number, "nonconformance": last.nonconformance}
