"""The form of one reading; which fields it has depends on the kind of the characteristic."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.forms.keyed import KeyedForm, words_field
from inspections.forms.numbers import NumberField, parse_rows, typed_number
from inspections.models import Characteristic, Gauge, Reading, plans
from inspections.models.plans import Due
from inspections.rules import GAUGE_NAMED, TEMPERATURE_RECORDED
from inspections.verdicts import GO, MOST_POINTS, NO_GO
from shopqc.refusals import Reason
from shopqc.templatetags.shop_look import day

LENGTHS = ("in", "mm")
AXES = ("x", "y", "z")
# One indicator has twelve places to be read that everybody can name: the hours of a clock.
MOST_CLOCK_PLACES = 24
MOST_POINT_FIELDS = 60
# The longest paste that is looked at: the most points, each line as long as three numbers can be.
LONGEST_PASTE = MOST_POINTS * 150


class ReadingForm(KeyedForm):
    """One reading of one characteristic at the limits ``due``, under the shop's rules ``in_use``.

    ``replaces``: the earlier reading that this one corrects. ``points``: how
    many points of a face are typed one by one; with 0 they are pasted.
    """

    places = {
        "readings/0/gauge": "gauge",
        "readings/0/temperature": "temperature",
        "readings/0/reason": "reason",
    }
    seen_position = forms.IntegerField(min_value=0, max_value=2**31 - 1, widget=forms.HiddenInput)
    visit = forms.IntegerField(min_value=0, max_value=2**31 - 1, widget=forms.HiddenInput)

    def __init__(
        self,
        characteristic: Characteristic,
        due: Due,
        gauges: Sequence[Gauge],
        *,
        replaces: Reading | None = None,
        points: int = 0,
        in_use: frozenset[str] = frozenset(),
        **kwargs: Any,
    ) -> None:
        super().__init__(**kwargs)
        self.characteristic, self.due, self.replaces = characteristic, due, replaces
        self.points = min(points, MOST_POINT_FIELDS)
        if replaces:
            self.fields["reason"] = words_field(_("Why is the reading before replaced?"), rows=2)
        if characteristic.needs_gauge:
            self._ask_how(gauges, in_use)
        self.raw_fields = self._ask_what()
        self.places = {**self.places, "readings/0/raw": self.raw_fields[0]}
        self._focus()

    # --- fields ----------------------------------------------------------------------------------
    def _focus(self) -> None:
        """Where typing goes: to the gauge while none is chosen, then to the figure."""
        if self.characteristic.kind == plans.GO_NO_GO:
            return
        first = self.raw_fields[0] if self["gauge"].value() else "gauge"
        self.fields[first].widget.attrs["autofocus"] = True

    def _ask_how(self, gauges: Sequence[Gauge], in_use: frozenset[str]) -> None:
        name = {"name": self.characteristic.name}
        choices = [("", _("none chosen")), *((gauge.code, _label(gauge)) for gauge in gauges)]
        self.fields["gauge"] = forms.ChoiceField(
            label=_("Gauge"),
            choices=choices,
            required=GAUGE_NAMED in in_use,
            error_messages={
                "invalid_choice": gettext_lazy("There is no gauge %(value)s here."),
                "required": Reason("gauge_needed", name).sentence,
            },
        )
        self.fields["temperature"] = NumberField(
            label=_("Temperature of the part"),
            required=TEMPERATURE_RECORDED in in_use,
            max_length=20,
            signed=True,
            error_messages={"required": Reason("temperature_needed", name).sentence},
        )
        self.fields["temperature_unit"] = forms.ChoiceField(
            label=_("Unit of the temperature"), choices=[("F", "°F"), ("C", "°C")], required=False
        )
        if self.characteristic.unit in LENGTHS:
            self.fields["unit"] = forms.ChoiceField(
                label=_("Typed in"),
                required=False,
                choices=[("in", _("in")), ("mm", _("mm"))],
                initial=self.characteristic.unit,
            )

    def _ask_what(self) -> list[str]:
        """Add the fields of the raw reading; their names, the one that errors are shown at first."""
        match self.characteristic.kind:
            case plans.SIZE:
                self.fields["value"] = NumberField(label=_("Reading"), signed=self._may_be_negative())
                return ["value"]
            case plans.GO_NO_GO:
                # Two buttons, not radios: one tap answers.
                self.fields["result"] = forms.ChoiceField(
                    label=_("Answer"), choices=[(GO, GO), (NO_GO, NO_GO)]
                )
                return ["result"]
            case plans.HOLE_CENTER:
                self.fields["x"] = NumberField(label=_("x of the center"), signed=True)
                self.fields["y"] = NumberField(label=_("y of the center"), signed=True)
                return ["x", "y"]
            case plans.RUNOUT:
                return self._ask_clock()
            case plans.FACE_POINTS:
                return self._ask_points()
        raise RuntimeError(f"No form for a characteristic of kind {self.characteristic.kind}.")

    def _may_be_negative(self) -> bool:
        return self.due.lower is not None and Decimal(self.due.lower) <= 0

    def _ask_clock(self) -> list[str]:
        count = min(max(int(self.characteristic.parameters.get("points_at_least", 4)), 4), MOST_CLOCK_PLACES)
        for number in range(count):
            self.fields[f"turn_{number}"] = NumberField(
                label=clock_place(number, count), signed=True, required=False
            )
        self.clock = [f"turn_{number}" for number in range(count)]
        self.fields["list"] = self._paste(_("Or paste all readings of one turn, in order"))
        return [*self.clock, "list"]

    def _ask_points(self) -> list[str]:
        self.clock = []
        if not self.points:
            self.fields["list"] = self._paste(_("Points x, y and z, one point a line"), rows=8, required=True)
            return ["list"]
        for number in range(1, self.points + 1):
            for axis in AXES:
                label = _("Point %(number)d, %(axis)s") % {"number": number, "axis": axis}
                self.fields[f"{axis}_{number}"] = NumberField(label=label, signed=True, required=False)
        return [f"{axis}_{number}" for number in range(1, self.points + 1) for axis in AXES]

    def _paste(self, label: str, rows: int = 3, required: bool = False) -> forms.CharField:
        return forms.CharField(
            label=label,
            required=required,
            max_length=LONGEST_PASTE,
            widget=forms.Textarea(attrs={"rows": rows, "class": "input-code", "spellcheck": "false"}),
            error_messages={
                "required": gettext_lazy("Paste or type the points, one a line."),
                "max_length": gettext_lazy(
                    "This is %(show_value)d characters long; a reading has at most %(limit_value)d."
                ),
            },
        )

    # --- for the page ------------------------------------------------------------------------------
    def focus_quietly(self) -> None:
        """Let typing go to the same field without moving the page: a verdict stands above."""
        for field in self.fields.values():
            if field.widget.attrs.pop("autofocus", False):
                field.widget.attrs["data-focus-quietly"] = True

    @property
    def clock_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in self.clock]

    @property
    def point_rows(self) -> list[list[forms.BoundField]]:
        return [[self[f"{axis}_{number}"] for axis in AXES] for number in range(1, self.points + 1)]

    @property
    def point_fields_offered(self) -> int:
        """How many points the form offers to be typed one by one."""
        least = int(self.characteristic.parameters.get("points_at_least", 4))
        return min(max(least, 12), MOST_POINT_FIELDS)

    @property
    def first_errors(self) -> list[str]:
        """What is said of the points as a whole: it stands at the first field."""
        return [str(error) for error in self[self.raw_fields[0]].errors]

    @property
    def how(self) -> str:
        """How it is measured, in a line, once that is chosen."""
        gauge = self["gauge"].value()
        label = dict(getattr(self.fields["gauge"], "choices", ())).get(gauge) if gauge else None
        words = [str(label)] if label else []
        if temperature := self["temperature"].value():
            words.append(
                _("part at %(value)s °%(unit)s")
                % {"value": temperature, "unit": self["temperature_unit"].value()}
            )
        return ", ".join(words)

    @property
    def how_is_open(self) -> bool:
        """Whether how it is measured has still to be said."""
        asked = [name for name in ("gauge", "temperature") if self.fields[name].required]
        return any(self[name].errors or not self[name].value() for name in asked) or not self["gauge"].value()

    @property
    def unit_shown(self) -> str:
        """The unit beside a figure, unless it is chosen."""
        return "" if "unit" in self.fields else self.characteristic.unit

    # --- what was typed ----------------------------------------------------------------------------
    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        if data.get("temperature") and not data.get("temperature_unit"):
            self.add_error("temperature", _("Say whether this is °F or °C."))
        if not self.errors:
            try:
                data["raw"] = self._raw(data)
            except ValidationError as error:
                self.add_error(self.raw_fields[0], error)
        return data

    def _raw(self, data: Mapping[str, Any]) -> dict[str, Any]:
        unit = {"unit": data["unit"]} if data.get("unit") else {}
        match self.characteristic.kind:
            case plans.GO_NO_GO:
                return {"result": data["result"]}
            case plans.SIZE:
                return {"value": data["value"], **unit}
            case plans.HOLE_CENTER:
                return {"x": data["x"], "y": data["y"], **unit}
            case plans.RUNOUT:
                return {"readings": self._turn(data), **unit}
        return {"points": self._points(data), **unit}

    def _turn(self, data: Mapping[str, Any]) -> list[str]:
        typed = [data[name] for name in self.clock]
        if data["list"].strip():
            if any(typed):
                raise ValidationError(
                    _("There are readings in the fields and in the list; keep one of the two.")
                )
            return _all_numbers(data["list"])
        if not any(typed):
            raise ValidationError(_("Type what the indicator says at each place."))
        missing = [str(self.fields[n].label) for n, value in zip(self.clock, typed, strict=True) if not value]
        if missing:
            raise ValidationError(
                _("Nothing stands at: %(places)s. A turn is read at every place.")
                % {"places": ", ".join(missing)}
            )
        return typed

    def _points(self, data: Mapping[str, Any]) -> list[list[str]]:
        if not self.points:
            return parse_rows(data["list"], AXES)
        rows = [[data[f"{axis}_{number}"] for axis in AXES] for number in range(1, self.points + 1)]
        for number, row in enumerate(rows, start=1):
            if any(row) and not all(row):
                raise ValidationError(_("Point %(number)d is not complete.") % {"number": number})
        return [row for row in rows if all(row)]

    def entry(self) -> dict[str, Any]:
        """The reading as `record_readings` takes it."""
        data = self.cleaned_data
        entry: dict[str, Any] = {
            "characteristic": self.characteristic.code,
            "raw": data["raw"],
            "seen_position": data["seen_position"],
            "visit": data["visit"],
        }
        if data.get("gauge"):
            entry["gauge"] = data["gauge"]
        if data.get("temperature"):
            entry["temperature"] = {"value": data["temperature"], "unit": data["temperature_unit"]}
        if self.replaces:
            entry |= {"replaces": str(self.replaces.pk), "reason": data["reason"]}
        return entry


def _label(gauge: Gauge) -> str:
    """A gauge in the list; that its check is overdue stands there in words."""
    if gauge.calibration_due and gauge.calibration_due < timezone.now().date():
        return _("%(gauge)s, check overdue since %(due)s") % {
            "gauge": gauge,
            "due": day(gauge.calibration_due),
        }
    return str(gauge)


def _all_numbers(text: str) -> list[str]:
    """Numbers in one or many lines, however many a line."""
    found: list[str] = []
    for line in text.splitlines():
        words = line.replace(";", " ").split()
        words = [word.rstrip(",") for word in words] if len(words) > 1 else line.split(",")
        found += [typed_number(word) for word in words if word.strip()]
        if len(found) > MOST_POINTS:
            raise ValidationError(
                _("More than %(most)d readings are no single turn.") % {"most": MOST_POINTS}
            )
    return found


def clock_place(number: int, count: int) -> str:
    """Where on the clock the reading ``number`` (from 0) of ``count`` is: "12:00", "1:30"."""
    minutes = number * 720 // count
    return f"{minutes // 60 or 12}:{minutes % 60:02d}"


def initial_of(reading: Reading) -> dict[str, Any]:
    """What was typed in an earlier reading, for the form that corrects it."""
    raw = reading.raw
    initial: dict[str, Any] = {key: raw[key] for key in ("value", "x", "y", "unit") if key in raw}
    initial |= {
        "gauge": reading.gauge.code if reading.gauge else "",
        "temperature": reading.temperature,
        "temperature_unit": reading.temperature_unit or "F",
    }
    match reading.characteristic.kind:
        case plans.FACE_POINTS:
            initial["list"] = "\n".join(" ".join(point) for point in raw["points"])
        case plans.RUNOUT:
            initial["list"] = " ".join(raw["readings"])
    return initial
