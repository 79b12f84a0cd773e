"""Forms at the welding bench: a pass, a temperature, fit-up, settings."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from housings.engineering.procedures import TRAVEL_MM_S
from housings.engineering.weld_figures import FLOW_UNITS, POSITIONS
from housings.forms import HousingForm
from housings.weld_words import FIT_UP, PLACES
from shopqc.refusals import Reason

LONGEST_EARLIER = 12 * 60
UNITS = [("F", "°F"), ("C", "°C")]
YES_NO = [("yes", _("yes")), ("no", _("no"))]


def figure(label: Any, **more: Any) -> forms.CharField:
    """A number as it is typed; what it means is the operation's to judge."""
    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
    return forms.CharField(label=label, required=False, max_length=20, widget=widget, **more)


def minutes_ago(label: Any, **more: Any) -> forms.IntegerField:
    """How long ago something was; empty = now."""
    widget = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"})
    wrong = _("Type whole minutes, from 0 to %(most)s.") % {"most": LONGEST_EARLIER}
    said = dict.fromkeys(("invalid", "min_value", "max_value"), wrong)
    return forms.IntegerField(
        label=label,
        required=False,
        min_value=0,
        max_value=LONGEST_EARLIER,
        widget=widget,
        error_messages=said,
        **more,
    )


def moment_ago(minutes: int | None, now: datetime.datetime) -> str | None:
    """The moment so many minutes ago, to the minute; ``None`` for now.

    To the minute, so that the same sending once more, after a lost connection, still says the same.
    """
    if not minutes:
        return None
    return (now.replace(second=0, microsecond=0) - datetime.timedelta(minutes=minutes)).isoformat()


def _plain(pointer: str | None) -> str:
    """A pointer without the number of the entry: ``/temperatures/done_at``."""
    return "/".join(part for part in (pointer or "").split("/") if not part.isdigit())


class JointForm(HousingForm):
    """What every form about a joint carries; ``back`` is where it goes on after it was taken."""

    CLOCK = "clock"

    # From the pointer of an input to the field that asks for it, where the last part does not say it.
    places: Mapping[str, str] = {}

    back = forms.CharField(widget=forms.HiddenInput, required=False, max_length=10)
    number = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=1)

    def say(self, reasons: Iterable[Reason]) -> None:
        super().say(one.at(self.places.get(_plain(one.field), one.field or "")) for one in reasons)


class TemperatureForm(JointForm):
    """How hot a joint was: a figure with its place and time."""

    places = {"/temperatures/done_at": "/read_minutes_ago"}

    value = figure(_("Temperature"))
    unit = forms.ChoiceField(label=_("Unit"), choices=UNITS, required=False)
    place = forms.ChoiceField(
        label=_("Where was it read?"), choices=[*PLACES.items()], widget=forms.RadioSelect, required=False
    )
    read_minutes_ago = minutes_ago(
        _("How many minutes ago?"), help_text=_("Empty for just now. A joint loses a lot in one minute.")
    )
    sure = forms.BooleanField(label=_("It is right as it stands here"), required=False)

    def temperatures(self, now: datetime.datetime) -> list[dict[str, Any]]:
        """What was read, as the operations take it; none if nothing was typed."""
        said = self.cleaned_data
        if not said.get("value"):
            return []
        return [
            {
                "value": said["value"].strip().replace(",", "."),
                "unit": said["unit"],
                "crayon": "",
                "place": said["place"],
                "done_at": moment_ago(said["read_minutes_ago"], now),
            }
        ]


class SettingsFields(forms.Form):
    """How the machine is set."""

    volts = figure(_("Volts"))
    amps = figure(_("Amps"))
    travel = figure(_("Travel"))
    travel_unit = forms.ChoiceField(
        label=_("Unit"), choices=[(unit, unit) for unit in TRAVEL_MM_S], required=False
    )
    gas_flow = figure(_("Gas flow"))
    purge_flow = figure(_("Purge flow"))
    flow_unit = forms.ChoiceField(
        label=_("Unit"), choices=[(unit, unit) for unit in FLOW_UNITS], required=False
    )
    position = forms.ChoiceField(
        label=_("Position (ISO 6947)"),
        choices=[("", "—"), *((one, one) for one in POSITIONS)],
        required=False,
    )
    filler = forms.CharField(label=_("Filler, its heat or lot number"), required=False, max_length=40)
    gas = forms.CharField(label=_("Gas, its number"), required=False, max_length=40)

    @property
    def figures(self) -> dict[str, str]:
        """What was typed, without what stayed empty; a unit only beside its figure."""
        said: Mapping[str, Any] = self.cleaned_data  # type: ignore[attr-defined, unused-ignore]
        names = ("volts", "amps", "travel", "gas_flow", "purge_flow", "position")
        found = {name: str(said.get(name) or "").strip().replace(",", ".") for name in names}
        found = {name: value for name, value in found.items() if value}
        if "travel" in found:
            found["travel_unit"] = said.get("travel_unit") or "in/min"
        if "gas_flow" in found or "purge_flow" in found:
            found["flow_unit"] = said.get("flow_unit") or FLOW_UNITS[0]
        return found

    @property
    def supplies(self) -> dict[str, str | None]:
        """Filler and gas by their numbers."""
        said: Mapping[str, Any] = self.cleaned_data  # type: ignore[attr-defined, unused-ignore]
        return {name: (said.get(name) or "").strip() or None for name in ("filler", "gas")}


class PassForm(SettingsFields, TemperatureForm):
    """A pass is done: one tap, with what is asked besides; ``repair`` is 0 if it belongs to none."""

    places = {"/temperatures/done_at": "/read_minutes_ago", "/done_at": "/ended_minutes_ago"}

    repair = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0)
    stop_at = forms.ChoiceField(
        label=_("At which hour of the clock did it stop, seen from the end?"),
        choices=[("", "—"), *((str(hour), str(hour)) for hour in range(1, 13))],
        required=False,
    )
    ended_minutes_ago = minutes_ago(
        _("The arc ended how many minutes ago?"), help_text=_("Empty for just now.")
    )
    welder = forms.CharField(
        label=_("Stamp of the welder, if it was somebody else"), required=False, max_length=12
    )
    note = forms.CharField(
        label=_("Note"), required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2})
    )


class SettingsForm(SettingsFields, JointForm):
    """The settings of a joint, said once."""

    @property
    def says_nothing(self) -> bool:
        return not self.figures and not any(self.supplies.values())


class FitUpForm(JointForm):
    """What was found before the root."""

    places = {"/figures/clean": "/is_clean"}

    gap, land, mismatch, bevel = (figure(FIT_UP[name]) for name in ("gap", "land", "mismatch", "bevel"))
    length_unit = forms.ChoiceField(label=_("Unit of the lengths"), choices=[("in", "in"), ("mm", "mm")])
    is_clean = forms.ChoiceField(
        label=_("Clean: no oil, scale, paint or moisture"),
        choices=YES_NO,
        widget=forms.RadioSelect,
        error_messages={"required": _("Look, and say yes or no.")},
    )
    preheated = forms.ChoiceField(
        label=_("Preheated as the procedure asks"), choices=YES_NO, widget=forms.RadioSelect, required=False
    )
    purged = forms.ChoiceField(
        label=_("Purged inside"), choices=YES_NO, widget=forms.RadioSelect, required=False
    )
    tacked_by = forms.CharField(label=_("Stamp of who tacked it"), required=False, max_length=30)
    note = forms.CharField(
        label=_("Note"), required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2})
    )

    @property
    def figures(self) -> dict[str, str]:
        """What was typed or ticked, without what stayed empty."""
        names = ("gap", "land", "mismatch", "bevel", "preheated", "purged")
        said = {name: str(self.cleaned_data.get(name) or "").strip().replace(",", ".") for name in names}
        said["clean"] = self.cleaned_data["is_clean"]
        found = {name: value for name, value in said.items() if value}
        if any(name in found for name in ("gap", "land", "mismatch")):
            found["length_unit"] = self.cleaned_data["length_unit"]
        return found


class TakeBackForm(JointForm):
    """A pass that never was."""

    why = forms.CharField(label=_("Why"), max_length=200)


class EachPassForm(JointForm):
    """Whether every pass is recorded with all its numbers."""

    WORDS = {
        "first article": _("yes, it is a first article"),
        "procedure test": _("yes, it tests a procedure"),
        "audit": _("yes, for an audit"),
    }
    why = forms.ChoiceField(
        label=_("All numbers of every pass?"),
        choices=[*WORDS.items(), ("", _("no, one tap is enough"))],
        required=False,
        widget=forms.RadioSelect,
    )


class WatchForm(HousingForm):
    """What the watch for fire found."""

    found = forms.CharField(
        label=_("What was found"), required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2})
    )


class ScanForm(HousingForm):
    """A serial, scanned or typed at the clock."""

    serial = forms.CharField(
        label=_("Scan a housing to start its pass"),
        required=False,
        max_length=300,
        widget=forms.TextInput(
            attrs={
                "data-scan": "",
                "autocomplete": "off",
                "autocapitalize": "characters",
                "class": "input-code",
            }
        ),
    )
