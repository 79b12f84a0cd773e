"""What may be sent about steel, filler and gas."""

from __future__ import annotations

from housings.api.bodies import LARGEST
from housings.engineering.composition import MOST_ELEMENTS
from housings.heat_data import LONGEST, LONGEST_CODE, LONGEST_NUMBER, LONGEST_WHAT
from housings.operations.materials import MOST_MATERIALS
from housings.operations.recalls import LONGEST_WHY
from housings.steel_words import CERTIFICATE_TYPES, FORMS, KINDS
from shopqc.api import StrictSerializer
from shopqc.api_fields import LONG_TEXT, Members, OneOf, Text, WholeNumber, YesNo

# Spaces that somebody typed are taken out.
TYPED_CODE, PART = 2 * LONGEST_CODE, 40


class HeatBody(StrictSerializer):
    """``composition``: percent by mass by chemical symbol; ``certificate``: SHA-256 of a filed document."""

    number = Text(2 * LONGEST_NUMBER)
    kind = OneOf(list(KINDS))
    grade = Text(LONGEST["grade"])
    condition = Text(LONGEST["condition"], required=False, allow_null=True)
    form = OneOf(list(FORMS), required=False, allow_null=True)
    size = Text(LONGEST["size"], required=False, allow_null=True)
    supplier = Text(LONGEST["supplier"], required=False, allow_null=True)
    quantity = Text(LONGEST["quantity"], required=False, allow_null=True)
    composition = Members(MOST_ELEMENTS, required=False, allow_null=True)
    certificate = Text(64, required=False, allow_null=True)
    certificate_type = OneOf(list(CERTIFICATE_TYPES), required=False, allow_null=True)
    note = Text(LONG_TEXT, required=False, allow_null=True)


class HeatChanges(StrictSerializer):
    """Those fields of a heat that change."""

    kind = OneOf(list(KINDS), required=False)
    grade = Text(LONGEST["grade"], required=False)
    condition = Text(LONGEST["condition"], required=False)
    form = OneOf(["", *FORMS], required=False)
    size = Text(LONGEST["size"], required=False)
    supplier = Text(LONGEST["supplier"], required=False)
    quantity = Text(LONGEST["quantity"], required=False)
    composition = Members(MOST_ELEMENTS, required=False)
    certificate = Text(64, required=False)
    certificate_type = OneOf(["", *CERTIFICATE_TYPES], required=False)
    note = Text(LONG_TEXT, required=False)


class HeatChangeBody(StrictSerializer):
    """``seen_position``: the last place in the heat's record that was looked at."""

    changes = HeatChanges()
    seen_position = WholeNumber(0, LARGEST, required=False, allow_null=True)


class PieceBody(StrictSerializer):
    """``cut_from``: the code of another piece, none for the length as received."""

    code = Text(TYPED_CODE)
    what = Text(LONGEST_WHAT)
    number_copied = YesNo()
    cut_from = Text(TYPED_CODE, required=False, allow_null=True)
    size = Text(LONGEST["size"], required=False, allow_null=True)


class RecallBody(StrictSerializer):
    """``hold``: every housing in work that has it; left out, they are held."""

    why = Text(LONGEST_WHY)
    hold = YesNo(required=False, allow_null=True)


class ClearBody(StrictSerializer):
    why = Text(LONGEST_WHY)


class MaterialLine(StrictSerializer):
    """One part: of a ``heat`` or a ``piece``; ``replaces`` is the id of the entry that it corrects."""

    part = Text(PART)
    heat = Text(2 * LONGEST_NUMBER, required=False, allow_null=True)
    piece = Text(TYPED_CODE, required=False, allow_null=True)
    replaces = Text(36, required=False, allow_null=True)
    why = Text(LONG_TEXT, required=False, allow_null=True)


class MaterialsBody(StrictSerializer):
    materials = MaterialLine(many=True, max_length=MOST_MATERIALS)  # type: ignore[call-arg]  # many takes it
