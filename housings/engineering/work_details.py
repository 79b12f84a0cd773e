"""What the work of a station is described by, besides that it was done: a small table of fields.

Straightening says where, how and how far; a furnace says how hot and how long, and keeps its chart; armor
says below which temperature its dummy plate came off. The other stations have none. Figures are kept as they
were typed, beside their unit, and judged by nobody here: what is allowed is said by the shop's procedure.
Source of the fields: common practice, no source.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType

__all__ = ["DETAILS", "DetailField", "DetailKind", "DetailProblem", "fields_of", "read_details"]


class DetailKind(StrEnum):
    NUMBER = "number"
    CHOICE = "choice"
    WORDS = "words"
    FILE = "file"  # SHA-256 of a filed document


@dataclass(frozen=True, slots=True)
class DetailField:
    """One field.

    `units`: the units it may be typed in, the first one is meant if none is said; the unit is kept under
    `unit_name`. `least` and `most` bound a number in any of its units and only catch slips of the pen.
    `choices` are pairs of code and words. It is `required` once anything is said at all; with `only_if` =
    (name, code) only where that choice was taken, and elsewhere it may not be said.
    """

    name: str
    label: str
    kind: DetailKind
    units: tuple[str, ...] = ()
    least: Decimal = Decimal(0)
    most: Decimal = Decimal(0)
    choices: tuple[tuple[str, str], ...] = ()
    required: bool = True
    only_if: tuple[str, str] | None = None
    hint: str = ""

    @property
    def unit_name(self) -> str:
        return f"{self.name}_unit"


@dataclass(frozen=True, slots=True)
class DetailProblem:
    """One reason against a description; `field` is the name of the field, `sentence` is for people."""

    field: str
    sentence: str


_LENGTH, _HEAT = ("in", "mm"), ("F", "C")
_LONGEST_WORDS = 200
_NUMBER = re.compile(r"[+-]?[0-9]{1,7}(?:[.,][0-9]{1,6})?")
_DIGEST = re.compile(r"[0-9a-f]{64}")


def _number(
    name: str,
    label: str,
    units: tuple[str, ...],
    bounds: str,
    *,
    required: bool = True,
    only_if: tuple[str, str] | None = None,
    hint: str = "",
) -> DetailField:
    least, most = (Decimal(bound) for bound in bounds.split(" to "))
    return DetailField(
        name, label, DetailKind.NUMBER, units, least, most, required=required, only_if=only_if, hint=hint
    )


def _choice(name: str, label: str, *choices: tuple[str, str], hint: str = "") -> DetailField:
    return DetailField(name, label, DetailKind.CHOICE, choices=choices, hint=hint)


_STRAIGHTEN = (
    _choice("method", "How", ("press", "press"), ("flame", "flame")),
    _choice("side", "Side", ("left", "left"), ("right", "right")),
    _number("place", "How far out from the center, along the tube", _LENGTH, "0 to 2000"),
    _choice(
        "direction",
        "Where it was pressed or heated, seen from the tube's end",
        *((str(hour), f"{hour} o'clock") for hour in (12, *range(1, 12))),
        hint="12 o'clock is the top of the housing as it sits on the truck.",
    ),
    _number(
        "force",
        "Greatest force of the press",
        ("lbf", "ton", "kN"),
        "0 to 500000",
        only_if=("method", "press"),
        required=False,
    ),
    _number(
        "peak_temperature",
        "Hottest that the spot became",
        _HEAT,
        "50 to 2500",
        only_if=("method", "flame"),
        hint="Heat above what the shop's procedure allows changes the steel: the procedure's figure counts.",
    ),
    _number(
        "how_far",
        "How far it was bent back",
        _LENGTH,
        "0 to 100",
        required=False,
        hint="What stayed after the force or the heat was gone, at the place itself.",
    ),
)
_STRESS_RELIEF = (
    _number("held_temperature", "Held at", _HEAT, "100 to 2500", hint="As the furnace's chart says."),
    _number("held_hours", "Hours held", ("hours",), "0 to 100"),
    _number("heating_rate", "Heated by, per hour", _HEAT, "0 to 2000", required=False),
    _number("cooling_rate", "Cooled by, per hour", _HEAT, "0 to 2000", required=False),
    DetailField("furnace", "Furnace and load", DetailKind.WORDS, required=False),
    DetailField(
        "chart",
        "The furnace's chart",
        DetailKind.FILE,
        required=False,
        hint="PDF, PNG, JPEG or CSV, at most 10 MB.",
    ),
)
_ARMOR = (
    _number(
        "plate_off_below",
        "The dummy plate came off when the housing was below",
        _HEAT,
        "0 to 1000",
        hint="The procedure's figure counts; while it is hotter, the plate keeps the face flat.",
    ),
)

DETAILS: Mapping[str, tuple[DetailField, ...]] = MappingProxyType(
    {"straighten": _STRAIGHTEN, "stress_relief": _STRESS_RELIEF, "armor": _ARMOR}
)
"""The fields of each station that has any, by the station's code (read only)."""


def fields_of(station: str) -> tuple[DetailField, ...]:
    """The fields by which a station's work is described; none for most.

    >>> [field.name for field in fields_of("armor")], fields_of("jig")
    (['plate_off_below'], ())
    """
    return DETAILS.get(station, ())


def read_details(
    station: str, given: Mapping[str, object]
) -> tuple[dict[str, str], tuple[DetailProblem, ...]]:
    """A description as it is kept, all text, and every reason against it.

    What is empty counts as not said. Nothing said at all is no description and no problem.

    >>> read_details("armor", {"plate_off_below": "140"})
    ({'plate_off_below': '140', 'plate_off_below_unit': 'F'}, ())
    >>> _, problems = read_details("straighten", {"method": "flame", "force": "3"})
    >>> [problem.field for problem in problems]
    ['side', 'place', 'direction', 'force', 'peak_temperature']
    """
    said = {name: value for name, value in given.items() if value is not None and str(value).strip() != ""}
    fields = fields_of(station)
    known = {field.name for field in fields} | {field.unit_name for field in fields if field.units}
    problems = [
        DetailProblem(name[:40], "The work of this station has no such detail.")
        for name in said
        if name not in known
    ]
    if not any(field.name in said for field in fields):
        return {}, tuple(problems)
    kept: dict[str, str] = {}
    for field in fields:
        problems += _read(field, said, kept)
    return ({} if problems else kept), tuple(problems)


def _read(field: DetailField, said: Mapping[str, object], kept: dict[str, str]) -> Iterator[DetailProblem]:
    """Reads one field into what is kept, or says why not."""
    applies = field.only_if is None or said.get(field.only_if[0]) == field.only_if[1]
    if field.name not in said:
        if applies and field.required:
            yield DetailProblem(field.name, "This is needed.")
        return
    if not applies and field.only_if:
        yield DetailProblem(field.name, f"This is said only where the work was done by {field.only_if[1]}.")
        return
    text = str(said[field.name]).strip()
    if why := _wrong(field, text):
        yield DetailProblem(field.name, why)
        return
    kept[field.name] = text.replace(",", ".").lstrip("+") if field.kind is DetailKind.NUMBER else text
    if field.units:
        unit = str(said.get(field.unit_name) or field.units[0])
        if unit not in field.units:
            yield DetailProblem(field.unit_name, f"The unit is one of {', '.join(field.units)}.")
        kept[field.unit_name] = unit


def _wrong(field: DetailField, text: str) -> str:
    match field.kind:
        case DetailKind.NUMBER:
            if not _NUMBER.fullmatch(text):
                return "Write a plain number with a decimal point or comma, without its unit."
            number = Decimal(text.replace(",", "."))
            if not field.least <= number <= field.most:
                return f"{text} cannot be right: it lies between {field.least} and {field.most}."
        case DetailKind.CHOICE:
            if text not in dict(field.choices):
                return f"It is one of: {', '.join(code for code, _words in field.choices)}."
        case DetailKind.WORDS:
            if len(text) > _LONGEST_WORDS or not text.isprintable():
                return f"Say it in one line of at most {_LONGEST_WORDS} characters."
        case DetailKind.FILE:
            if not _DIGEST.fullmatch(text):
                return "A document is named by its SHA-256."
    return ""
