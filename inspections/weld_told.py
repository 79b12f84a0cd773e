"""What the record of the welds says of something a plan asks to see: shown beside the question.

A plan asks for roots, ribs and rosettes whether or not the shop records its welds; where it does, whoever
is asked should see what is on record already, and by whom. It answers nothing: a plan's question is still
answered by who sees it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from housings import gate
from housings.weld_queries import JointState
from inspections.models import WeldLook, WeldTest
from inspections.weld_queries import COVERED, FINAL, ROOT, WeldRecord
from inspections.weld_rules import moment_words
from inspections.weld_words import happening_words

ROOTS, FINISHED, TESTED = "roots", "finished", "tested"
SIDES = ("left", "right")
# By the code of a characteristic in the default plan: the joints it is about, and what of their record.
ASKED: dict[str, tuple[tuple[str, ...], str]] = {
    "ribs": (("ribs",), FINISHED),
    "seam_roots": (("center_seams",), ROOTS),
    **{f"snout_root_{side}": ((f"snout_{side}",), ROOTS) for side in SIDES},
    **{f"rosettes_{side}": ((f"rosettes_{side}",), FINISHED) for side in SIDES},
    **{f"snout_weld_test_{side}": ((f"snout_{side}",), TESTED) for side in SIDES},
    "armor_welds": (("armor_back", "armor_bottom"), FINISHED),
}
_OF: dict[str, Callable[[WeldLook | WeldTest], bool]] = {
    ROOTS: lambda one: isinstance(one, WeldLook) and one.stage in {ROOT, COVERED},
    FINISHED: lambda one: isinstance(one, WeldLook) and one.stage == FINAL,
    TESTED: lambda one: isinstance(one, WeldTest),
}


@dataclass(frozen=True)
class Told:
    """What is on record of one joint, as sentences."""

    joint: str
    code: str
    sentences: tuple[str, ...]


def told_of(situation: gate.Situation, characteristics: Iterable[str]) -> list[Told]:
    """What the record of the welds says of characteristics, by code; joints without any are left out."""
    asked = [ASKED[code] for code in characteristics if code in ASKED]
    if not asked:
        return []
    record = situation.kept(WeldRecord)
    found = [
        Told(str(_(state.joint.name)), code, tuple(_sentences(record, state, what)))
        for codes, what in asked
        for code in codes
        if (state := record.state_of(code)) is not None
    ]
    return [one for one in found if one.sentences]


def _sentences(record: WeldRecord, state: JointState, what: str) -> list[str]:
    said = []
    if not state.joint.is_multipass and state.done:
        facts = {"done": state.done, "count": state.joint.count, "by": _stamps(state)}
        said.append(_("%(done)d of %(count)d welds are on record, stamp %(by)s.") % facts)
    judged: list[WeldLook | WeldTest] = [*record.looks_of(state.joint), *record.tests_of(state.joint)]
    mine = [one for one in judged if _OF[what](one)]
    if mine:
        newest = happening_words(max(mine, key=lambda one: one.record_position))
        facts = {"what": newest.title, "word": newest.word, "by": newest.by, "at": moment_words(newest.at)}
        said.append(_("%(what)s: %(word)s, stamp %(by)s, %(at)s.") % facts)
    return said


def _stamps(state: JointState) -> str:
    return ", ".join(dict.fromkeys(one.welder.stamp for one in state.passes))
