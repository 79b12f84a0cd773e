"""The sheet on which a procedure is written: it keeps what was typed, and says beside it what is wrong."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from housings.engineering.procedure_figures import POSITIONS, Problem
from housings.engineering.procedure_reading import FIT_UP, HEAT_INPUT_UNITS, LEVELS, PLACES
from housings.engineering.procedures import PROCESSES, TRAVEL_MM_S
from housings.procedure_words import KINDS
from shopqc.forms import KeyedForm
from shopqc.uploads import DocumentField, KeepsDocuments

LONGEST = 300
PROCESS_CHOICES = [(code, format_lazy("{} ({})", _(words), code)) for code, words in PROCESSES.items()]
FIT_UP_ = "fit_up_"


def _words(label: Any, help_text: Any = "", longest: int = LONGEST) -> forms.CharField:
    return forms.CharField(label=label, help_text=help_text, required=False, max_length=longest)


def _number(label: Any, help_text: Any = "") -> forms.CharField:
    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "input-number"})
    return forms.CharField(label=label, help_text=help_text, required=False, max_length=30, widget=widget)


def _one(label: Any, choices: list[tuple[str, Any]]) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, required=False, choices=[("", "—"), *choices])


def _many(label: Any, choices: list[tuple[str, Any]]) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        label=label, required=False, choices=choices, widget=forms.CheckboxSelectMultiple
    )


# Ranges by the name of their field: label, units to choose from.
RANGES: dict[str, tuple[Any, tuple[str, ...]]] = {
    "thickness": (_("Wall, in"), ()),
    "diameter": (_("Outside diameter, in"), ()),
    **{f"{FIT_UP_}{name}": (_(words.capitalize()), ()) for name, words in FIT_UP.items()},
    "volts": (_("Volts"), ()),
    "amps": (_("Amps"), ()),
    "travel": (_("Travel"), tuple(TRAVEL_MM_S)),
    "heat_input": (_("Heat input"), HEAT_INPUT_UNITS),
    "passes": (_("Passes"), ()),
}
LISTS = ("grades_a", "grades_b", "fillers", "looks_after")
CHOSEN = ("kinds", "positions")
YES = ("for_repair", "backing")
PLAIN = (
    *("title", "qualified_by", "process", "filler_group", "gas", "purge", "hydrogen_ml", "heat_basis"),
    *("efficiency", "temperature_unit", "preheat_least", "interpass_greatest", "measured_at", "cold_below"),
    *("waiting_hours", "slow_cooling", "level"),
)
HEADINGS: tuple[tuple[Any, tuple[str, ...]], ...] = (
    (
        _("What it is for"),
        (
            *("title", "qualified_by", "document", "process", "kinds", "for_repair", "grades_a", "grades_b"),
            *("thickness", "diameter", "positions"),
        ),
    ),
    (_("Fit-up"), (*(f"{FIT_UP_}{name}" for name in FIT_UP), "backing")),
    (_("Filler and gas"), ("fillers", "filler_group", "gas", "purge", "hydrogen_ml")),
    (_("The arc"), ("volts", "amps", "travel", "heat_input", "heat_basis", "efficiency", "passes")),
    (
        _("Heat"),
        ("temperature_unit", "preheat_least", "interpass_greatest", "measured_at", "slow_cooling"),
    ),
    (_("Looks and tests"), ("looks_after", "level", "waiting_hours", "cold_below")),
)


class ProcedureSheet(KeepsDocuments, KeyedForm):
    """A procedure with every field it may have. It takes whatever is typed: `read_procedure` judges it."""

    version = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
    name = forms.CharField(
        label=_("Name of the procedure"),
        help_text=_("Revisions of one name are counted up; joints take the first by name that reaches them."),
        max_length=40,
    )
    note = forms.CharField(
        label=_("Why this revision"),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    title = _words(_("Title"))
    qualified_by = _words(_("Qualified by"), _("The reference of its qualification record."))
    document = DocumentField(label=_("Its paper, or its qualification record"), required=False)
    process = _one(_("Process"), PROCESS_CHOICES)
    kinds = _many(_("Joints"), list(KINDS.items()))
    for_repair = forms.BooleanField(label=_("It repairs; it is not taken for new welds"), required=False)
    grades_a = _words(_("Steels of one side"), _("Several with commas, such as 4130, A656-80."))
    grades_b = _words(_("Steels of the other side"), _("Either side of the joint may be the one."))
    positions = _many(_("Positions by ISO 6947"), [(code, code) for code in POSITIONS])
    backing = forms.BooleanField(label=_("Something stays behind the root"), required=False)
    fillers = _words(_("Filler"), _("Classifications, several with commas, such as ER80S-D2."))
    filler_group = _words(_("Filler group"), _("As on welders' records, such as F6 or FM2."))
    gas = _words(_("Shielding gas"), _("By ISO 14175, such as “ISO 14175 - I1 - Ar”."))
    purge = _words(_("Purge"), _("By ISO 14175; empty = none."))
    hydrogen_ml = _number(_("Diffusible hydrogen, ml/100 g"), _("Of the weld metal, for the preheat advice."))
    heat_basis = _one(
        _("Its limits mean"),
        [("arc", _("the arc's energy, with no efficiency")), ("net", _("net of the efficiency"))],
    )
    efficiency = _number(_("Efficiency"), _("Only if net: 0.6 for TIG, 0.8 for wire and stick (EN 1011-1)."))
    temperature_unit = _one(_("Temperatures are in"), [("F", "°F"), ("C", "°C")])
    preheat_least = _number(_("Preheat, at least"))
    interpass_greatest = _number(_("Interpass, at most"))
    measured_at = _one(_("Where it is read"), [(code, _(words)) for code, words in PLACES.items()])
    slow_cooling = _words(_("Slow cooling"), _("How it is kept from cooling fast."))
    looks_after = _words(_("Somebody looks after pass"), _("Before the next one; the root is 1."))
    level = _one(_("Level by ISO 5817"), [(level, level) for level in LEVELS])
    waiting_hours = _number(_("Hours to wait before the test"), _("From when the joint is cold."))
    cold_below = _number(_("The joint is cold below"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, (label, units) in RANGES.items():
            self.fields[f"{name}_least"] = _number(label)
            self.fields[f"{name}_most"] = _number(label)
            if units:
                self.fields[f"{name}_unit"] = _one(label, [(unit, unit) for unit in units])
        # Nothing that is typed is refused here but what no column could hold.
        for name in CHOSEN:
            self.fields[name].error_messages["invalid_choice"] = _("%(value)s is not one of these.")

    def typed(self) -> dict[str, Any]:
        """What was typed, as `read_procedure` takes it; nothing is judged or tidied."""
        said = self.cleaned_data
        data: dict[str, Any] = {name: said[name].strip() for name in PLAIN if said.get(name, "").strip()}
        data |= {name: True for name in YES if said.get(name)}
        data |= {name: list(said[name]) for name in CHOSEN if said.get(name)}
        for name in LISTS:
            if words := [word.strip() for word in said.get(name, "").split(",") if word.strip()]:
                data[name] = words
        for name in RANGES:
            sides = {side: said.get(f"{name}_{side}", "").strip() for side in ("least", "most", "unit")}
            kept = {side: text for side, text in sides.items() if text}
            if set(kept) & {"least", "most"}:
                within = data.setdefault("fit_up", {}) if name.startswith(FIT_UP_) else data
                within[name.removeprefix(FIT_UP_)] = kept
        return data

    def parts(self, problems: Sequence[Problem]) -> list[dict[str, Any]]:
        """The fields by heading, those of a range together, each with what is wrong with it."""
        return [
            {"name": heading, "fields": [self._field(name, problems) for name in names]}
            for heading, names in HEADINGS
        ]

    def _field(self, name: str, problems: Sequence[Problem]) -> dict[str, Any]:
        if name not in RANGES:
            return {"field": self[name], "against": [p.sentence for p in problems if p.field == name]}
        pointer = name.replace(FIT_UP_, "fit_up/")
        against = [p.sentence for p in problems if p.field == pointer or p.field.startswith(f"{pointer}/")]
        names = [f"{name}_{side}" for side in ("least", "most", "unit")]
        sides = [self[one] for one in names if one in self.fields]
        errors = [error for side in sides for error in side.errors]
        return {"label": RANGES[name][0], "name": name, "sides": sides, "against": [*errors, *against]}


def initial_of(data: Mapping[str, Any]) -> dict[str, Any]:
    """What the sheet begins with for a procedure's data, typed or published."""
    found: dict[str, Any] = {name: data[name] for name in (*PLAIN, *YES, *CHOSEN) if name in data}
    found |= {name: ", ".join(map(str, data[name])) for name in LISTS if name in data}
    fit_up = data.get("fit_up")
    inner = fit_up if isinstance(fit_up, Mapping) else {}
    for name in RANGES:
        given = inner.get(name.removeprefix(FIT_UP_)) if name.startswith(FIT_UP_) else data.get(name)
        if isinstance(given, Mapping):
            found |= {f"{name}_{side}": value for side, value in given.items()}
    return found
