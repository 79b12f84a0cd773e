"""A look or a plug, answered by one tap."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from inspections import wording
from inspections.forms.readings.sheet import Sheet
from inspections.verdicts import GO, NO_GO


class AnswerSheet(Sheet):
    """``{"result": "go"}``: two buttons, not radios."""

    template = "answer.html"
    sends_itself = True

    def fields(self) -> dict[str, forms.Field]:
        return {"result": forms.ChoiceField(label=_("Answer"), choices=[(GO, GO), (NO_GO, NO_GO)])}

    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        return self.only({"result": data["result"]})

    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        return {}

    @property
    def answers(self) -> tuple[str, str]:
        return wording.answers(self.measuring.first)
