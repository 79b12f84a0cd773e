"""How a part was held and what else took part in a reading: what may be said, and what of it is wrong."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from django.conf import settings
from django.utils.translation import gettext_lazy as _

from inspections.metrology.equipment import KINDS
from inspections.models import Gauge
from shopqc.refusals import Reason, register

SUPPORTS = {
    "v_blocks": _("V-blocks"),
    "centers": _("centers"),
    "bearings": _("bearings"),
    "bar": _("alignment bar"),
    "table": _("surface table"),
}
SECTIONS = {
    "turning": _("turns about the axis itself"),
    "in_v_block": _("lies in the V-block under the indicator"),
    "rolled_elsewhere": _("is rolled in V-blocks elsewhere"),
}
SOURCES = {
    "typed": _("typed"),
    "pasted": _("pasted"),
    "file": _("from a file"),
    "gauge": _("sent by the gauge"),
}
# What of the equipment on file takes part, besides the gauge that was read.
EQUIPMENT = ("bar", "master", "thermometer")
SAID = frozenset({"support", "v_angle", "section", *EQUIPMENT, "air", "settled", "simulated", "source"})
LONGEST_NUMBER = 20
# Beyond these no thermometer in a shop was read: °F and °C.
TEMPERATURES = {"F": (Decimal(-40), Decimal(300)), "C": (Decimal(-40), Decimal(150))}

register(
    422,
    {
        "setup_unknown": _("A set-up says nothing of %(name)s."),
        "setup_wrong": _("%(value)s is not one of: %(choices)s."),
        "v_angle_wrong": _("The angle of a V-block is above 0 and up to 180 degrees."),
        "equipment_lacks": _("%(code)s has no %(what)s on file; enter it with the equipment first."),
        "temperature_wrong": _("%(value)s is no temperature of a part in a shop."),
        "yes_or_no": _("%(name)s is yes or no."),
        "simulated_refused": _("This shop takes no simulated readings; measure it."),
    },
)


def codes_of(setup: Mapping[str, Any] | None) -> list[tuple[str, str]]:
    """What of the equipment on file a set-up names: pairs of what it is for and its code."""
    return [(name, str(setup[name])) for name in EQUIPMENT if setup and setup.get(name)]


def reasons_against(
    setup: Mapping[str, Any] | None, equipment: Mapping[str, Gauge], at: str
) -> Iterator[Reason]:
    """What is wrong with a set-up; ``equipment`` is what it names, by what it is for; ``at`` its pointer."""
    if not setup:
        return
    for name in setup:
        if name not in SAID:
            yield Reason("setup_unknown", {"name": str(name)[:40]}, at)
    for name, choices in (("support", SUPPORTS), ("section", SECTIONS), ("source", SOURCES)):
        if name in setup and setup[name] not in choices:
            facts = {"value": str(setup[name])[:40], "choices": ", ".join(choices)}
            yield Reason("setup_wrong", facts, f"{at}/{name}")
    for name in ("settled", "simulated"):
        if name in setup and not isinstance(setup[name], bool):
            yield Reason("yes_or_no", {"name": name}, f"{at}/{name}")
    if setup.get("simulated") is True and not settings.SIMULATED_GAUGE:
        yield Reason("simulated_refused", field=f"{at}/simulated")
    if "v_angle" in setup:
        angle = number(setup["v_angle"])
        if angle is None or not 0 < angle <= 180:
            yield Reason("v_angle_wrong", field=f"{at}/v_angle")
    if "air" in setup:
        yield from reasons_against_temperature(setup["air"], f"{at}/air")
    for name, piece in equipment.items():
        for needed in KINDS[name].needs:
            if number(piece.constants.get(needed)) is None:
                yield Reason("equipment_lacks", {"code": piece.code, "what": needed}, f"{at}/{name}")


def reasons_against_temperature(temperature: Any, at: str) -> Iterator[Reason]:
    """What is wrong with ``{"value", "unit"}``."""
    said = temperature if isinstance(temperature, Mapping) else {"value": temperature}
    value = number(said.get("value"))
    lowest, highest = TEMPERATURES.get(str(said.get("unit")), TEMPERATURES["C"])
    if value is None or said.get("unit") not in TEMPERATURES or not lowest <= value <= highest:
        yield Reason("temperature_wrong", {"value": str(said.get("value"))[:40]}, at)


def as_kept(setup: Mapping[str, Any]) -> dict[str, Any]:
    """A set-up as it is stored: what was said, numbers as the text they were typed as."""
    kept: dict[str, Any] = {}
    for name, value in setup.items():
        if isinstance(value, Mapping):
            kept[name] = as_kept(value)
        else:
            kept[name] = value if isinstance(value, bool | str) else str(value)
    return kept


def number(value: Any) -> Decimal | None:
    """Decimal text as a number; ``None`` if it is not one that a gauge could show."""
    text = str(value)
    if len(text) > LONGEST_NUMBER:
        return None
    try:
        found = Decimal(text)
    except InvalidOperation:
        return None
    return found if found.is_finite() else None
