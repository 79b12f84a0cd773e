"""How it is measured: the gauge, how the part is held, what else takes part, how warm it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections import setup as setups
from inspections.forms.numbers import NumberField
from inspections.forms.readings.equipment import gauge_choices, pieces
from inspections.forms.readings.sheet import Sheet
from inspections.models import Gauge
from inspections.rules import GAUGE_NAMED, TEMPERATURE_RECORDED
from shopqc.refusals import Reason

V_ANGLES = ("60", "90", "108", "120")
# What the line says of how it is held and how warm the shop is; the part's own temperature is of the moment.
REMEMBERED = (
    "support",
    "v_angle",
    "section",
    "bar",
    "master",
    "thermometer",
    "air",
    "temperature_unit",
    "settled",
)


def fields_of(sheet: Sheet, equipment: Sequence[Gauge], in_use: frozenset[str]) -> dict[str, forms.Field]:
    """The fields that this sheet needs; ``equipment`` is all that is in service."""
    name = {"name": sheet.measuring.name}
    made: dict[str, forms.Field] = {
        "gauge": forms.ChoiceField(
            label=_("Gauge"),
            choices=[("", _("none chosen")), *gauge_choices(equipment, sheet.measuring)],
            required=GAUGE_NAMED in in_use,
            error_messages={
                "invalid_choice": gettext_lazy("There is no gauge %(value)s here."),
                "required": Reason("gauge_needed", name).sentence,
            },
        )
    }
    if sheet.supports:
        made |= _held(sheet)
    for wanted, needed, field, words in (
        (sheet.asks_bar, False, "bar", _("Alignment bar")),
        (sheet.asks_master, True, "master", _("Master")),
    ):
        if wanted:
            made[field] = forms.ChoiceField(
                label=words,
                help_text=_("Without it the bar's own sag is not taken out.") if field == "bar" else "",
                choices=[("", _("none chosen")), *pieces(equipment, field)],
                required=needed,
                error_messages={
                    "invalid_choice": gettext_lazy("There is no such piece %(value)s here."),
                    "required": _("Say with which one; without its figures nothing can be worked out."),
                },
            )
    return made | _warmth(equipment, in_use)


def _held(sheet: Sheet) -> dict[str, forms.Field]:
    made: dict[str, forms.Field] = {
        "support": forms.ChoiceField(
            label=_("Held in"),
            required=False,
            choices=[("", _("not said")), *((code, setups.SUPPORTS[code]) for code in sheet.supports)],
        )
    }
    if "v_blocks" in sheet.supports:
        made["v_angle"] = forms.ChoiceField(
            label=_("Angle of the V"),
            required=False,
            choices=[("", _("not said")), *((angle, f"{angle}°") for angle in V_ANGLES)],
        )
    if sheet.asks_section:
        made["section"] = forms.ChoiceField(
            label=_("Where it is read, the part"),
            required=False,
            choices=[("", _("not said")), *setups.SECTIONS.items()],
        )
    return made


def _warmth(equipment: Sequence[Gauge], in_use: frozenset[str]) -> dict[str, forms.Field]:
    made: dict[str, forms.Field] = {
        "temperature": NumberField(
            label=_("Temperature of the part"), required=False, max_length=20, signed=True
        ),
        "temperature_unit": forms.ChoiceField(
            label=_("Unit of the temperature"), choices=[("F", "°F"), ("C", "°C")], required=False
        ),
        "air": NumberField(label=_("Temperature of the air"), required=False, max_length=20, signed=True),
        "settled": forms.BooleanField(
            label=_("It has lain in the shop until it was as warm as the air"), required=False
        ),
    }
    if found := pieces(equipment, "thermometer"):
        made["thermometer"] = forms.ChoiceField(
            label=_("Thermometer"),
            required=False,
            choices=[("", _("not said")), *found],
            error_messages={"invalid_choice": gettext_lazy("There is no such piece %(value)s here.")},
        )
    return made


def wrong_with(data: Mapping[str, Any], sheet: Sheet, in_use: frozenset[str]) -> dict[str, str]:
    """What is missing of it, by field."""
    wrong: dict[str, str] = {}
    if (data.get("temperature") or data.get("air")) and not data.get("temperature_unit"):
        field = "temperature" if data.get("temperature") else "air"
        wrong[field] = _("Say whether this is °F or °C.")
    asked = TEMPERATURE_RECORDED in in_use and sheet.measuring.needs_gauge
    if asked and not data.get("temperature") and not data.get("settled"):
        wrong["temperature"] = Reason("temperature_needed", {"name": sheet.measuring.name}).sentence
    return wrong


def setup_of(data: Mapping[str, Any]) -> dict[str, Any]:
    """The set-up as `record_readings` takes it."""
    made = {
        name: data[name]
        for name in ("support", "v_angle", "section", "bar", "master", "thermometer")
        if data.get(name)
    }
    if made.get("support") != "v_blocks":
        made.pop("v_angle", None)
    if data.get("air"):
        made["air"] = {"value": data["air"], "unit": data["temperature_unit"]}
    if data.get("settled"):
        made["settled"] = True
    return made


def words_of(values: Mapping[str, Any], fields: Mapping[str, forms.Field]) -> str:
    """How it is measured, in a line, as far as that is chosen."""
    said: list[str] = []
    if values.get("gauge"):
        said.append(_chosen(fields, "gauge", values["gauge"]))
    support = values.get("support")
    if support in setups.SUPPORTS and "support" in fields:
        angle = values.get("v_angle") if support == "v_blocks" else ""
        said.append(f"{setups.SUPPORTS[support]}{f' {angle}°' if angle else ''}")
    said += [_chosen(fields, name, values[name]) for name in ("bar", "master") if values.get(name)]
    unit = values.get("temperature_unit") or "F"
    if values.get("temperature"):
        said.append(_("part at %(value)s °%(unit)s") % {"value": values["temperature"], "unit": unit})
    if values.get("settled"):
        said.append(_("settled to the air"))
    if values.get("air"):
        said.append(_("air %(value)s °%(unit)s") % {"value": values["air"], "unit": unit})
    return ", ".join(word for word in said if word)


def _chosen(fields: Mapping[str, forms.Field], name: str, value: str) -> str:
    for code, words in getattr(fields.get(name), "choices", ()):
        for option, label in words if isinstance(words, list) else [(code, words)]:
            if option == value:
                return str(label)
    return ""
