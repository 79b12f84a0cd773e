"""What is sent of the parts of one housing, read row by row and checked against what may be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings import material_rules, queries, rules, states
from housings.engineering.parts import TracedPart, parts_of
from housings.engineering.spec import spec_from
from housings.engineering.stations import STATIONS
from housings.material_queries import materials_of, plain_code
from housings.models import Heat, Housing, MaterialUse, Piece, Visit
from housings.steel_words import part_name
from shopqc.operation import Run
from shopqc.refusals import Reason, register

register(
    422,
    {
        "part_unknown": _("%(part)s is no part of this housing. Parts are: %(parts)s."),
        "part_twice": _("%(part)s stands here twice."),
        "heat_or_piece": _("Say which heat or which piece it is, one of them."),
        "late_why": _("%(part)s was joined at %(station)s before; say why its steel is recorded only now."),
    },
)


@dataclass
class MaterialTable:
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
            *self._reasons_of_steel(part, heat, why),
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

    def _reasons_of_steel(self, part: TracedPart, heat: Heat, why: str) -> list[Reason]:
        """Wrong steel that was decided to be used as it is goes on record with a reason."""
        against = material_rules.reasons_against_steel(part, heat)
        if against and why and material_rules.is_accepted(self.housing, heat):
            return []
        return against

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
