"""What may be put on file about a gauge: kind, range, uncertainty, the figures of its geometry."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext_lazy as _

from inspections.metrology.equipment import KINDS
from inspections.setup import LONGEST_NUMBER, number
from shopqc.refusals import Reason, register

# Columns that are text, and how much they hold.
LENGTHS = {"code": 20, "name": 80, "unit": 10, "place": 80}
NUMBERS = ("uncertainty", "lowest", "highest")
DESCRIPTION = frozenset({"name", "kind", "unit", *NUMBERS, "constants", "place", "calibration_due"})
# Of a bar two stations each; of anything else one figure above zero.
PAIRS = frozenset({"supports", "ends"})
CONSTANTS = frozenset({name for kind in KINDS.values() for name in kind.constants} | {"unit"})
_FIGURE = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)", re.ASCII)
# A code is scanned, typed and part of an address.
_CODE = re.compile(
    r"[^\s/?#%\\\x00-\x1f\x7f-\x9f]([^/?#%\\\x00-\x1f\x7f-\x9f]*[^\s/?#%\\\x00-\x1f\x7f-\x9f])?"
)

register(
    422,
    {
        "gauge_code_wrong": _("A code has 1 to %(most)s characters; / ? # %% and \\ are not among them."),
        "kind_unknown": _("%(kind)s is no kind of equipment. Kinds are: %(kinds)s."),
        "uncertainty_wrong": _("The uncertainty is a number, zero or more, in the gauge's unit."),
        "figure_wrong": _("This is a number of at most %(most)s characters, such as 0.0005."),
        "range_wrong": _("The lowest it reads is below the highest."),
        "constant_unknown": _("Nothing is kept of %(name)s. Figures are: %(names)s."),
        "constant_wrong": _("%(name)s: %(why)s"),
    },
)


def figure(text: Any) -> Decimal | None:
    """Plain decimal text as a number; ``None`` for anything else, an exponent included.

    >>> figure("0.0005"), figure("1E+9"), figure(True)
    (Decimal('0.0005'), None, None)
    """
    given = isinstance(text, str | int | Decimal) and not isinstance(text, bool)
    return number(text) if given and _FIGURE.fullmatch(str(text)) else None


def reasons_against_code(code: str) -> Iterator[Reason]:
    """Why a code cannot be scanned, typed or stand in an address."""
    if not code:
        yield Reason("field_missing", field="/code")
    elif len(code) > LENGTHS["code"] or not _CODE.fullmatch(code):
        yield Reason("gauge_code_wrong", {"most": LENGTHS["code"]}, "/code")


def reasons_against_description(data: Mapping[str, Any]) -> Iterator[Reason]:
    """What is wrong with a gauge as it is described; ``data`` has every field of `DESCRIPTION`."""
    if not data["name"]:
        yield Reason("field_missing", field="/name")
    for name in ("name", "unit", "place"):
        if len(data[name]) > LENGTHS[name]:
            yield Reason("too_long", {"most": LENGTHS[name]}, f"/{name}")
    if data["kind"] not in KINDS:
        yield Reason("kind_unknown", {"kind": data["kind"][:40], "kinds": ", ".join(KINDS)}, "/kind")
    yield from reasons_against_uncertainty(data["uncertainty"])
    bounds = {name: figure(data[name]) for name in ("lowest", "highest") if data[name] != ""}
    for name, bound in bounds.items():
        if bound is None:
            yield Reason("figure_wrong", {"most": LONGEST_NUMBER}, f"/{name}")
    found = [bound for bound in bounds.values() if bound is not None]
    if len(found) == 2 and not found[0] < found[1]:
        yield Reason("range_wrong", field="/highest")
    yield from reasons_against_constants(data["constants"])


def reasons_against_uncertainty(uncertainty: str) -> Iterator[Reason]:
    """Expanded, k = 2: zero or more."""
    found = figure(uncertainty)
    if found is None or found < 0:
        yield Reason("uncertainty_wrong", field="/uncertainty")


def reasons_against_constants(constants: Mapping[str, Any]) -> Iterator[Reason]:
    """Figures of a bar, a master or a V-block: text by name; of a bar's supports and ends two each."""
    for name, value in constants.items():
        where = f"/constants/{str(name)[:40]}"
        if name not in CONSTANTS:
            facts = {"name": str(name)[:40], "names": ", ".join(sorted(CONSTANTS))}
            yield Reason("constant_unknown", facts, "/constants")
        elif why := _wrong_constant(name, value):
            yield Reason("constant_wrong", {"name": name, "why": why}, where)


def _wrong_constant(name: str, value: Any) -> Any:
    if name == "unit":
        return None if value in {"in", "mm"} else _("in or mm.")
    if name in PAIRS:
        pair = [figure(one) for one in value] if isinstance(value, list | tuple) else []
        good = len(pair) == 2 and None not in pair and Decimal(pair[0] or 0) < Decimal(pair[1] or 0)
        return None if good else _("two numbers, left and right, such as -27 and 27.")
    found = figure(value)
    if found is None:
        return _("a number, such as 1.5.")
    if name == "v_angle":
        return None if 0 < found <= 180 else _("an angle above 0 and up to 180 degrees.")
    least = 0 if name in {"bore", "straightness"} else None
    if found < 0 or (least is None and found == 0):
        return _("a number above zero.") if least is None else _("a number, zero or more.")
    return None


def tidy_constants(constants: Mapping[str, Any]) -> dict[str, Any]:
    """The same with every number as text, without what is empty."""
    return {
        name: [str(one) for one in value] if isinstance(value, list | tuple) else str(value)
        for name, value in constants.items()
        if value not in ("", None, [])
    }
