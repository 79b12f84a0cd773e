"""Which steel may go where, and what the housings say about steel when one wants to leave."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

from housings.engineering.fit_rules import is_plain_carbon
from housings.engineering.parts import TracedPart, parts_of
from housings.engineering.procedures import Procedure
from housings.engineering.spec import spec_from
from housings.findings import wrong_steel_accepted_at
from housings.material_queries import steel_of
from housings.models import Heat, Housing, MaterialUse, Visit
from housings.steel_words import KINDS, STEEL_STATIONS
from shopqc.refusals import Reason, register
from shopqc.rules import Rule
from shopqc.rules import register as register_rules

if TYPE_CHECKING:
    from housings.gate import Situation

STEEL_TRACED = "steel_traced"

register_rules(
    Rule(
        STEEL_TRACED,
        _("A station is left only once the heat of each part that is joined there is on record."),
        _("From which heat each part is was not recorded throughout."),
        from_start=False,
    )
)
register(
    409,
    {
        "heat_recalled": _("%(heat)s was recalled: %(why)s Take another one."),
        "recalled_inside": _(
            "%(part)s is of heat %(heat)s, which was recalled: %(why)s Record the steel that replaces it."
        ),
        "heat_other_kind": _("%(heat)s is on file as %(kind)s; what goes here is %(wanted)s."),
        "heat_other_form": _("%(part)s is made of tube; %(heat)s is on file as %(form)s."),
        "steel_plain_carbon": _(
            "%(part)s has to be %(asked)s; %(heat)s is %(grade)s. Plain carbon tube bends too easily."
        ),
        "steel_other_grade": _("%(part)s has to be %(asked)s; %(heat)s is %(grade)s."),
        "steel_other_condition": _("%(part)s has to be %(asked)s; %(heat)s is %(condition)s."),
        "steel_condition_unknown": _(
            "%(part)s has to be %(asked)s; in which condition %(heat)s came is not on file. "
            "Enter it with the heat first."
        ),
        "steel_missing": _("The steel of %(part)s is not recorded."),
        "material_known": _("%(part)s has %(heat)s on record already. To correct it, say why."),
        "material_too_early": _("%(part)s is joined at %(station)s, and the housing has not been there."),
        "piece_used": _("Piece %(piece)s went into %(part)s of %(serial)s already."),
        "filler_other_class": _("%(heat)s is %(grade)s; the procedure asks for %(asked)s."),
    },
)


def _tidy(name: str) -> str:
    return "".join(name.split()).upper().replace("-", "")


def is_same(asked: str, given: str) -> bool:
    """Whether two names of a grade or a condition mean the same: case, spaces and hyphens do not count."""
    return _tidy(asked) == _tidy(given)


def reasons_of_recall(heat: Heat) -> list[Reason]:
    """A recalled heat goes nowhere, whatever rules are in use."""
    if heat.recalled_at is None:
        return []
    return [Reason("heat_recalled", {"heat": heat.number, "why": _ended(heat.recalled_why)})]


def _ended(sentence: str) -> str:
    return sentence if sentence.endswith((".", "!", "?")) else f"{sentence}."


def _reasons_of_kind(heat: Heat, wanted: str) -> list[Reason]:
    if heat.kind == wanted:
        return []
    facts = {"heat": heat.number, "kind": KINDS.get(heat.kind, heat.kind), "wanted": KINDS[wanted]}
    return [Reason("heat_other_kind", facts)]


def reasons_against_steel(part: TracedPart, heat: Heat) -> list[Reason]:
    """Why a part may not be made of a heat, by kind, form, grade and condition."""
    if reasons := _reasons_of_kind(heat, Heat.STEEL):
        return reasons
    facts = {"part": _(part.name), "heat": heat.number}
    reasons = []
    if part.form == "tube" and heat.form and heat.form != "tube":
        reasons.append(Reason("heat_other_form", {**facts, "form": heat.form}))
    if part.grade and not is_same(part.grade, heat.grade):
        is_plain = part.form == "tube" and is_plain_carbon(heat.grade.upper())
        code = "steel_plain_carbon" if is_plain else "steel_other_grade"
        reasons.append(Reason(code, {**facts, "asked": part.grade, "grade": heat.grade}))
    if part.condition and not heat.condition:
        reasons.append(Reason("steel_condition_unknown", {**facts, "asked": part.condition}))
    elif part.condition and not is_same(part.condition, heat.condition):
        asked = {**facts, "asked": part.condition, "condition": heat.condition}
        reasons.append(Reason("steel_other_condition", asked))
    return reasons


def reasons_against_filler(heat: Heat, procedure: Procedure | None = None) -> list[Reason]:
    """Why a lot of filler may not be welded with, by what it is and by the procedure."""
    asked = procedure.fillers if procedure else ()
    return [*reasons_of_recall(heat), *_reasons_of_class(heat, Heat.FILLER, asked)]


def reasons_against_gas(heat: Heat, procedure: Procedure | None = None) -> list[Reason]:
    """Why a cylinder may not be welded with. What purges the inside may be what shields the outside."""
    asked = tuple(name for name in (procedure.gas, procedure.purge) if name) if procedure else ()
    return [*reasons_of_recall(heat), *_reasons_of_class(heat, Heat.GAS, asked)]


def _reasons_of_class(heat: Heat, kind: str, asked: tuple[str, ...]) -> list[Reason]:
    if reasons := _reasons_of_kind(heat, kind):
        return reasons
    if not asked or any(is_same(name, heat.grade) for name in asked):
        return []
    names = str(_(" or ")).join(asked)
    return [Reason("filler_other_class", {"heat": heat.number, "grade": heat.grade, "asked": names})]


def is_accepted(housing: Housing, heat: Heat) -> bool:
    """Whether an accountable decision has accepted steel of this housing that is not as asked, or recalled.

    Only a decision after the recall counts for a recalled heat. A query; asked when something is wrong.
    """
    accepted_at = wrong_steel_accepted_at(housing)
    return accepted_at is not None and (heat.recalled_at is None or accepted_at > heat.recalled_at)


def steel_in(situation: Situation) -> dict[str, MaterialUse]:
    """What a housing is made of: of each part what counts now. Read once by `Situation.kept`."""
    return steel_of([situation.housing])[situation.housing.pk]


def reasons_against_leaving(situation: Situation, visit: Visit) -> list[Reason]:
    """Why a visit may not end as far as the steel of the parts goes that are joined at its station."""
    if visit.kind == Visit.MEASURE or visit.station not in STEEL_STATIONS:
        return []
    return list(_of_parts(situation, visit))


def reasons_not_to_sign(situation: Situation) -> list[Reason]:
    """Recalled steel, filler or gas in the housing that nobody has accepted, whatever rules are in use."""
    names = {part.code: part.name for part in parts_of(spec_from(situation.housing.spec.data))}
    inside = {use.heat: _(names.get(use.part, use.part)) for use in situation.kept(steel_in).values()} | {
        heat: entry.joint.name
        for entry in situation.weld_passes
        for heat in (entry.filler, entry.gas)
        if heat is not None
    }
    return [
        Reason("recalled_inside", {"part": part, "heat": heat.number, "why": _ended(heat.recalled_why)})
        for heat, part in inside.items()
        if heat.recalled_at and not is_accepted(situation.housing, heat)
    ]


def _is_wrong(part: TracedPart, heat: Heat) -> bool:
    return heat.recalled_at is not None or bool(reasons_against_steel(part, heat))


def _of_parts(situation: Situation, visit: Visit) -> Iterator[Reason]:
    parts = [
        part for part in parts_of(spec_from(situation.housing.spec.data)) if part.station == visit.station
    ]
    steel = situation.kept(steel_in)
    for part in parts:
        use = steel.get(part.code)
        if use is not None and _is_wrong(part, use.heat) and is_accepted(situation.housing, use.heat):
            continue
        if use is not None and use.heat.recalled_at:
            facts = {"part": _(part.name), "heat": use.heat.number, "why": _ended(use.heat.recalled_why)}
            yield Reason("recalled_inside", facts)
        elif STEEL_TRACED not in situation.in_use:
            continue
        elif use is None:
            yield Reason("steel_missing", {"part": _(part.name)})
        else:
            yield from reasons_against_steel(part, use.heat)
