"""The pictures of a certificate, drawn from its frozen facts alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from inspections.pictures import Mark, Picture, housing_picture, picture_of, place_of
from inspections.pictures.housing import NAMES, worst_of

Row = Mapping[str, Any]
MARKS = {"pass": "pass", "accepted": "pass", "fail": "fail", "undecided": "undecided"}
PATTERN, HOLE, FACE_TO_AXIS, ENDS = "hole_pattern", "hole_center", "face_to_axis", "end_alignment"

ORDER = ("face_points", FACE_TO_AXIS, "pilot_to_axis", PATTERN, ENDS, "runout", "shaft_clearance")


@dataclass(frozen=True)
class Shown:
    """A picture beside its group of results, under the name of what it shows."""

    name: str
    picture: Picture


@dataclass(frozen=True)
class _Drawn:
    """What is drawn of a row: the words of `pictures.dispatch.Drawn`."""

    kind: str
    unit: str
    part: str
    parameters: Mapping[str, Any]


def with_pictures(facts: Mapping[str, Any]) -> dict[str, Any]:
    """Facts with ``pictures`` in each group of results, and the housing itself as ``map``.

    Facts of format 1 hold no parameters to draw from; they stay without pictures.
    """
    groups = [{**group, "pictures": list(pictures_of(group["rows"]))} for group in facts["results"]]
    return {**facts, "results": groups, "map": _map(facts)}


def pictures_of(rows: Sequence[Row]) -> Iterator[Shown]:
    """The pictures of one group, each measuring once."""
    holes = [row for row in rows if row.get("kind") == HOLE]
    if len(holes) > 1 and (pattern := _pattern_of(holes)) is not None:
        yield pattern
    seen: set[str] = set()
    for row in sorted(rows, key=lambda row: _order(row.get("kind"))):
        about = _about(row)
        if about is None or about in seen or (row["kind"] == HOLE and len(holes) > 1):
            continue
        if (picture := _picture(row)) is not None:
            seen.add(about)
            yield Shown(_name(row), picture)


def _about(row: Row) -> str | None:
    """What a picture would show; two rows with the same answer share one picture."""
    kind = row.get("kind")
    if kind is None:
        return None
    quantity = str(row["parameters"].get("quantity", ""))
    if kind == ENDS:
        return quantity.partition("_")[0]
    # Distance and parallelism are read from one picture of the face over the axis.
    return kind if kind == FACE_TO_AXIS else str(row["code"])


def _order(kind: str | None) -> int:
    """Pictures of one kind stand side by side."""
    return ORDER.index(kind) if kind in ORDER else len(ORDER)


def _name(row: Row) -> str:
    if row["kind"] == ENDS:
        return _("Camber") if _about(row) == "camber" else _("Toe")
    return str(row["name"])


def _picture(row: Row) -> Picture | None:
    parameters = row["parameters"]
    if row["kind"] == ENDS:
        parameters = {**parameters, "quantity": f"{_about(row)}_"}
    drawn = _Drawn(row["kind"], row["unit"], row["part"], parameters)
    return picture_of(drawn, row["raw"], row["detail"], row["lower"], row["upper"], row["value"])


def _pattern_of(holes: Sequence[Row]) -> Shown | None:
    """Holes that were measured one by one, as the pattern they make; its zone is the same for all of them."""
    centers = [[row["parameters"][f"nominal_{axis}"] for axis in ("x", "y")] for row in holes]
    uppers = {row["upper"] for row in holes}
    units = {row["raw"].get("unit", row["unit"]) for row in holes}
    if len(uppers) > 1 or len(units) > 1:
        return None
    raw = {"holes": [[row["raw"]["x"], row["raw"]["y"]] for row in holes], "unit": units.pop()}
    detail = {"holes": [{"inside": row["verdict"] == "pass"} for row in holes]}
    drawn = _Drawn(PATTERN, holes[0]["unit"], holes[0]["part"], {"centers": centers})
    worst = max(holes, key=lambda row: float(row["value"]))
    picture = picture_of(drawn, raw, detail, None, uppers.pop(), worst["value"])
    return None if picture is None else Shown(_("The holes of the face"), picture)


def _map(facts: Mapping[str, Any]) -> Picture | None:
    """The housing with a mark at each place where something was measured."""
    shape = facts["housing"].get("shape")
    if not shape:
        return None
    places: dict[str, list[str]] = {}
    for group in facts["results"]:
        for row in group["rows"]:
            places.setdefault(place_of(row["code"], row["part"]), []).append(MARKS.get(row["state"], "open"))
    marks = {
        name: Mark(worst_of(states), str(len(states)), _("%(count)s results") % {"count": len(states)})
        for name in NAMES
        if (states := places.get(name))
    }
    return housing_picture(shape, marks)
