"""Which column of a file is what: guessed from its headings, and changeable by the person."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from inspections.probe_files.figures import is_figure
from inspections.probe_files.refusal import Unreadable
from inspections.probe_files.table import Table

__all__ = ["FEATURES", "ROLES", "Shape", "feature_named", "guess", "roles_of"]


class Shape(StrEnum):
    """What a file holds.

    POINTS x, y, z of a face or of several features · TURN readings round one turn · HOLES x, y of holes ·
    VALUES one figure a line · ALONG offsets x, y at places z along a bar · BORES the same with the bore's
    diameter · LOG pressures over minutes.
    """

    POINTS = "points"
    TURN = "turn"
    HOLES = "holes"
    VALUES = "values"
    ALONG = "along"
    BORES = "bores"
    LOG = "log"


@dataclass(frozen=True, slots=True)
class Role:
    """What a column can be: its name, whether a file can do without it, and the headings it has."""

    name: str
    needed: bool
    headings: tuple[str, ...]


_FEATURE = Role("feature", False, ("feature", "element", "label", "name", "object", "where"))
_X = Role("x", True, ("x", "xcoord", "xcoordinate", "posx", "xpos", "measx", "xmeas", "xactual", "actualx"))
_Y = Role("y", True, ("y", "ycoord", "ycoordinate", "posy", "ypos", "measy", "ymeas", "yactual", "actualy"))
_Z = Role("z", True, ("z", "zcoord", "zcoordinate", "posz", "zpos", "measz", "zmeas", "zactual", "actualz"))
_ALONG = Role("z", True, (*_Z.headings, "along", "place", "station", "distance"))
_NAMES_OF_A_VALUE = ("reading", "readings", "value", "indicator", "dial", "meas", "measured", "actual")
_VALUE = Role("reading", True, (*_NAMES_OF_A_VALUE, "diameter", "size", "tir", "fim"))
_ANGLE = Role(
    "angle", False, ("angle", "clock", "position", "place", "theta", "deg", "degrees", "hour", "oclock")
)

_BORE = Role("bore", True, ("bore", "borediameter", "diameter", "dia", "d", "inside"))

ROLES: Mapping[Shape, tuple[Role, ...]] = {
    Shape.POINTS: (_FEATURE, _X, _Y, _Z),
    Shape.TURN: (_ANGLE, _VALUE),
    Shape.HOLES: (Role("hole", False, ("hole", "no", "number", "id", "nr", *_FEATURE.headings)), _X, _Y),
    Shape.VALUES: (_VALUE,),
    Shape.ALONG: (
        _ALONG,
        _X,
        _Y,
        Role("rolled_x", False, ("rolledx", "xrolled", "x180", "x2")),
        Role("rolled_y", False, ("rolledy", "yrolled", "y180", "y2")),
    ),
    Shape.BORES: (_ALONG, _X, _Y, _BORE),
    Shape.LOG: (
        Role("minutes", True, ("minutes", "minute", "min", "time", "t", "elapsed")),
        Role("pressure", True, ("pressure", "press", "psi", "psig", "p", "gauge")),
        Role("temperature", False, ("temperature", "temp", "parttemperature", "airtemperature")),
    ),
}

FEATURES: Mapping[str, tuple[str, ...]] = {
    "face": ("face", "plane", "flange", "plan"),
    "left": ("left", "l", "lh", "leftjournal", "journalleft", "leftsnout", "a"),
    "right": ("right", "r", "rh", "rightjournal", "journalright", "rightsnout", "b"),
    "bore": ("bore", "pilot", "pilotbore"),
    "holes": ("holes", "hole", "pattern", "boltcircle"),
}


def roles_of(shape: Shape) -> tuple[Role, ...]:
    """What the columns of a file of this shape can be."""
    return ROLES[shape]


def feature_named(written: str, features: Sequence[str]) -> str | None:
    """The feature that a file calls so (``"Left journal 2"`` is left); None if it has to be asked."""
    bare = re.sub(r"[\W\d_]+", "", written.casefold())
    for feature in features:
        if bare == feature or bare in FEATURES.get(feature, ()):
            return feature
    return None


def guess(table: Table, shape: Shape) -> dict[str, int]:
    """Which column (from 0) has which role: by its heading, else, in a file without headings, by its place.

    A role that no column answers to is left out; the person chooses it.
    """
    roles = ROLES[shape]
    found: dict[str, int] = {}
    if table.has_header:
        bare = [re.sub(r"[^\w]+|_", "", column.name.casefold()) for column in table.columns]
        for role in roles:
            place = next((bare.index(name) for name in role.headings if name in bare), None)
            if place is not None and place not in found.values():
                found[role.name] = place
        return _the_only_one_left(table, shape, found)
    figures = [place for place, cell in enumerate(table.rows[0].cells) if _begins_like_a_figure(cell)]
    words = [place for place in range(len(table.columns)) if place not in figures]
    needed = [role.name for role in roles if role.needed]
    optional = [role.name for role in roles if not role.needed]
    if optional and optional[0] in ("feature", "hole") and words:
        found[optional[0]] = words[0]
    elif len(figures) == len(needed) + 1 and _counts(table, figures[0]):
        # The points are numbered.
        first = figures.pop(0)
        if "hole" in optional:
            found["hole"] = first
    elif len(figures) == len(needed) + 1 and optional and optional[0] not in ("feature", "hole"):
        needed = [role.name for role in roles if role.needed or role.name == optional[0]]
    if len(figures) == len(needed):
        found |= dict(zip(needed, figures, strict=True))
    return found


def _the_only_one_left(table: Table, shape: Shape, found: dict[str, int]) -> dict[str, int]:
    """A file with one column of figures says its readings, whatever it calls them."""
    missing = [role.name for role in ROLES[shape] if role.needed and role.name not in found]
    if missing == ["reading"]:
        figures = [
            place
            for place, cell in enumerate(table.rows[0].cells)
            if is_figure(cell) and place not in found.values()
        ]
        if len(figures) == 1:
            return {**found, "reading": figures[0]}
    return found


def _begins_like_a_figure(cell: str) -> bool:
    """Whether a cell is a number or was meant to be one; a broken one is said when it is taken."""
    return is_figure(cell) or cell[:1] in tuple("+-.,0123456789")


def _counts(table: Table, place: int) -> bool:
    """Whether a column counts the rows: 1, 2, 3 … (or from 0)."""
    if len(table.rows) < 2:
        return False
    first = table.rows[0].cells[place]
    return first in ("0", "1") and all(
        row.cells[place] == str(int(first) + number) for number, row in enumerate(table.rows)
    )


def check_columns(table: Table, shape: Shape, columns: Mapping[str, int]) -> None:
    """Refuse columns that a reading cannot be taken from.

    Raises
    ------
    Unreadable
        A role that is needed has no column, or two roles have the same one.
    """
    missing = [role.name for role in ROLES[shape] if role.needed and role.name not in columns]
    if missing:
        what = "column" if len(missing) == 1 else "columns"
        raise Unreadable(
            f"The {what} {', '.join(missing)} cannot be found. The file has: {', '.join(table.names)}."
        )
    for role, place in columns.items():
        if not 0 <= place < len(table.columns):
            raise Unreadable(f"There is no column {place + 1} for {role}. The file has {len(table.columns)}.")
        if other := next((name for name, at in columns.items() if at == place and name != role), None):
            raise Unreadable(f"Column {table.names[place]} cannot be {role} and {other} at once.")
