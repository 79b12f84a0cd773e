"""How the machine is set for a joint, said once; and joints whose every pass is recorded with all numbers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings import material_rules
from housings.engineering.outside import Outside, pass_outside
from housings.engineering.procedures import Procedure
from housings.engineering.weld_figures import EACH_PASS, read_settings
from housings.models import Heat, JointSettings
from housings.operations.welds import (
    AtJoint,
    at_joint,
    figure_reasons,
    held_heat,
    the_joint,
    the_joint_and_heats,
)
from shopqc.operation import Answer, Run, operation
from shopqc.refusals import Reason, Refused, refuse


@operation("record_joint_settings", locks=the_joint_and_heats)
def record_joint_settings(
    run: Run,
    *,
    housing: str,
    joint: str,
    figures: Mapping[str, Any],
    filler: str | None = None,
    gas: str | None = None,
) -> Answer:
    """How the machine is set, with which filler and gas (numbers of heats); every pass that says nothing else
    was welded so. What is left out stays as it was said before.
    """
    at = at_joint(run, housing, joint)
    before = at.state.settings
    kept, problems = read_settings({**(before.figures if before else {}), **figures})
    held = named_heats(run, at, filler, gas)
    if problems:
        raise Refused(*figure_reasons(problems))
    if not kept and held == (None, None):
        raise refuse("field_missing", "/figures")
    outside = outside_of(at.state.procedure, kept, *held)
    _keep(run, at, kept, held, outside, before.each_pass if before else "")
    return {"housing": housing, "joint": joint, "figures": kept, "outside": outside}


@operation("ask_each_pass", locks=the_joint)
def ask_each_pass(run: Run, *, housing: str, joint: str, why: str) -> Answer:
    """From now on every pass of a joint is recorded with all its numbers; with an empty ``why`` no longer.

    ``why``: one of `weld_figures.EACH_PASS`.
    """
    at = at_joint(run, housing, joint, here=False)
    if why and why not in EACH_PASS:
        raise refuse("choice_unknown", "/why", value=why[:40], choices=", ".join(EACH_PASS))
    before = at.state.settings
    if before is None:
        _keep(run, at, {}, (None, None), [], why)
    else:
        _keep(run, at, before.figures, (before.filler, before.gas), before.outside, why)
    return {"housing": housing, "joint": joint, "each_pass": why}


def _keep(
    run: Run,
    at: AtJoint,
    figures: Mapping[str, str],
    held: tuple[Heat | None, Heat | None],
    outside: list[Outside],
    each_pass: str,
) -> None:
    entry = JointSettings(
        housing=at.housing,
        joint=at.joint,
        figures=dict(figures),
        outside=outside,
        filler=held[0],
        gas=held[1],
        each_pass=each_pass,
        record_position=run.position_in(at.housing),
        at=run.at,
        by_stamp=run.by.stamp,
        by_person=run.by.person,
    )
    entry.save(force_insert=True)
    run.write(at.housing, [entry], joint=at.joint.code, name=at.joint.name, each_pass=each_pass)


def named_heats(
    run: Run, at: AtJoint, filler: str | None, gas: str | None
) -> tuple[Heat | None, Heat | None]:
    """Filler and gas that this run holds; refused if one was recalled or is no filler or gas at all."""
    kept = at.state.settings
    held = (
        held_heat(run, filler, kept.filler if kept else None),
        held_heat(run, gas, kept.gas if kept else None),
    )
    reasons: list[Reason] = []
    # Of another class than the procedure asks is recorded, and is outside.
    if held[0] is not None:
        reasons += [reason.at("/filler") for reason in material_rules.reasons_against_filler(held[0])]
    if held[1] is not None:
        reasons += [reason.at("/gas") for reason in material_rules.reasons_against_gas(held[1])]
    if reasons:
        raise Refused(*reasons)
    return held


def outside_of(
    procedure: Procedure | None,
    figures: Mapping[str, str],
    filler: Heat | None,
    gas: Heat | None,
    *,
    number_of_weld: int = 0,
    is_multipass: bool = False,
) -> list[Outside]:
    """What of settings or of a pass is outside its procedure; nothing where there is none."""
    if procedure is None:
        return []
    return pass_outside(
        procedure,
        figures,
        number_of_weld=number_of_weld,
        is_multipass=is_multipass,
        filler=_unlike(filler, procedure.fillers),
        gas=_unlike(gas, (procedure.gas,) if procedure.gas else ()),
    )


def _unlike(heat: Heat | None, asked: tuple[str, ...]) -> str | None:
    """What a heat is, if it is none of what is asked; case, spaces and hyphens do not count."""
    if heat is None or not asked or any(material_rules.is_same(name, heat.grade) for name in asked):
        return None
    return heat.grade or str(_("of unknown class"))
