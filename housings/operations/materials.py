"""Steel, filler and gas: received, changed, cut into pieces, and put into the parts of a housing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings import heat_data, material_rules, rules
from housings.engineering.parts import parts_of
from housings.engineering.spec import spec_from
from housings.material_queries import passes_with, plain_code, uses_of
from housings.models import Heat, Housing, MaterialUse, Piece
from housings.operations.material_table import MaterialTable
from housings.operations.visits import the_housing
from housings.steel_words import KINDS
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
        "materials_number": _("Send 1 to %(most)s parts at once."),
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
    was joined before needs ``why``; so does steel that is not as asked, which is recorded only once a
    decision has accepted it. One that is on record already needs ``replaces`` besides, the id of the entry
    that it corrects. All of it is recorded or nothing.
    """
    row = run.get(Housing, housing)
    if reasons := rules.reasons_of_state(row):
        raise Refused(*reasons)
    if not 1 <= len(materials) <= MOST_MATERIALS:
        raise refuse("materials_number", "/materials", most=MOST_MATERIALS)
    table = MaterialTable(run, row)
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
