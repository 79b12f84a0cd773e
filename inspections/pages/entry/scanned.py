"""A code of the equipment, scanned where a figure is typed, chooses that piece or says what is against it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.http import HttpRequest, QueryDict
from django.utils import timezone
from django.utils.translation import gettext as _

from inspections import gauge_rules
from inspections.bench import Bench
from inspections.forms.readings import ReadingForm
from inspections.measuring import Measuring
from inspections.metrology.equipment import kind_of
from inspections.models import Gauge

LONGEST_CODE = 20


@dataclass(frozen=True)
class Scanned:
    """The piece whose code was scanned, where it belongs, and what was sent without the code."""

    piece: Gauge
    field: str
    data: QueryDict

    def against(self, bench: Bench, measuring: Measuring) -> list[str]:
        """Why it cannot be used, as sentences."""
        today, rules = timezone.localdate(), bench.situation.in_use
        if self.field != "gauge":
            found = gauge_rules.reasons_against_equipment(self.piece, self.field, today, rules)
        else:
            found = gauge_rules.reasons_against(self.piece, measuring.first, today, [], rules)
        return [reason.sentence for reason in found]

    def chosen(self) -> QueryDict:
        """What was sent, with the piece chosen."""
        data = self.data.copy()
        data[self.field] = self.piece.code
        return data


def scanned_in(request: HttpRequest, form: ReadingForm, equipment: Sequence[Gauge]) -> Scanned | None:
    """The piece whose code stands where a figure is typed, if one does."""
    codes = {piece.code.casefold(): piece for piece in equipment}
    for name in (*form.raw_fields, "temperature", "air"):
        typed = request.POST.get(name, "").strip()
        piece = codes.get(typed.casefold()) if 0 < len(typed) <= LONGEST_CODE else None
        if piece and not typed.replace(".", "").replace(",", "").isdigit():
            data = request.POST.copy()
            data[name] = ""
            return Scanned(piece, _field_of(piece, form), data)
    return None


def _field_of(piece: Gauge, form: ReadingForm) -> str:
    role = str(kind_of(piece.kind).role)
    return role if role in form.fields else "gauge"


def warnings_of(bench: Bench, form: ReadingForm, equipment: Sequence[Gauge]) -> list[str]:
    """What rules that are not in use would say against the gauge that is chosen."""
    code = form["gauge"].value() if "gauge" in form.fields else None
    piece = next((gauge for gauge in equipment if gauge.code == code), None)
    if piece is None:
        return []
    first, today = form.measuring.first, timezone.localdate()
    return gauge_rules.warnings_of(piece, first, today, [], bench.situation.in_use)


def chosen_words(scanned: Scanned) -> str:
    """That the piece is chosen, as a sentence."""
    if scanned.field == "gauge":
        return _("Gauge %(gauge)s is chosen.") % {"gauge": scanned.piece.code}
    return _("%(piece)s is chosen.") % {"piece": scanned.piece}
