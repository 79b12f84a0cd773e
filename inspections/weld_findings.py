"""What somebody found on a weld: read as typed, each judged by the level that was asked for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings.models import Joint
from inspections.metrology.numbers import exact
from inspections.metrology.weld_imperfections import (
    IMPERFECTIONS,
    MM,
    NEVER,
    Judged,
    defect_of,
    judge,
    measures_of,
)
from shopqc.refusals import Reason, register

MOST_FINDINGS, LONGEST_WHERE, LARGEST_MM = 20, 80, 2000
MEASURES = ("size", "length", "width", "throat")
FIELDS = frozenset({"number", "unit", "where", *MEASURES})
MEASURE_WORDS = {
    "size": _("its size"),
    "length": _("how much of the weld it takes"),
    "width": _("the width of the weld"),
    "throat": _("the throat of the weld"),
}

register(
    422,
    {
        "imperfection_unknown": _(
            "%(number)s is no number of an imperfection by ISO 6520-1 that is on file."
        ),
        "finding_size_wrong": _("%(what)s is a number in in or mm, zero or more, such as 0.8."),
        "findings_number": _("Name at most %(most)s imperfections at once."),
        "finding_needed": _("Say what is wrong: name an imperfection, or say it in words."),
    },
)
register(
    409,
    {
        "finding_never": _("%(number)s %(name)s is never accepted; refuse the weld."),
        "finding_beyond": _(
            "%(number)s %(name)s of %(size)s is beyond what level %(level)s allows (%(limit)s); "
            "refuse the weld."
        ),
        "finding_needs": _(
            "Whether %(number)s %(name)s may stay at level %(level)s depends on %(what)s; say it."
        ),
    },
)


@dataclass
class Findings:
    """Imperfections as they are kept, and what is against them.

    ``kept``: each with ``number``, ``name``, the measures and ``unit`` as typed, ``where``, ``limit`` in
    words and ``verdict`` (`metrology.weld_imperfections.Judged`). ``reasons``: what cannot be read.
    ``against``: why a weld with these cannot be accepted.
    """

    kept: list[dict[str, Any]] = field(default_factory=list)
    reasons: list[Reason] = field(default_factory=list)
    against: list[Reason] = field(default_factory=list)

    @property
    def numbers(self) -> frozenset[str]:
        return frozenset(one["number"] for one in self.kept)

    @property
    def defect(self) -> str:
        return defect_of(self.numbers)

    @property
    def is_major(self) -> bool:
        """Whether one of them may never stay: then nobody but the engineer lets the weld stay as it is."""
        return bool(self.numbers & NEVER)


def read_findings(given: Sequence[Mapping[str, Any]], joint: Joint, level: str) -> Findings:
    """Read imperfections of a joint and judge each by a quality level of ISO 5817 ("" = none)."""
    found = Findings()
    if len(given) > MOST_FINDINGS:
        found.reasons.append(Reason("findings_number", {"most": MOST_FINDINGS}, "/findings"))
        return found
    for index, entry in enumerate(given):
        _read_one(found, entry, f"/findings/{index}", joint, level)
    return found


def _read_one(found: Findings, entry: Mapping[str, Any], at: str, joint: Joint, level: str) -> None:
    before = len(found.reasons)
    found.reasons += [
        Reason("field_unknown", field=f"{at}/{name[:40]}") for name in entry if name not in FIELDS
    ]
    number = str(entry.get("number", "")).strip()
    if number not in IMPERFECTIONS:
        found.reasons.append(Reason("imperfection_unknown", {"number": number[:20] or "—"}, f"{at}/number"))
    unit = entry.get("unit") or "mm"
    if unit not in {"mm", "in"}:
        found.reasons.append(
            Reason("choice_unknown", {"value": str(unit)[:20], "choices": "mm, in"}, f"{at}/unit")
        )
        return
    where = entry.get("where") or ""
    if not isinstance(where, str) or len(where) > LONGEST_WHERE:
        found.reasons.append(Reason("too_long", {"most": LONGEST_WHERE}, f"{at}/where"))
    typed: dict[str, str] = {}
    in_mm: dict[str, Fraction] = {}
    for name in MEASURES:
        text = str(entry.get(name) or "").strip().replace(",", ".")
        if not text:
            continue
        size = _size(text, unit)
        if size is None:
            reason = Reason("finding_size_wrong", {"what": MEASURE_WORDS[name]}, f"{at}/{name}")
            found.reasons.append(reason)
        else:
            typed[name], in_mm[name] = text, size
    if len(found.reasons) > before:
        return
    kept = {
        "number": number,
        "name": IMPERFECTIONS[number].name,
        **typed,
        "unit": unit,
        "where": where.strip(),
    }
    _judge(found, kept, in_mm, joint, level, at)


def _size(text: str, unit: str) -> Fraction | None:
    """A typed size in mm; ``None`` if it is none."""
    try:
        size = exact(text, "size") * (MM if unit == "in" else 1)
    except ValueError:
        return None
    return size if 0 <= size <= LARGEST_MM else None


def _judge(
    found: Findings, kept: dict[str, Any], in_mm: Mapping[str, Fraction], joint: Joint, level: str, at: str
) -> None:
    thickness = thickness_mm(joint)
    number = kept["number"]
    judged = judge(
        number,
        level,  # type: ignore[arg-type]  # a procedure was published with one of them
        thickness,
        in_mm.get("size"),
        throat=in_mm.get("throat"),
        is_butt=joint.is_multipass,
        width=in_mm.get("width"),
        length=in_mm.get("length"),
    )
    kept["verdict"] = judged.verdict
    kept["limit"] = limit_words(judged, kept["unit"])
    found.kept.append(kept)
    facts = {"number": number, "name": kept["name"], "level": level}
    if judged.verdict == "never":
        found.against.append(Reason("finding_never", facts, f"{at}/number"))
        return
    asked = measures_of(number, level, thickness, is_butt=joint.is_multipass)
    missing = next((name for name in asked if name not in in_mm), None)
    if missing:
        what = {"what": MEASURE_WORDS[missing]}
        found.against.append(Reason("finding_needs", {**facts, **what}, f"{at}/{missing}"))
    elif judged.verdict == "beyond":
        size = f"{kept.get('size', '')} {kept['unit']}".strip() if kept.get("size") else _("any size")
        more = {"size": size, "limit": kept["limit"] or _("none")}
        found.against.append(Reason("finding_beyond", {**facts, **more}, f"{at}/size"))


def thickness_mm(joint: Joint) -> Fraction | None:
    """Of the thinner part, where the build spec says it."""
    return Fraction(joint.thickness) * MM if joint.thickness else None


def limit_words(judged: Judged, unit: str) -> str:
    """A limit in the unit in which somebody measured, never rounded up; empty if there is none."""
    if judged.limit_mm is None:
        return ""
    if judged.limit_mm == 0:
        return str(_("none at all"))
    exactly = judged.limit_mm / (MM if unit == "in" else 1)
    places = 4 if unit == "in" else 3
    shown = Decimal(int(exactly * 10**places)).scaleb(-places).normalize()
    words = f"{shown:f} {unit}"
    return str(_("%(limit)s, from memory")) % {"limit": words} if judged.from_memory else words
