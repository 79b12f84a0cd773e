"""Threads: a go and a no-go plug, and the turns of a taper plug."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from inspections.forms.numbers import NumberField
from inspections.forms.readings.sheet import Sheet

YES, NO = "yes", "no"


class ThreadSheet(Sheet):
    """``{"go": "yes", "no_go_turns": "1.5"}``"""

    template = "thread.html"

    def fields(self) -> dict[str, forms.Field]:
        return {
            "go": forms.ChoiceField(
                label=_("Does the go plug go in over the whole length?"),
                choices=[(YES, _("It goes in")), (NO, _("It does not"))],
                widget=forms.RadioSelect,
                error_messages={"required": _("Say whether the go plug goes in.")},
            ),
            "no_go_turns": NumberField(
                label=_("Turns that the no-go plug goes in"),
                help_text=_("0 if it does not enter."),
                error_messages={"required": _("Type how many turns the no-go plug goes in; 0 if none.")},
            ),
        }

    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        return self.only({"go": data["go"], "no_go_turns": data["no_go_turns"]})

    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        raw = raws[self.measuring.first.code]
        return {"go": raw["go"], "no_go_turns": raw["no_go_turns"]}


class TaperSheet(Sheet):
    """``{"turns": "0.5"}``: past the notch is positive."""

    template = "taper.html"

    def fields(self) -> dict[str, forms.Field]:
        return {
            "turns": NumberField(
                label=_("Turns from the notch"),
                signed=True,
                help_text=_("Screwed in by hand. Past the notch is plus, short of it minus."),
                error_messages={"required": _("Type how many turns from the notch the plug stands.")},
            )
        }

    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        return self.only({"turns": data["turns"]})

    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        return {"turns": raws[self.measuring.first.code]["turns"]}
