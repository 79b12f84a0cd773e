"""The fields of a build spec described as data, and how one plain JSON value is read as a field.

The order form, the import and the API are all made from this description. The ranges only catch slips
of the pen (a wall of 25 in); what goes with what is decided by `fit_rules`. Ranges are invented figures.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType

__all__ = ["FIELDS", "FieldKind", "FieldProblem", "SpecField", "Value", "read_value", "tidy"]

Value = Decimal | str | bool | None


class FieldKind(StrEnum):
    LENGTH = "length"  # inches
    ANGLE = "angle"  # degrees
    CHOICE = "choice"
    MATERIAL = "material"  # the name of a steel or of its condition, as people write it
    YES_NO = "yes_no"


@dataclass(frozen=True, slots=True)
class SpecField:
    """One field. `least` and `most` bound a number, both included; `choices` the text of a choice.

    A field that is not `required` takes `default` when it is left out or null.
    """

    name: str
    label: str
    kind: FieldKind
    least: Decimal = Decimal(0)
    most: Decimal = Decimal(0)
    choices: tuple[str, ...] = ()
    required: bool = True
    default: Value = None

    @property
    def unit(self) -> str:
        return {FieldKind.LENGTH: "in", FieldKind.ANGLE: "°"}.get(self.kind, "")


class FieldProblem(ValueError):
    """Why a value is none of its field; `code`, `sentence` and the words `facts` of the sentence."""

    def __init__(self, code: str, sentence: str, facts: Mapping[str, str]) -> None:
        super().__init__(sentence)
        self.code = code
        self.sentence = sentence
        self.facts = dict(facts)


def _number(
    kind: FieldKind, name: str, label: str, bounds: str, required: bool = True, default: Value = None
) -> SpecField:
    least, most = bounds.split(" to ")
    return SpecField(name, label, kind, Decimal(least), Decimal(most), required=required, default=default)


_FIELDS: tuple[SpecField, ...] = (
    _number(FieldKind.LENGTH, "tube_od", "Tube outside diameter", "2 to 6"),
    _number(FieldKind.LENGTH, "tube_wall", "Tube wall", "0.1 to 1"),
    SpecField("tube_grade", "Tube steel", FieldKind.MATERIAL),
    SpecField("tube_condition", "Condition of the tube steel", FieldKind.MATERIAL),
    SpecField("plate_grade", "Plate steel", FieldKind.MATERIAL),
    _number(FieldKind.LENGTH, "armor_thickness", "Armor plate thickness", "0.1 to 0.5"),
    _number(FieldKind.LENGTH, "snout_size", "Snout bearing size", "1.5 to 4"),
    SpecField("snout_grade", "Snout steel", FieldKind.MATERIAL),
    SpecField("shaft", "Shaft", FieldKind.CHOICE, choices=("35", "40", "race")),
    _number(FieldKind.LENGTH, "shaft_body", "Shaft body diameter", "1 to 3", required=False),
    _number(FieldKind.LENGTH, "width", "Housing width", "40 to 90"),
    _number(
        FieldKind.LENGTH,
        "center_offset",
        "Offset of the carrier",
        "-12 to 12",
        required=False,
        default=Decimal(0),
    ),
    _number(FieldKind.ANGLE, "camber", "Camber", "-3 to 3", required=False, default=Decimal(0)),
    _number(FieldKind.ANGLE, "toe", "Toe", "-2 to 2", required=False, default=Decimal(0)),
    SpecField("links", "Link tabs", FieldKind.YES_NO),
    _number(FieldKind.LENGTH, "bracket_offset", "Distance of the link brackets", "4 to 40", required=False),
    _number(FieldKind.ANGLE, "pinion_angle", "Pinion angle", "-15 to 30", required=False),
    SpecField(
        "vent_side",
        "Side of the vent",
        FieldKind.CHOICE,
        choices=("left", "right"),
        required=False,
        default="right",
    ),
    SpecField("drain", "Drain plug", FieldKind.YES_NO, required=False, default=True),
)

FIELDS = MappingProxyType({entry.name: entry for entry in _FIELDS})
"""Every field by its name, in the order of a form (read only)."""

_PLAIN_NUMBER = re.compile(r"[+-]?[0-9]{1,6}(?:[.,][0-9]{1,8})?")
_LONGEST_NAME = 40
_STANDARDS_BODY = re.compile(r"^(?:AISI|SAE|ASTM)[ /-]*", re.IGNORECASE)
_SPELLINGS = {"normalized": "normalised", "stress relieved": "stress-relieved", "as drawn": "as-drawn"}


def read_value(description: SpecField, given: object) -> Value:
    """A plain JSON value read as this field; raises `FieldProblem`.

    >>> read_value(FIELDS["tube_wall"], "0,250")
    Decimal('0.250')
    >>> read_value(FIELDS["tube_condition"], "Normalized")
    'normalised'
    """
    if description.kind is FieldKind.YES_NO:
        return _yes_no(description, given)
    if description.kind is FieldKind.CHOICE:
        return _choice(description, given)
    if description.kind is FieldKind.MATERIAL:
        return _material(description, given)
    return _bounded_number(description, given)


def tidy(name: str) -> str:
    """The name of a steel or condition in the one form that the rules know.

    >>> [tidy(name) for name in ("SAE 4130", " a656-80 ", "Stress  Relieved", "AISI/SAE 4140")]
    ['4130', 'A656-80', 'stress-relieved', '4140']
    """
    plain = " ".join(name.split())
    while (shorter := _STANDARDS_BODY.sub("", plain)) != plain:
        plain = shorter
    low = plain.lower()
    return plain.upper() if any(c.isdigit() for c in plain) else _SPELLINGS.get(low, low)


def _refuse(description: SpecField, code: str, rest: str, **facts: str) -> FieldProblem:
    return FieldProblem(code, f"{description.label} {rest}", {"label": description.label, **facts})


def _yes_no(description: SpecField, given: object) -> bool:
    if isinstance(given, bool):
        return given
    raise _refuse(description, "field_wrong_type", "is yes or no: true or false, without quotes.")


def _choice(description: SpecField, given: object) -> str:
    if isinstance(given, int) and not isinstance(given, bool):
        given = str(given)
    if not isinstance(given, str):
        raise _refuse(description, "field_wrong_type", "is given as text.")
    plain = given.strip().lower()
    if plain not in description.choices:
        choices = ", ".join(description.choices)
        raise _refuse(description, "field_not_a_choice", f"is one of {choices}.", choices=choices)
    return plain


def _material(description: SpecField, given: object) -> str:
    if isinstance(given, int) and not isinstance(given, bool):
        given = str(given)
    if not isinstance(given, str):
        raise _refuse(description, "field_wrong_type", "is given as text, for example “4130”.")
    if not given.isprintable() or not 0 < len(given.strip()) <= _LONGEST_NAME:
        raise _refuse(
            description, "field_not_a_name", f"is a name of 1 to {_LONGEST_NAME} letters, digits and signs."
        )
    return tidy(given)


def _bounded_number(description: SpecField, given: object) -> Decimal:
    number = _number_in(description, given)
    if not description.least <= number <= description.most:
        least, most = f"{description.least}", f"{description.most}"
        raise _refuse(
            description,
            "field_out_of_range",
            f"is {number:f} {description.unit}; it has to lie between {least} and {most} {description.unit}.",
            value=format(number, "f"),
            least=least,
            most=most,
            unit=description.unit,
        )
    return number


def _number_in(description: SpecField, given: object) -> Decimal:
    if isinstance(given, bool) or not isinstance(given, str | int | float | Decimal):
        raise _refuse(description, "field_wrong_type", "is given as a number or as text.")
    # A float of a JSON document means the digits that were written, which are its shortest text.
    text = (format(given, "f") if isinstance(given, Decimal) else _text_of(given)).strip()
    if not _PLAIN_NUMBER.fullmatch(text):
        raise _refuse(
            description,
            "field_not_a_number",
            "is not a plain number: digits with a decimal point or comma, without unit, space or exponent.",
        )
    return Decimal(text.replace(",", "."))


def _text_of(given: str | int | float) -> str:
    # A whole number of thousands of digits is refused by its size, before Python refuses to write it.
    if isinstance(given, int) and abs(given) >= 10**9:
        return "too large"
    return str(given)
