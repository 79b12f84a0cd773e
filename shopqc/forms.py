"""Forms that end in one operation, and what a refusal says beside their fields."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shopqc.dispatch import new_key
from shopqc.refusals import KINDS, Reason

SENT_BEFORE = _(
    "This page was sent before with something else, and that was done. "
    "Look at it; if you want this as well, send it now."
)


class KeyedForm(forms.Form):
    """A form with the key under which its operation runs.

    The key is made when the page is rendered, so that a double click, a reload
    of the answer or a retry after a lost connection runs nothing twice.
    """

    # What is missing is said by us, in our words, and all of it at once.
    use_required_attribute = False

    sent_key = forms.CharField(widget=forms.HiddenInput, required=False, max_length=100)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["sent_key"].initial = new_key
        for field in self.fields.values():
            # A field that asks in words of its own keeps them.
            if field.error_messages.get("required") == forms.Field.default_error_messages["required"]:
                field.error_messages["required"] = str(KINDS["field_missing"].sentence)

    @property
    def key(self) -> str:
        """The key, or a new one if a page was sent without."""
        return self.cleaned_data.get("sent_key") or new_key()

    def say(self, reasons: Iterable[Reason]) -> None:
        """Put each reason beside the field it is about, or above all of them."""
        for reason in reasons:
            if reason.code == "key_reused":
                # Sent, changed after going back, sent again: the first stands, and this is a new request.
                self._renew_key()
                self.add_error(None, SENT_BEFORE)
                continue
            name = (reason.field or "").rpartition("/")[2]
            self.add_error(name if name in self.fields else None, reason.sentence)

    def _renew_key(self) -> None:
        given: Any = self.data
        data = given.copy()
        data[self.add_prefix("sent_key")] = new_key()
        self.data = data
