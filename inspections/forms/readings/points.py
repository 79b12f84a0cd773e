"""Points that a probe touched, feature by feature: the face, both journals, the bore, the holes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.forms.readings.rows import MOST_ROWS, Column, Rows
from inspections.forms.readings.sheet import Sheet
from inspections.forms.readings.wrong import Wrong
from inspections.models.plans import FACE_POINTS, FACE_TO_AXIS, HOLE_PATTERN, PILOT_TO_AXIS

XYZ = (Column("x", "x"), Column("y", "y"), Column("z", "z"))
XY = (Column("x", "x"), Column("y", "y"))
# From the name a raw reading has for a feature to the feature: what each kind is made of.
MADE_OF: Mapping[str, Mapping[str, str]] = {
    FACE_POINTS: {"points": "face"},
    FACE_TO_AXIS: {"face": "face", "left": "left", "right": "right"},
    PILOT_TO_AXIS: {"bore": "bore", "left": "left", "right": "right"},
    HOLE_PATTERN: {"holes": "holes"},
}
ORDER = ("face", "left", "right", "bore", "holes")
NAMES = {
    "face": gettext_lazy("Points of the face"),
    "left": gettext_lazy("Left journal"),
    "right": gettext_lazy("Right journal"),
    "bore": gettext_lazy("Points of the pilot bore"),
    "holes": gettext_lazy("Centers of the holes"),
}
POINTS_OFFERED = {"left": 6, "right": 6, "bore": 6}


@dataclass(frozen=True)
class Feature:
    """A feature with its table on the page."""

    code: str
    name: Any
    hint: str
    rows: Rows


class PointsSheet(Sheet):
    """The features that the characteristics of this measuring are made of, each typed or pasted.

    What is left out stays due: a face probed without the journals gives its flatness and no distance.
    """

    template = "points.html"

    @cached_property
    def codes(self) -> list[str]:
        wanted = {feature for kind in self.measuring.kinds for feature in MADE_OF[kind].values()}
        return [feature for feature in ORDER if feature in wanted]

    @property
    def supports(self) -> tuple[str, ...]:  # type: ignore[override]
        return ("v_blocks", "bar", "table") if "left" in self.codes else ()

    @cached_property
    def features(self) -> list[Feature]:
        return [Feature(code, NAMES[code], self._hint(code), self._rows(code)) for code in self.codes]

    def _rows(self, code: str) -> Rows:
        prefix = "" if code == self.codes[0] else f"{code}_"
        columns = XY if code == "holes" else XYZ
        row_name = _("Hole") if code == "holes" else _("Point")
        count = min(POINTS_OFFERED.get(code, self.points), self.points, MOST_ROWS)
        return Rows(
            columns, NAMES[code], prefix, count, row_name, paste_rows=8 if code == self.codes[0] else 3
        )

    def _hint(self, code: str) -> str:
        match code:
            case "face":
                return _("At least %(least)d points, spread over the whole face; x, y and z, one a line.") % {
                    "least": self.measuring.least(4)
                }
            case "left" | "right":
                return _(
                    "Points round the journal; or one point: the center of its V-block, or of the bar there."
                )
            case "bore":
                return _("At least three points round the bore, or its center as one point.")
        return _("x and y of each center, one a line.")

    def fields(self) -> dict[str, forms.Field]:
        return {name: field for feature in self.features for name, field in feature.rows.fields().items()}

    @property
    def tables(self) -> list[dict[str, Any]]:
        """Each feature with its fields, for the template."""
        return [
            {
                "feature": feature,
                "rows": [
                    [self.form[feature.rows.name(column, number)] for column in feature.rows.columns]
                    for number in range(1, feature.rows.count + 1)
                ],
                "list": self.form[feature.rows.list_name],
            }
            for feature in self.features
        ]

    @property
    def points_offered(self) -> int:
        """How many points of the first feature are offered to be typed one by one."""
        return min(max(self.measuring.least(4), 12), MOST_ROWS)

    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        found = {feature.code: feature.rows.read(data) for feature in self.features}
        made: dict[str, dict[str, Any]] = {}
        for characteristic in self.measuring.characteristics:
            needs = MADE_OF[characteristic.kind]
            if all(found.get(feature) for feature in needs.values()):
                raw: dict[str, Any] = {name: found[feature] for name, feature in needs.items()}
                if characteristic.kind == PILOT_TO_AXIS and found.get("face"):
                    raw["face"] = found["face"]
                made[characteristic.code] = self.with_unit(raw, data)
        if not made:
            raise Wrong(*self._what_is_missing(found))
        return made

    def _what_is_missing(self, found: Mapping[str, Any]) -> tuple[str, str]:
        missing = [feature for feature in self.features if not found[feature.code]]
        if len(self.features) == 1:
            return self.features[0].rows.first_name, _("Paste or type the points, one a line.")
        names = ", ".join(str(feature.name) for feature in missing)
        return missing[0].rows.first_name, _("Nothing can be worked out yet. Missing: %(names)s.") % {
            "names": names
        }

    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        made: dict[str, Any] = {}
        for characteristic in self.measuring.characteristics:
            raw = raws.get(characteristic.code, {})
            for name, code in MADE_OF[characteristic.kind].items():
                for feature in self.features:
                    if feature.code == code and name in raw:
                        made |= feature.rows.initial(raw[name])
            if "unit" in raw:
                made["unit"] = raw["unit"]
        return made
