"""The sheet on which a route is written: read from what was sent, changed by one button."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from housings.engineering.stations import STATIONS
from housings.models.routes import WITH_LINKS
from shopqc.forms import KeyedForm
from shopqc.whole_numbers import whole

GROUPS = (1, 2, 3, 4)
MOST_STATIONS = 60
Row = dict[str, Any]


class SheetForm(KeyedForm):
    """The head of the sheet: its name, and why it changes."""

    version = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
    name = forms.CharField(
        label=_("Name of the route"),
        help_text=_("Orders go by the route “standard” unless they name another one."),
        max_length=40,
    )
    note = forms.CharField(
        label=_("Why this revision"),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


def rows_sent(data: Mapping[str, Any]) -> list[Row]:
    """The stations of the sheet as they were sent; what the catalogue does not have is left out."""
    rows: list[Row] = []
    for index in range(MOST_STATIONS):
        code = data.get(f"station_{index}")
        if code is None:
            break
        if code not in STATIONS:
            continue
        row: Row = {"station": code}
        if data.get(f"links_{index}"):
            row["when"] = WITH_LINKS
        group = str(data.get(f"group_{index}", ""))
        if group in map(str, GROUPS):
            row["group"] = int(group)
        rows.append(row)
    return rows


def changed(rows: Sequence[Row], do: str, add: str) -> list[Row]:
    """The rows after a button: ``up 3``, ``down 3``, ``remove 3``, ``add``; anything else changes nothing.

    A new station comes where the catalogue has it, as far as the others stand in its order.
    """
    made = list(rows)
    what, _space, place = do.partition(" ")
    if what == "add" and add in STATIONS and len(made) < MOST_STATIONS:
        order = list(STATIONS)
        later = [i for i, row in enumerate(made) if order.index(row["station"]) > order.index(add)]
        made.insert(later[0] if later else len(made), {"station": add})
        return made
    index = whole(place)
    if index is None or index >= len(made):
        return made
    match what:
        case "remove":
            del made[index]
        case "up" if index > 0:
            made[index - 1], made[index] = made[index], made[index - 1]
        case "down" if index + 1 < len(made):
            made[index], made[index + 1] = made[index + 1], made[index]
    return made
