"""Steel, filler and gas: received, changed, cut into pieces, and put into the parts of a housing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings import heat_data, material_rules, queries, rules, states
from housings.engineering.parts import TracedPart, parts_of
from housings.engineering.spec import spec_from
from housings.engineering.stations import STATIONS
from housings.material_queries import materials_of, passes_with, plain_code, uses_of
from housings.models import Heat, Housing, MaterialUse, Piece, Visit
from housings.operations.visits import the_housing
from housings.steel_words import KINDS, part_name
from shopqc.operation import Answer, Rows, Run, operation, the_shop
from shopqc.refusals import Reason, Refused, refuse, register

MOST_MATERIALS = 40

register(
    409,
    {
        "heat_used_as": _(
            "%(heat)s went into %(housings)s as it is on file now, and that would be wrong then: %(why)s "
            "Recall it first; then change it."
        ),
        "piece_of_other": _("Piece %(piece)s is of heat %(heat)s; a piece is cut from its own heat."),
    },
)
register(
    422,
    {
        "number_not_copied": _(
            "Copy the heat number onto the piece before the cut; what is not marked cannot be traced."
        ),
        "part_unknown": _("%(part)s is no part of this housing. Parts are: %(parts)s."),
        "part_twice": _("%(part)s stands here twice."),
        "materials_number": _("Send 1 to %(most)s parts at once."),
        "heat_or_piece": _("Say which heat or which piece it is, one of them."),
        "late_why": _("%(part)s was joined at %(station)s before; say why its steel is recorded only now."),
    },
)


def _the_shop(**_inputs: Any) -> list[Rows]:
    return [the_shop()]


def the_heat(*, heat: str, **_inputs: Any) -> list[Rows]:
    """The lock of one heat, named by its number."""
    return [Rows(Heat, "number", [heat])]


def _heat_and_shop(*, heat: str, **_inputs: Any) -> list[Rows]:
    return [*the_heat(heat=heat), the_shop()]


@operation("receive_heat", locks=_the_shop)
def receive_heat(
    run: Run,
    *,
    number: str,
    kind: str,
    grade: str,
    condition: str = "",
    form: str = "",
    size: str = "",
    supplier: str = "",
    quantity: str = "",
    composition: Mapping[str, Any] | None = None,
    certificate: str = "",
    certificate_type: str = "",
    note: str = "",
) -> Answer:
    """Steel, filler or gas came in.

    ``number`` is the heat number, the lot or the cylinder, in any writing; ``grade`` of filler its
    classification, of gas its symbol by ISO 14175. ``composition``: percent by mass by chemical symbol.
    ``certificate``: SHA-256 of the filed certificate, ``certificate_type`` by EN 10204.
    """
    number = plain_code(number)
    data = heat_data.tidy(
        {
            "kind": kind,
            "grade": grade,
            "condition": condition,
            "form": form,
            "size": size,
            "supplier": supplier,
            "quantity": quantity,
            "composition": dict(composition or {}),
            "certificate": certificate,
            "certificate_type": certificate_type,
            "note": note,
        }
    )
    reasons = [
        *heat_data.reasons_against_code(number, "/number", heat_data.LONGEST_NUMBER),
        *heat_data.reasons_against_description(data),
    ]
    if reasons:
        raise Refused(*reasons)
    data = heat_data.described(data)
    heat = Heat.objects.create(number=number, received_at=run.at, received_by=run.by.stamp, **data)
    run.write(heat, received=True, description=data)
    run.write(run.shop, heat=number)
    return {"heat": number}


@operation("change_heat", locks=the_heat)
def change_heat(
    run: Run, *, heat: str, changes: Mapping[str, Any], seen_position: int | None = None
) -> Answer:
    """Change what is on file of a heat: its certificate came later, or something was typed wrong.

    ``changes``: fields of `housings.heat_data.DESCRIPTION`. What would make a part that it went into wrong
    steel is refused until the heat is recalled. ``seen_position``: the last place in the heat's record that
    was looked at.
    """
    row = run.get(Heat, heat)
    if seen_position is not None and seen_position != row.record_position:
        raise refuse("changed_meanwhile")
    unknown = [name for name in changes if name not in heat_data.DESCRIPTION]
    if unknown:
        raise Refused(*(Reason("field_unknown", field=f"/{name[:40]}") for name in unknown))
    before = {name: getattr(row, name) for name in heat_data.DESCRIPTION}
    after = before | heat_data.tidy(changes)
    if reasons := list(heat_data.reasons_against_description(after)):
        raise Refused(*reasons)
    after = heat_data.described(after)
    changed = sorted(name for name in before if after[name] != before[name])
    for name in changed:
        setattr(row, name, after[name])
    if reasons := _reasons_of_use(row, changed):
        raise Refused(*reasons)
    if changed:
        row.save(update_fields=changed)
        run.write(
            row,
            before={name: before[name] for name in changed},
            after={name: after[name] for name in changed},
        )
    return {"heat": heat, "changed": changed}


def _reasons_of_use(heat: Heat, changed: Sequence[str]) -> list[Reason]:
    """Whether a heat, as it would be on file now, does not belong where it already is."""
    if heat.recalled_at or not {"kind", "grade", "condition", "form"} & set(changed):
        return []
    wrong: dict[str, str] = {}
    for use in uses_of(heat).select_related("housing__spec"):
        parts = {part.code: part for part in parts_of(spec_from(use.housing.spec.data))}
        if use.part in parts and (against := material_rules.reasons_against_steel(parts[use.part], heat)):
            wrong.setdefault(use.housing.serial, against[0].sentence)
    if {"kind", "grade"} & set(changed):
        for serial in passes_with(heat).order_by().values_list("housing__serial", flat=True).distinct():
            wrong.setdefault(serial, str(_("Welds were made with it.")))
    if not wrong:
        return []
    serials = sorted(wrong)
    named = ", ".join(serials[:5]) + (" …" if len(serials) > 5 else "")
    return [Reason("heat_used_as", {"heat": heat.number, "housings": named, "why": wrong[serials[0]]})]


@operation("cut_piece", locks=_heat_and_shop)
def cut_piece(
    run: Run,
    *,
    heat: str,
    code: str,
    what: str,
    number_copied: bool,
    cut_from: str | None = None,
    size: str = "",
) -> Answer:
    """A piece was cut, with the heat number copied to it before the cut.

    ``code`` is what is written on the piece; ``cut_from`` the code of another piece of this heat.
    """
    row = run.get(Heat, heat)
    code = plain_code(code)
    what, size = what.strip(), size.strip()
    reasons = heat_data.reasons_against_code(code, "/code", heat_data.LONGEST_CODE)
    if row.kind != Heat.STEEL:
        facts = {"heat": heat, "kind": KINDS[row.kind], "wanted": KINDS[Heat.STEEL]}
        reasons.append(Reason("heat_other_kind", facts))
    reasons += material_rules.reasons_of_recall(row)
    if not number_copied:
        reasons.append(Reason("number_not_copied", field="/number_copied"))
    if not what:
        reasons.append(Reason("field_missing", field="/what"))
    for name, text, most in (("what", what, heat_data.LONGEST_WHAT), ("size", size, 60)):
        if len(text) > most:
            reasons.append(Reason("too_long", {"most": most}, f"/{name}"))
    source = None
    if cut_from:
        source = Piece.objects.select_related("heat").filter(code=plain_code(cut_from)).first()
        if source is None:
            facts = {"what": _("piece"), "name": cut_from[:40]}
            reasons.append(Reason("not_found", facts, "/cut_from"))
        elif source.heat_id != row.pk:
            facts = {"piece": source.code, "heat": source.heat.number}
            reasons.append(Reason("piece_of_other", facts, "/cut_from"))
    if reasons:
        raise Refused(*reasons)
    piece = Piece(
        heat=row,
        code=code,
        cut_from=source,
        what=what,
        size=size,
        number_copied=True,
        record_position=run.position_in(row),
        at=run.at,
        by_stamp=run.by.stamp,
    )
    piece.save(force_insert=True)
    run.write(row, [piece], piece=code, what=what, cut_from=source.code if source else None)
    return {"heat": heat, "piece": code}


def _housing_and_heats(*, housing: str, materials: Sequence[Mapping[str, Any]], **_inputs: Any) -> list[Rows]:
    rows = the_housing(housing=housing)
    for index, item in enumerate(materials[:MOST_MATERIALS]):
        if code := item.get("piece"):
            piece = Piece.objects.select_related("heat").filter(code=plain_code(code)).first()
            if piece is not None:
                rows.append(Rows(Heat, "number", [piece.heat.number]))
        elif number := item.get("heat"):
            rows.append(Rows(Heat, "number", [plain_code(number)], f"/materials/{index}/heat"))
    return rows


@operation("use_material", locks=_housing_and_heats)
def use_material(run: Run, *, housing: str, materials: Sequence[Mapping[str, Any]]) -> Answer:
    """Parts of a housing are of these heats, recorded at the station that joins them.

    ``materials``: each with ``part`` (`housings.engineering.parts`) and ``heat`` or ``piece``. A part that
    was joined before needs ``why``; one that is on record already needs ``replaces``, the id of the entry
    that it corrects, and ``why``. All of it is recorded or nothing.
    """
    row = run.get(Housing, housing)
    if reasons := rules.reasons_of_state(row):
        raise Refused(*reasons)
    if not 1 <= len(materials) <= MOST_MATERIALS:
        raise refuse("materials_number", "/materials", most=MOST_MATERIALS)
    table = _Table(run, row)
    uses = [table.read(index, item) for index, item in enumerate(materials)]
    if table.reasons:
        raise Refused(*table.reasons)
    recorded = [use for use in uses if use is not None]
    for use in recorded:
        use.save(force_insert=True)
    answer = [_as_data(use) for use in recorded]
    run.write(row, recorded, materials=answer)
    return {"housing": housing, "materials": answer}


def _as_data(use: MaterialUse) -> dict[str, Any]:
    return {
        "id": str(use.pk),
        "part": use.part,
        "heat": use.heat.number,
        "piece": use.piece.code if use.piece else None,
        "replaces": str(use.replaces_id) if use.replaces_id else None,
        "why": use.why,
    }


@dataclass
class _Table:
    """What is sent of the parts of one housing, read row by row; ``reasons`` collects all that is wrong."""

    run: Run
    housing: Housing
    reasons: list[Reason] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.parts = {part.code: part for part in parts_of(spec_from(self.housing.spec.data))}
        self.known = {use.part: use for use in materials_of(self.housing)}
        self.visits = queries.visits_of(self.housing)
        self.seen: set[str] = set()
        self.taken: dict[int, str] = {}
        self.reasons += rules.reasons_of_away(self.visits)

    def read(self, index: int, item: Mapping[str, Any]) -> MaterialUse | None:
        """One part, unsaved; ``None`` if something is wrong with it."""
        at, before = f"/materials/{index}", len(self.reasons)
        code = str(item.get("part", "")).strip()
        part = self.parts.get(code)
        if part is None:
            facts = {"part": code[:40], "parts": ", ".join(self.parts)}
            self.reasons.append(Reason("part_unknown", facts, f"{at}/part"))
            return None
        if code in self.seen:
            self.reasons.append(Reason("part_twice", {"part": _(part.name)}, f"{at}/part"))
        self.seen.add(code)
        why = str(item.get("why") or "").strip()
        found = self._steel(item, at)
        if found is None:
            return None
        heat, piece = found
        pointer = f"{at}/piece" if piece else f"{at}/heat"
        against = [
            *material_rules.reasons_of_recall(heat),
            *material_rules.reasons_against_steel(part, heat),
            *self._reasons_of_piece(piece, part),
        ]
        self.reasons += [reason.at(pointer) for reason in against]
        replaces = self._replaced(item, part, heat, piece, why, at)
        visit = self._visit(part, why, at)
        if visit is None or len(self.reasons) > before:
            return None
        return MaterialUse(
            housing=self.housing,
            part=code,
            heat=heat,
            piece=piece,
            visit=visit,
            replaces=replaces,
            why=why,
            record_position=self.run.position_in(self.housing),
            index=index,
            at=self.run.at,
            by_stamp=self.run.by.stamp,
        )

    def _steel(self, item: Mapping[str, Any], at: str) -> tuple[Heat, Piece | None] | None:
        number, code = item.get("heat"), item.get("piece")
        if bool(number) == bool(code):
            self.reasons.append(Reason("heat_or_piece", field=f"{at}/heat"))
            return None
        if number:
            return self.run.get(Heat, plain_code(str(number))), None
        piece = Piece.objects.select_related("heat").filter(code=plain_code(str(code))).first()
        if piece is None:
            facts = {"what": _("piece"), "name": str(code)[:40]}
            self.reasons.append(Reason("not_found", facts, f"{at}/piece"))
            return None
        return self.run.get(Heat, piece.heat.number), piece

    def _reasons_of_piece(self, piece: Piece | None, part: TracedPart) -> list[Reason]:
        if piece is None:
            return []
        facts = {"piece": piece.code, "serial": self.housing.serial}
        if piece.pk in self.taken:
            return [Reason("piece_used", {**facts, "part": self.taken[piece.pk]})]
        self.taken[piece.pk] = str(_(part.name))
        used = MaterialUse.objects.select_related("housing").filter(piece=piece, replaced_by=None).first()
        if used is None or (used.housing_id == self.housing.pk and used.part == part.code):
            return []
        return [Reason("piece_used", {**facts, "part": part_name(used.part), "serial": used.housing.serial})]

    def _replaced(
        self, item: Mapping[str, Any], part: TracedPart, heat: Heat, piece: Piece | None, why: str, at: str
    ) -> MaterialUse | None:
        known, wanted = self.known.get(part.code), item.get("replaces")
        if wanted and (known is None or str(known.pk) != str(wanted).lower()):
            self.reasons.append(Reason("changed_meanwhile", field=f"{at}/replaces"))
        elif known is not None:
            same = known.heat_id == heat.pk and known.piece_id == (piece.pk if piece else None)
            if not wanted or same:
                facts = {"part": _(part.name), "heat": known.heat.number}
                self.reasons.append(Reason("material_known", facts, f"{at}/part"))
            elif not why:
                self.reasons.append(Reason("reason_needed", field=f"{at}/why"))
        return known if wanted else None

    def _visit(self, part: TracedPart, why: str, at: str) -> Visit | None:
        """At which visit it is recorded: the present one, or the last that joined the part."""
        here = queries.visit_here(self.visits)
        if here is not None and here.station == part.station:
            return here
        planned = [v for v in self.visits if v.station == part.station and v.state != states.DROPPED]
        been = [visit for visit in planned if visit.state == states.LEFT]
        # A route without that station: the part is joined wherever the housing is.
        visit = been[-1] if been else (here if not planned else None)
        facts = {"part": _(part.name), "station": _(STATIONS[part.station].name)}
        if visit is None:
            self.reasons.append(Reason("material_too_early", facts, f"{at}/part"))
        elif not why:
            self.reasons.append(Reason("late_why", facts, f"{at}/why"))
        return visit
