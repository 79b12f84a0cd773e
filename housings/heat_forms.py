"""Forms about heats: receiving and changing one, cutting a piece, recalling it, asking for preheat."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from housings import heat_data
from housings.engineering.composition import CompositionProblem, composition_from
from housings.engineering.quantities import number as read_number
from housings.models import Heat
from housings.operations.recalls import LONGEST_WHY
from housings.steel_words import CERTIFICATE_TYPES, FORMS, KINDS
from shopqc.forms import KeyedForm
from shopqc.refusals import KINDS as REFUSALS
from shopqc.uploads import DocumentField, KeepsDocuments

ELEMENTS = ("C", "Mn", "Si", "Cr", "Mo", "Ni", "Cu", "V", "P", "S")
MM_PER_IN = Decimal("25.4")


def code_field(label: Any, most: int, **kwargs: Any) -> forms.CharField:
    """What is scanned from a label or typed from the steel."""
    attrs = {"class": "input-code", "autocomplete": "off", "autocapitalize": "characters"}
    return forms.CharField(label=label, max_length=most, widget=forms.TextInput(attrs=attrs), **kwargs)


def _words(label: Any, most: int, hint: Any = "", **kwargs: Any) -> forms.CharField:
    kwargs.setdefault("required", False)
    return forms.CharField(label=label, max_length=most, help_text=hint, **kwargs)


class _Described(KeepsDocuments):
    """What is known of a heat besides its number."""

    kind = forms.ChoiceField(label=_("What it is"), choices=list(KINDS.items()), widget=forms.RadioSelect)
    grade = _words(
        _("Grade"),
        heat_data.LONGEST["grade"],
        _("Of filler its classification, such as ER80S-D2; of gas its symbol by ISO 14175, such as I1."),
        required=True,
    )
    condition = _words(
        _("Condition"), heat_data.LONGEST["condition"], _("Such as normalised or stress-relieved.")
    )
    form = forms.ChoiceField(label=_("Form"), choices=[("", "—"), *FORMS.items()], required=False)
    certificate_type = forms.ChoiceField(
        label=_("Certificate, by EN 10204"),
        choices=[("", _("none came")), *CERTIFICATE_TYPES.items()],
        required=False,
    )
    certificate = DocumentField(label=_("The certificate as a file"), required=False)
    size = _words(_("Size"), heat_data.LONGEST["size"])
    supplier = _words(_("Supplier"), heat_data.LONGEST["supplier"])
    quantity = _words(_("How much came"), heat_data.LONGEST["quantity"])
    note = forms.CharField(
        label=_("Note"), required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2})
    )
    composition = forms.CharField(
        label=_("Composition, percent by mass"),
        help_text=_("Type or paste it, such as C 0.30 Mn 0.50 Cr 0.95; <0.010 counts as 0.010."),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 2, "spellcheck": "false"}),
    )

    def clean_composition(self) -> dict[str, str]:
        try:
            return composition_from(self.cleaned_data["composition"])
        except CompositionProblem as problem:
            raise forms.ValidationError(str(problem)) from None

    def _described(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in heat_data.DESCRIPTION}

    def group(self, *names: str) -> list[forms.BoundField]:
        return [self[name] for name in names]

    @property
    def first(self) -> list[forms.BoundField]:
        """What is asked of every heat."""
        names = ("kind", "grade", "condition", "form", "certificate_type", "certificate")
        return self.group(*names)

    @property
    def rest(self) -> list[forms.BoundField]:
        return self.group("size", "supplier", "quantity", "note")


class HeatForm(_Described):
    """A heat that comes in. The composition is typed whole, or one element a field, or both."""

    number = code_field(
        _("Heat, lot or cylinder number"),
        80,
        help_text=_("As it stands on the steel and on its certificate; letters, digits, point and hyphen."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for symbol in ELEMENTS:
            self.fields[f"percent_{symbol}"] = forms.CharField(
                label=symbol,
                required=False,
                max_length=12,
                widget=forms.TextInput(
                    attrs={"inputmode": "decimal", "autocomplete": "off", "class": "input-number"}
                ),
            )

    @property
    def first(self) -> list[forms.BoundField]:
        return [self["number"], *super().first]

    @property
    def elements(self) -> list[forms.BoundField]:
        return self.group(*(f"percent_{symbol}" for symbol in ELEMENTS))

    @property
    def composition_is_open(self) -> bool:
        """Whether something was typed there or is wrong, so that it must be seen."""
        return any(field.errors or field.data for field in (self["composition"], *self.elements))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        whole = data.get("composition")
        one_by_one = {s: str(data.get(f"percent_{s}") or "").strip().rstrip("% ") for s in ELEMENTS}
        typed = {symbol: percent for symbol, percent in one_by_one.items() if percent}
        if whole is None or not typed:
            return data
        for symbol, percent in typed.items():
            if symbol in whole and whole[symbol] != percent.replace(",", "."):
                self.add_error(f"percent_{symbol}", _("It says something else in the whole composition."))
        try:
            text = " ".join(f"{symbol} {percent}" for symbol, percent in {**whole, **typed}.items())
            data["composition"] = composition_from(text)
        except CompositionProblem as problem:
            self.add_error("composition", str(problem))
        return data

    def inputs(self) -> dict[str, Any]:
        """What `receive_heat` takes."""
        return {"number": self.cleaned_data["number"], **self._described()}


class ChangeHeatForm(_Described):
    """A heat that is on file; ``seen_position`` is the place in its record that the page showed."""

    seen_position = forms.IntegerField(widget=forms.HiddenInput, min_value=0, max_value=2**31 - 1)

    def __init__(self, heat: Heat, *args: Any, **kwargs: Any) -> None:
        self.heat = heat
        on_file = {name: getattr(heat, name) for name in heat_data.DESCRIPTION if name != "certificate"}
        on_file["composition"] = composition_words(heat.composition)
        super().__init__(*args, initial={**on_file, "seen_position": heat.record_position}, **kwargs)
        if heat.certificate:
            self.fields["certificate"].label = _("Another certificate instead of the one on file")

    def inputs(self) -> dict[str, Any]:
        """What `change_heat` takes, besides the heat."""
        changes = self._described()
        changes["certificate"] = changes["certificate"] or self.heat.certificate
        return {"changes": changes, "seen_position": self.cleaned_data["seen_position"]}


def composition_pairs(composition: Mapping[str, str]) -> list[tuple[str, str]]:
    """Symbols with their percentages, the usual elements first."""
    usual = [symbol for symbol in ELEMENTS if symbol in composition]
    others = sorted(set(composition) - set(usual))
    return [(symbol, composition[symbol]) for symbol in (*usual, *others)]


def composition_words(composition: Mapping[str, str]) -> str:
    """A composition as it may be typed: "C 0.30 Mn 0.50"."""
    return " ".join(f"{symbol} {percent}" for symbol, percent in composition_pairs(composition))


class PieceForm(KeyedForm):
    """A piece that was cut."""

    code = code_field(_("What is written on the piece"), heat_data.LONGEST_CODE)
    what = _words(_("What it becomes"), heat_data.LONGEST_WHAT, required=True)
    size = _words(_("Size"), 60)
    cut_from = forms.ChoiceField(label=_("Cut from"), required=False)
    number_copied = forms.BooleanField(
        label=_("The heat number was copied onto it before the cut"), required=False
    )

    def __init__(self, pieces: list[str], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["cut_from"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [("", _("the length as received")), *((code, code) for code in pieces)]

    def inputs(self) -> dict[str, Any]:
        """What `cut_piece` takes, besides the heat."""
        names = ("code", "what", "size", "number_copied")
        chosen = {name: self.cleaned_data[name] for name in names}
        return {**chosen, "cut_from": self.cleaned_data["cut_from"] or None}


class WhyForm(KeyedForm):
    """Why a recall is taken back."""

    why = forms.CharField(label=_("Why"), max_length=LONGEST_WHY, widget=forms.Textarea(attrs={"rows": 3}))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["why"].error_messages["required"] = str(REFUSALS["reason_needed"].sentence)


class RecallForm(WhyForm):
    """Why a heat is recalled, and whether its housings are held."""

    hold = forms.BooleanField(label=_("Hold every housing in work that has it"), required=False, initial=True)


class AdviceForm(forms.Form):
    """For which weld method B is asked; lengths in the shop's unit."""

    wall = forms.CharField(label=_("Wall"), max_length=20)
    hydrogen = forms.CharField(label=_("Hydrogen of the weld metal"), max_length=20)
    heat_input = forms.CharField(label=_("Heat input, net"), max_length=20)

    def __init__(self, length_unit: str, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.length_unit = length_unit
        for field in self.fields.values():
            field.widget.attrs |= {"inputmode": "decimal", "class": "input-number", "autocomplete": "off"}
        self.units = {"wall": length_unit, "hydrogen": "ml/100 g", "heat_input": "kJ/mm"}

    @property
    def rows(self) -> list[tuple[forms.BoundField, str]]:
        return [(self[name], unit) for name, unit in self.units.items()]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        for name in self.units:
            if name not in data:
                continue
            try:
                data[name] = read_number(data[name].strip().replace(",", "."), str(self.fields[name].label))
            except ValueError as error:
                self.add_error(name, str(error))
        return data

    @property
    def wall_mm(self) -> float:
        """The wall that was asked for, in mm."""
        wall: float = self.cleaned_data["wall"]
        return wall * float(MM_PER_IN) if self.length_unit == "in" else wall
