"""A form whose sending is one run of an operation; what was refused stands beside its field."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from shopqc import forms as shop_forms
from shopqc.refusals import Reason, Refused

LONGEST_WORDS = 2000


class KeyedForm(shop_forms.KeyedForm):
    """The shop's keyed form, which remembers its refusal: ``status`` is what its page answers."""

    # From the pointer of an input, without its first slash, to the field that asks for it.
    places: Mapping[str, str] = {}

    status = 422
    reasons: tuple[Reason, ...] = ()

    def take(self, refused: Refused) -> None:
        """Put the reasons of a refusal beside their fields."""
        self.status, self.reasons = refused.status, refused.reasons
        for reason in refused.reasons:
            if reason.code == "key_reused":
                self.say([reason])
                continue
            self.add_error(self._place_of(reason), reason.sentence)

    def _place_of(self, reason: Reason) -> str | None:
        pointer = (reason.field or "").removeprefix("/")
        name = self.places.get(pointer, pointer.partition("/")[0])
        return name if name in self.fields else None


def words_field(label: Any, *, required: bool = True, rows: int = 3, help_text: Any = "") -> forms.CharField:
    """Free words, bounded."""
    return forms.CharField(
        label=label,
        required=required,
        max_length=LONGEST_WORDS,
        help_text=help_text,
        widget=forms.Textarea(attrs={"rows": rows}),
        error_messages={"required": gettext_lazy("Say it in words.")},
    )
