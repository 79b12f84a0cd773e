"""How a housing was welded, and of what, in few words: for its certificate, its pages and the API.

Plain data, so that a sign-off can freeze it. People appear by stamp alone.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, TypeVar

from django.db.models import Model, QuerySet
from django.utils.translation import gettext as _

from housings.engineering.parts import parts_of
from housings.engineering.spec import spec_from
from housings.gate import Situation
from housings.models import (
    FitUp,
    Heat,
    Housing,
    Joint,
    JointTemperature,
    MaterialUse,
    ProcedureRevision,
    WeldPass,
)
from inspections import weld_summary_words as words
from inspections.models import WeldLook, WeldRepair, WeldTest
from inspections.weld_queries import WeldRecord
from shopqc.models import Person
from shopqc.rules import RULES

Row = dict[str, Any]
NAMED_BY = frozenset({"code", "name", "station"})
M = TypeVar("M", bound=Model)
WELDS_RECORDED, STEEL_TRACED = "welds_recorded", "steel_traced"


def weld_summary(situation: Situation) -> Row:
    """The welds and the steel of a housing: nine queries, however much was recorded.

    Returns
    -------
    dict
        ``welds``: ``joints`` with what is on record of each, in the order of the stations; ``without``: names
        of joints without a weld pass; ``procedures`` that were welded by; ``missing``: sentences.
        ``materials``: ``parts`` of steel, those of one heat together; ``without``: names of parts without a
        heat; ``consumables``: filler and gas; ``missing``: sentences.
        ``missing`` says what there is no record of, because the rule is not in use or was not yet.
    """
    record = _Record(situation)
    joints = [_joint(joint, record) for joint in record.joints if record.of(joint)]
    bare = [str(_(joint.name)) for joint in record.joints if not record.passes[joint.pk]]
    parts, untraced = _parts(situation.housing)
    asked = situation.in_use
    return {
        "welds": {
            "joints": joints,
            "without": bare if joints else [],
            "procedures": [words.procedure(revision) for revision in record.procedures],
            "missing": _missing(joints, WELDS_RECORDED, asked, words.no_passes(bare) if bare else ""),
        },
        "materials": {
            "parts": parts,
            "without": untraced if parts else [],
            "consumables": [words.consumable(heat) for heat in record.consumables],
            "missing": _missing(parts, STEEL_TRACED, asked, words.no_heats(untraced) if untraced else ""),
        },
    }


def in_rows(welds: Mapping[str, Any]) -> dict[str, Any]:
    """``welds`` with ``rows``: joints of which the same is said share one, under ``names``."""
    rows: dict[str, Row] = {}
    for joint in welds["joints"]:
        same = {name: value for name, value in joint.items() if name not in NAMED_BY}
        rows.setdefault(repr(sorted(same.items())), {**same, "names": []})["names"].append(joint["name"])
    return {**welds, "rows": list(rows.values())}


def _missing(rows: Sequence[Row], rule: str, in_use: Iterable[str], partly: str) -> list[str]:
    """What there is no record of, and the rule that would have asked for it."""
    if rows and not partly:
        return []
    off = rule in RULES and rule not in in_use
    said = [str(RULES[rule].when_off)] if off else []
    if rows:
        return [*said, partly]
    return said or [words.nothing_of(rule)]


class _Record:
    """What is on record of a housing's joints, each kind read once."""

    def __init__(self, situation: Situation) -> None:
        def mine(rows: QuerySet[Any], *order: str) -> Mapping[int, list[Any]]:
            return _by_joint(rows.filter(housing=situation.housing).order_by(*order))

        self.joints = list(Joint.objects.filter(housing=situation.housing).order_by("number"))
        passes = WeldPass.objects.filter(taken_back=None)
        related = ("procedure", "filler", "gas", "welder", "released_by")
        self.passes: Mapping[int, list[WeldPass]] = mine(passes.select_related(*related), "number")
        self.temperatures: Mapping[int, list[JointTemperature]] = mine(
            JointTemperature.objects.all(), "record_position", "index"
        )
        self.fit_ups: Mapping[int, list[FitUp]] = mine(FitUp.objects.all(), "record_position")
        # What the gate has read already, as before a signature, is not read again.
        accepted = situation.kept(WeldRecord)
        self.looks: Mapping[int, list[WeldLook]] = _by_joint(accepted.looks)
        self.tests: Mapping[int, list[WeldTest]] = _by_joint(accepted.tests)
        self.repairs: Mapping[int, list[WeldRepair]] = _by_joint(accepted.repairs)
        testers = {test.tester for tests in self.tests.values() for test in tests}
        self.stamps = set(
            Person.objects.filter(stamp__in=testers).values_list("stamp", flat=True) if testers else ()
        )

    def of(self, joint: Joint) -> bool:
        """Whether anything at all is on record of a joint."""
        key = joint.pk
        return bool(
            self.passes[key] or self.fit_ups[key] or self.looks[key] or self.tests[key] or self.repairs[key]
        )

    @property
    def procedures(self) -> list[ProcedureRevision]:
        """Every procedure that was welded by, by name."""
        every = [one.procedure for passes in self.passes.values() for one in passes if one.procedure]
        return sorted(_once(every), key=lambda revision: (revision.name, revision.number))

    @property
    def consumables(self) -> list[Heat]:
        """Every lot of filler and cylinder of gas that was welded with, filler first, by number."""
        every = [one.filler for passes in self.passes.values() for one in passes if one.filler]
        every += [one.gas for passes in self.passes.values() for one in passes if one.gas]
        return sorted(_once(every), key=lambda heat: (heat.kind != Heat.FILLER, heat.number))


def _by_joint(rows: Iterable[Any]) -> Mapping[int, list[Any]]:
    found: dict[int, list[Any]] = defaultdict(list)
    for row in rows:
        found[row.joint_id].append(row)
    return found


def _once(rows: Iterable[M]) -> list[M]:
    return list({row.pk: row for row in rows}.values())


def _joint(joint: Joint, record: _Record) -> Row:
    """One joint as it is frozen."""
    passes = record.passes[joint.pk]
    fit_ups = record.fit_ups[joint.pk]
    heats = _once(heat for one in passes for heat in (one.filler, one.gas) if heat)
    return {
        "code": joint.code,
        "name": str(_(joint.name)),
        "station": joint.station,
        "steels": words.steels(joint),
        "passes": sum(not one.repair for one in passes),
        "count": None if joint.is_multipass else joint.count,
        "passes_shown": words.passes(joint, passes),
        "welders": list(dict.fromkeys(one.welder.stamp for one in passes)),
        "procedures": [str(one) for one in _once(one.procedure for one in passes if one.procedure)],
        "without_procedure": bool(passes) and any(one.procedure is None for one in passes),
        "consumables": [heat.number for heat in heats],
        "heat_input": words.heat_input(passes),
        "preheat": words.warmest(_before(passes[:1], record.temperatures[joint.pk])),
        "interpass": words.warmest(_before(passes[1:], record.temperatures[joint.pk]))
        if joint.is_multipass
        else "",
        "simulated": any(entry.simulated for entry in record.temperatures[joint.pk]),
        "outside": sorted({one.nonconformance for one in passes if one.nonconformance}),
        "fit_up": words.fit_up(fit_ups[-1]) if fit_ups else "",
        "looks": words.looks(record.looks[joint.pk]),
        "tests": [words.test(test, test.tester in record.stamps) for test in record.tests[joint.pk]],
        "repairs": [words.repair(repair) for repair in record.repairs[joint.pk]],
    }


def _before(
    passes: Sequence[WeldPass], temperatures: Sequence[JointTemperature]
) -> list[list[JointTemperature]]:
    """What was read before each of these arcs and let it start: two crayons came in one line."""
    lines: dict[int, list[JointTemperature]] = defaultdict(list)
    for temperature in temperatures:
        lines[temperature.record_position].append(temperature)
    return [lines[one.released_by.record_position] for one in passes if one.released_by]


def _parts(housing: Housing) -> tuple[list[Row], list[str]]:
    """The parts of steel, those of one heat together, and the names of the parts without one."""
    traced = {part.code: str(_(part.name)) for part in parts_of(spec_from(housing.spec.data))}
    uses = {
        use.part: use
        for use in MaterialUse.objects.filter(housing=housing, replaced_by=None)
        .select_related("heat", "piece")
        .order_by("record_position", "index")
    }
    by_heat: dict[int, list[MaterialUse]] = defaultdict(list)
    for code in dict.fromkeys([*traced, *uses]):
        if code in uses:
            by_heat[uses[code].heat_id].append(uses[code])
    rows = [
        {
            **words.steel(same[0].heat),
            "parts": [traced.get(use.part, use.part) for use in same],
            "pieces": [use.piece.code for use in same if use.piece],
        }
        for same in by_heat.values()
    ]
    return rows, [name for code, name in traced.items() if code not in uses]
