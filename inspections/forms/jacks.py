"""Where the housing rests on its jacks under the mill: typed once, kept for the session."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from inspections.forms.numbers import NumberField

LEAST, MOST = 3, 6
LARGEST = 1000
Place = tuple[str, str]


class JacksForm(forms.Form):
    """x and y of three to six jacks, in inches; a jack without figures is left out."""

    use_required_attribute = False

    def __init__(self, *args: Any, kept: Iterable[Place] = (), **kwargs: Any) -> None:
        places = list(kept)
        initial = {
            f"{axis}_{n}": v for n, place in enumerate(places) for axis, v in zip("xy", place, strict=True)
        }
        super().__init__(*args, **{"initial": initial, **kwargs})
        for number in range(MOST):
            for axis in "xy":
                self.fields[f"{axis}_{number}"] = NumberField(
                    signed=True,
                    required=False,
                    label=_("Jack %(number)s, %(axis)s") % {"number": number + 1, "axis": axis},
                )

    @property
    def rows(self) -> list[tuple[int, forms.BoundField, forms.BoundField]]:
        return [(number + 1, self[f"x_{number}"], self[f"y_{number}"]) for number in range(MOST)]

    def clean(self) -> dict[str, Any]:
        typed = self.cleaned_data
        places: list[Place] = []
        for number in range(MOST):
            x, y = (typed.get(f"{axis}_{number}", "") for axis in "xy")
            for axis, value in (("x", x), ("y", y)):
                if value and abs(float(value)) > LARGEST:
                    self.add_error(f"{axis}_{number}", _("No jack stands that far away; give inches."))
            if bool(x) != bool(y):
                self.add_error(f"{'y' if x else 'x'}_{number}", _("A jack has both, x and y."))
            elif x:
                places.append((str(x), str(y)))
        if places and len(places) < LEAST:
            raise ValidationError(_("A face is leveled on three jacks at least."))
        self.places = places
        return typed
