"""What is known of a heat, a lot of filler or a cylinder, checked before it is kept."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings.engineering.composition import CompositionProblem, tidy_composition
from housings.models import Heat, Piece
from housings.steel_words import CERTIFICATE_TYPES, FORMS, KINDS
from shopqc import files
from shopqc.refusals import Reason, register

LONGEST: Mapping[str, int] = {
    "grade": 40,
    "condition": 40,
    "size": 60,
    "supplier": 120,
    "quantity": 60,
    "note": 2000,
}
DESCRIPTION = ("kind", *LONGEST, "form", "composition", "certificate", "certificate_type")
LONGEST_NUMBER, LONGEST_CODE, LONGEST_WHAT = 40, 50, 80
# What stands in an address, in the code of a label and on the steel itself.
_CODE = re.compile(r"[A-Z0-9][A-Z0-9._+-]*")

register(
    422,
    {
        "heat_number_wrong": _(
            "A heat number has 1 to %(most)s letters, digits, points, hyphens, plus signs or underscores; "
            "write a hyphen for anything else."
        ),
        "heat_exists": _("There is a heat %(heat)s already."),
        "code_taken": _("%(code)s is on a label already: it names %(what)s."),
        "heat_kind_unknown": _("%(kind)s is not one of: %(kinds)s."),
        "heat_form_unknown": _("%(form)s is not one of: %(forms)s."),
        "certificate_type_unknown": _(
            "%(type)s is no type of inspection document by EN 10204. Types are: %(types)s."
        ),
        "composition_wrong": _("%(why)s"),
    },
)


def tidy(data: Mapping[str, Any]) -> dict[str, Any]:
    """The same with spaces at the ends of text taken off."""
    return {name: value.strip() if isinstance(value, str) else value for name, value in data.items()}


def reasons_against_code(code: str, field: str, most: int) -> list[Reason]:
    """Why a heat or a piece may not be called so: odd characters, or a label that has it already."""
    if not _CODE.fullmatch(code) or len(code) > most:
        return [Reason("heat_number_wrong", {"most": most}, field)]
    if Heat.objects.filter(number=code).exists():
        if field == "/number":
            return [Reason("heat_exists", {"heat": code}, field)]
        return [Reason("code_taken", {"code": code, "what": _("a heat")}, field)]
    if Piece.objects.filter(code=code).exists():
        return [Reason("code_taken", {"code": code, "what": _("a piece")}, field)]
    return []


def reasons_against_description(data: Mapping[str, Any]) -> Iterator[Reason]:
    """Everything that is wrong with what is said of a heat; ``data`` has each field of `DESCRIPTION`."""
    if data["kind"] not in KINDS:
        yield Reason("heat_kind_unknown", {"kind": data["kind"][:40], "kinds": ", ".join(KINDS)}, "/kind")
    if not data["grade"]:
        yield Reason("field_missing", field="/grade")
    for name, most in LONGEST.items():
        if len(data[name]) > most:
            yield Reason("too_long", {"most": most}, f"/{name}")
    if data["form"] and data["form"] not in FORMS:
        yield Reason("heat_form_unknown", {"form": data["form"][:40], "forms": ", ".join(FORMS)}, "/form")
    kind = data["certificate_type"]
    if kind and kind not in CERTIFICATE_TYPES:
        facts = {"type": kind[:40], "types": ", ".join(CERTIFICATE_TYPES)}
        yield Reason("certificate_type_unknown", facts, "/certificate_type")
    if data["certificate"] and not files.is_kept(data["certificate"]):
        yield Reason("document_not_filed", field="/certificate")
    yield from reasons_against_composition(data["composition"], data["kind"])


def reasons_against_composition(composition: Mapping[str, Any], kind: str) -> Iterator[Reason]:
    """What `tidy_composition` says against it, and that a gas has none."""
    if kind == Heat.GAS and composition:
        why = _("A gas is named by its classification; it has no composition here.")
        yield Reason("composition_wrong", {"why": why}, "/composition")
        return
    try:
        tidy_composition(composition)
    except CompositionProblem as problem:
        yield Reason("composition_wrong", {"why": str(problem)}, "/composition")


def described(data: Mapping[str, Any]) -> dict[str, Any]:
    """What is said of a heat, as it is kept; nothing is wrong with it."""
    return {**data, "composition": tidy_composition(data["composition"])}
