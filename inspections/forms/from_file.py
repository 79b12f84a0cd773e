"""Readings out of a file: what an instrument wrote, what of it is guessed or remembered, what is asked."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections import probe_files
from inspections.forms.readings.diameters import DiametersSheet
from inspections.forms.readings.points import MADE_OF, ORDER
from inspections.measuring import PROBED, Measuring
from inspections.models.plans import (
    DIAMETERS,
    END_ALIGNMENT,
    HOLE_CENTER,
    HOLE_PATTERN,
    PILOT_TO_AXIS,
    PRESSURE_LOSS,
    RUNOUT,
    SHAFT_CLEARANCE,
    SIZE,
)
from inspections.probe_files import Shape, Table, Taken, Unreadable
from inspections.verdicts import LENGTHS, MOST_POINTS

SHAPES = {
    RUNOUT: Shape.TURN,
    HOLE_CENTER: Shape.HOLES,
    HOLE_PATTERN: Shape.HOLES,
    DIAMETERS: Shape.VALUES,
    SIZE: Shape.VALUES,
    END_ALIGNMENT: Shape.ALONG,
    SHAFT_CLEARANCE: Shape.BORES,
    PRESSURE_LOSS: Shape.LOG,
}
ROLE_WORDS = {
    "feature": gettext_lazy("name of the feature"),
    "hole": gettext_lazy("number of the hole"),
    "angle": gettext_lazy("place on the clock, or angle"),
    "reading": gettext_lazy("reading"),
    "minutes": gettext_lazy("minutes"),
    "pressure": gettext_lazy("pressure"),
    "temperature": gettext_lazy("temperature"),
    "rolled_x": gettext_lazy("x after rolling 180°"),
    "rolled_y": gettext_lazy("y after rolling 180°"),
    "bore": gettext_lazy("bore"),
}
FEATURE_WORDS = {
    "face": gettext_lazy("the face"),
    "left": gettext_lazy("the left journal"),
    "right": gettext_lazy("the right journal"),
    "bore": gettext_lazy("the pilot bore"),
    "holes": gettext_lazy("the holes"),
}
# What of the names in a file is asked about at most; more of them are no features.
MOST_NAMES = 40
LEFT_OUT = "-"


def shape_of(measuring: Measuring) -> Shape | None:
    """What a file for this measuring holds; None where it is looked at or turned and no file says it."""
    kinds = measuring.kinds
    if len(kinds) == 1 and (kind := next(iter(kinds))) in SHAPES:
        return SHAPES[kind]
    return Shape.POINTS if kinds <= PROBED else None


def most_of(measuring: Measuring) -> int:
    """How many rows one reading takes at most (of each feature)."""
    match measuring.first.kind:
        case kind if measuring.is_set:
            return MOST_POINTS
        case kind if kind in {SIZE, HOLE_CENTER}:
            return 1
        case kind if kind == HOLE_PATTERN:
            return len(measuring.first.parameters.get("centers", ())) or MOST_POINTS
        case kind if kind == DIAMETERS:
            return len(DiametersSheet(measuring).names)
    return MOST_POINTS


class FileForm(forms.Form):
    """What the columns of a file are, as guessed, remembered or chosen; ``table`` is the file.

    Sent by GET, so that every choice can be looked at before anything is done with it: ``given`` is what was
    sent, ``remembered`` what was chosen for the last file with these headings.
    """

    file = forms.CharField(max_length=64, widget=forms.HiddenInput)
    name = forms.CharField(max_length=120, required=False, widget=forms.HiddenInput)

    def __init__(
        self,
        measuring: Measuring,
        shape: Shape,
        table: Table,
        given: Mapping[str, str],
        remembered: Mapping[str, str],
    ) -> None:
        super().__init__(data=given)
        self.measuring, self.shape, self.table = measuring, shape, table
        self.given, self.remembered = given, remembered
        # What is sent counts, then what was chosen for the last such file, then what can be guessed.
        self.chosen = {"file": given.get("file", ""), "name": given.get("name", "")}
        self.data = self.chosen
        if given.get("decimal"):
            self._ask("decimal", _("Decimal mark"), [(".", _("point")), (",", _("comma"))])
        self._ask_columns()
        if self.asks_unit:
            self._ask("unit", _("Unit of length"), [("in", _("in")), ("mm", _("mm"))])
        if self._asks_temperature_unit:
            self._ask("temperature_unit", _("Temperatures in"), [("F", "°F"), ("C", "°C")])
        self._ask_features()

    def _ask(
        self, name: str, label: Any, choices: list[tuple[str, Any]], guess: str = "", empty: Any = None
    ) -> None:
        self.fields[name] = forms.ChoiceField(
            label=label, required=False, choices=[("", empty or _("not said")), *choices]
        )
        self.chosen[name] = self.given.get(name, self.remembered.get(name, guess))

    # --- what is asked --------------------------------------------------------------------------------
    def _ask_columns(self) -> None:
        guessed = probe_files.guess(self.table, self.shape)
        choices = [
            (str(place), f"{name} [{column.unit}]" if column.unit else name)
            for place, (name, column) in enumerate(zip(self.table.names, self.table.columns, strict=True))
        ]
        # What a file must have stands first; what it may have besides, after it.
        for role in sorted(probe_files.roles_of(self.shape), key=lambda role: not role.needed):
            if role.name == "feature" and not self.features:
                continue
            label = ROLE_WORDS.get(role.name, role.name)
            empty = None if role.needed else _("no such column")
            self._ask(f"column_{role.name}", label, choices, str(guessed.get(role.name, "")), empty)

    @cached_property
    def features(self) -> tuple[str, ...]:
        """The features of this measuring that a file of points can hold."""
        if self.shape is not Shape.POINTS:
            return ()
        wanted = {feature for kind in self.measuring.kinds for feature in MADE_OF[kind].values()}
        return tuple(feature for feature in ORDER if feature in wanted)

    @property
    def asks_unit(self) -> bool:
        """Whether the file leaves open in which unit its lengths are."""
        if self.shape is Shape.LOG or self.measuring.unit not in LENGTHS:
            return False
        said = self.table.unit or any(column.unit in LENGTHS for column in self.table.columns)
        return not said and not any(map(_says_a_length, self.table.rows[0].cells))

    @property
    def _asks_temperature_unit(self) -> bool:
        place = self._place("temperature") if self.shape is Shape.LOG else None
        return place is not None and self.table.columns[place].unit not in ("F", "C")

    def _ask_features(self) -> None:
        words = [(feature, FEATURE_WORDS[feature]) for feature in self.features]
        place = self._place("feature")
        if place is None:
            if len(self.features) > 1:
                # As many points as a face has at least are those of a face; fewer may be of anything.
                many = len(self.table.rows) >= self.measuring.least(4)
                self._ask("called", _("All points are of"), words, self.features[0] if many else "")
            return
        for name in probe_files.feature_names(self.table, place)[:MOST_NAMES]:
            guessed = probe_files.feature_named(name, self.features) or ""
            # By the name and not by its number: another column of names asks other questions.
            field = f"called_{hashlib.sha256(name.encode()).hexdigest()[:12]}"
            label = _("“%(name)s” is") % {"name": name[:40]}
            self._ask(field, label, [*words, (LEFT_OUT, _("left out"))], guessed)
            self.names[field] = name

    @cached_property
    def names(self) -> dict[str, str]:
        """What the file calls its features, by the field that asks what is meant."""
        return {}

    def _place(self, role: str) -> int | None:
        """The column that is chosen for a role."""
        chosen = self.data.get(f"column_{role}", "")
        place = int(chosen) if chosen.isdecimal() and len(chosen) < 4 else -1
        return place if 0 <= place < len(self.table.columns) else None

    @property
    def columns(self) -> dict[str, int]:
        """The column (from 0) that is chosen for each role."""
        roles = [role.name for role in probe_files.roles_of(self.shape)]
        return {role: place for role in roles if (place := self._place(role)) is not None}

    @property
    def unit(self) -> str:
        """The unit of the file's lengths: what the file says, else what is chosen; empty if neither is."""
        said = [self.table.unit, *(column.unit for column in self.table.columns), self.chosen.get("unit", "")]
        return next((unit for unit in said if unit in LENGTHS), "") if self.shape is not Shape.LOG else ""

    # --- what was chosen ------------------------------------------------------------------------------
    def choices(self) -> dict[str, str]:
        """Everything that is chosen, to be remembered for the next file with these headings."""
        return {name: self.data[name] for name in self.fields if name not in ("file", "name", "decimal")}

    def taken(self) -> Taken:
        """The figures of the file as its columns are chosen now.

        Raises
        ------
        Unreadable
            With a sentence: what of the file cannot be taken, or what has to be chosen first.
        """
        if not self.is_valid():
            raise Unreadable(_("Choose one of the columns that the file has."))
        found = probe_files.take(
            self.table,
            self.shape,
            self.columns,
            what=self.measuring.name,
            most=most_of(self.measuring),
            features=self.features,
            called=self._called(),
        )
        if self.asks_unit and not found.unit and not self.data["unit"]:
            raise Unreadable(
                _("Nothing in the file says whether its lengths are in inches or in mm. Say it.")
            )
        return found

    def _called(self) -> dict[str, str]:
        """What each name of the file means; ``""`` leaves its rows out."""
        if only := self.data.get("called"):
            return {"": only}
        meant = {name: self.data[field] for field, name in self.names.items()}
        return {name: "" if what == LEFT_OUT else what for name, what in meant.items() if what}

    def raws(self) -> dict[str, dict[str, Any]]:
        """The raw reading of each characteristic that the file gives, by code.

        Raises
        ------
        Unreadable
            As `taken`, or because the file has nothing that one of them is made of.
        """
        found = self.taken()
        unit = found.unit or self.data.get("unit", "")
        said = {"unit": unit} if unit else {}
        raws = {}
        for characteristic in self.measuring.characteristics:
            if raw := self._raw(characteristic.kind, found):
                raws[characteristic.code] = {**raw, **said}
        if not raws:
            missing = [str(FEATURE_WORDS[feature]) for feature in self.features if feature not in found.parts]
            raise Unreadable(
                _("Nothing can be worked out of this file. It has nothing of: %(names)s.")
                % {"names": ", ".join(missing)}
            )
        return raws

    def _raw(self, kind: str, found: Taken) -> dict[str, Any]:
        if self.shape is Shape.POINTS:
            return _of_features(kind, found)
        rows = found.parts[""]
        columns = {name: [row[place] for row in rows] for place, name in enumerate(found.columns)}
        match kind:
            case _kind if _kind == SIZE:
                return {"value": rows[0][0]}
            case _kind if _kind == HOLE_CENTER:
                return dict(zip(("x", "y"), rows[0], strict=True))
            case _kind if _kind == HOLE_PATTERN:
                return {"holes": rows}
            case _kind if _kind == RUNOUT:
                return {"readings": columns["reading"]}
            case _kind if _kind == DIAMETERS:
                return {"values": columns["reading"]}
            case _kind if _kind == PRESSURE_LOSS:
                return self._log(columns, found)
        return columns

    def _log(self, columns: Mapping[str, list[str]], found: Taken) -> dict[str, Any]:
        made: dict[str, Any] = {
            "minutes": columns["minutes"],
            "pressures": columns["pressure"],
            "unit": found.pressure_unit or "psi",
        }
        if "temperature" in columns:
            unit = found.temperature_unit or self.data.get("temperature_unit", "")
            if not unit:
                raise Unreadable(_("Say whether the temperatures of the file are in °F or in °C."))
            made |= {"temperatures": columns["temperature"], "temperature_unit": unit}
        return made


def _says_a_length(cell: str) -> bool:
    """Whether a unit of length stands beside the figure of a cell."""
    try:
        return probe_files.figure(cell).unit in LENGTHS
    except Unreadable:
        return False


def _of_features(kind: str, found: Taken) -> dict[str, Any]:
    """The raw reading of a kind out of the features it is made of; empty if one is not in the file."""
    made: dict[str, Any] = {}
    for name, feature in MADE_OF[kind].items():
        rows = found.parts.get(feature) or found.parts.get("")
        if not rows:
            return {}
        made[name] = [row[:2] for row in rows] if feature == "holes" else rows
    if kind == PILOT_TO_AXIS and found.parts.get("face"):
        made["face"] = found.parts["face"]
    return made
