"""Looks, tests and repairs of welds as pages say them."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.models import Nonconformance, WeldLook, WeldRepair, WeldTest

STAGE_WORDS = {
    "root": gettext_lazy("Root, before it is covered"),
    "covered": gettext_lazy("What will be covered"),
    "final": gettext_lazy("Finished weld"),
    "cavity": gettext_lazy("Cavity, before it is welded again"),
}


@dataclass(frozen=True)
class Happened:
    """One line of a joint's history. ``state``: pass, fail or open, as `shopqc/state.html` has them."""

    title: str
    state: str
    word: str
    details: tuple[str, ...]
    at: datetime.datetime
    by: str
    nonconformance: Nonconformance | None = None


def happening_words(one: WeldLook | WeldTest | WeldRepair) -> Happened:
    """A look, a test or a repair in words."""
    match one:
        case WeldLook():
            return _look(one)
        case WeldTest():
            return _test(one)
        case WeldRepair():
            return _repair(one)


def _look(look: WeldLook) -> Happened:
    details = [_("after pass %(number)d") % {"number": look.after_pass}] if look.after_pass else []
    details += findings_words(look.findings)
    return Happened(
        str(STAGE_WORDS.get(look.stage, look.stage)),
        "pass" if look.accepted else "fail",
        _("accepted") if look.accepted else _("refused"),
        (*details, *([look.note] if look.note else [])),
        look.done_at,
        look.by_stamp,
        look.nonconformance,
    )


def _test(test: WeldTest) -> Happened:
    details = [_("by %(tester)s, level %(level)s") % {"tester": test.tester, "level": test.tester_level}]
    if test.waited_hours:
        details.append(_("%(hours)s h after it was cold") % {"hours": test.waited_hours})
    details += findings_words(test.findings)
    return Happened(
        _("Test %(method)s") % {"method": test.method},
        "pass" if test.accepted else "fail",
        _("accepted") if test.accepted else _("refused"),
        (*details, *([test.note] if test.note else [])),
        test.done_at,
        test.by_stamp,
        test.nonconformance,
    )


def _repair(repair: WeldRepair) -> Happened:
    details = [str(repair.procedure)] if repair.procedure else []
    return Happened(
        _("Repair %(number)d") % {"number": repair.number},
        "open",
        _("begun"),
        tuple(details + how_words(repair.how)),
        repair.at,
        repair.by_stamp,
        repair.nonconformance,
    )


def findings_words(findings: Sequence[Mapping[str, Any]]) -> list[str]:
    """Each imperfection in words, or that nothing was found."""
    if not findings:
        return [_("nothing found")]
    return [finding_words(finding) for finding in findings]


def finding_words(finding: Mapping[str, Any]) -> str:
    """One imperfection: its number and name, its size, where it is."""
    parts = [f"{finding['number']} {finding.get('name', '')}".strip()]
    if finding.get("size"):
        parts.append(f"{finding['size']} {finding.get('unit', '')}".strip())
    if finding.get("limit"):
        parts.append(_("may be up to %(limit)s") % {"limit": finding["limit"]})
    if finding.get("where"):
        parts.append(str(finding["where"]))
    return ", ".join(parts)


def how_words(how: Mapping[str, Any]) -> list[str]:
    """How something was done, as it was typed."""
    return [f"{name.replace('_', ' ')} {value}" for name, value in how.items() if value]
