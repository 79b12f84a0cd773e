"""Steel, cutting and fit-up: what is looked at before anything is welded."""

from ..terms import Nominal, Part, PlannedCharacteristic, PlannedDue, Severity, Term
from .writing import around, look, within


def _steel(piece: str, name: str, part: Part) -> PlannedCharacteristic:
    return look(
        f"steel_{piece}",
        f"Steel of the {name}: grade and heat number as on its certificate",
        part,
        ("receive_steel",),
        (),
        note="Wrong steel is never accepted on the QC lead's word alone.",
    )


STEEL = (
    _steel("tubes", "tubes", Part.TUBES),
    _steel("plate", "plate", Part.FACE),
    _steel("snouts", "snouts", Part.ENDS),
)


def _cut(side: str) -> tuple[PlannedCharacteristic, ...]:
    """The V groove, 60° with 1/16 land and 3/32 gap; tolerances are invented figures."""
    return (
        within(
            f"bevel_{side}",
            f"Bevel of the {side} tube end",
            Part.WELDS,
            (PlannedDue("cut_and_bevel", "27.5", "32.5"),),
            ("cut_and_bevel",),
            unit="°",
            severity=Severity.MINOR,
            hidden_by="snouts",
            note="Half of the 60° groove; tolerance invented.",
        ),
        within(
            f"land_{side}",
            f"Land of the {side} tube end",
            Part.WELDS,
            (PlannedDue("cut_and_bevel", "0.031", "0.094"),),
            ("cut_and_bevel",),
            severity=Severity.MINOR,
            hidden_by="snouts",
            note="1/16 ± 1/32; tolerance invented.",
        ),
    )


CUT = (
    look(
        "heat_numbers_copied",
        "Heat numbers copied to every piece before cutting",
        Part.TUBES,
        ("cut_and_bevel",),
        (),
    ),
    *_cut("left"),
    *_cut("right"),
)


def _fit_up(side: str) -> tuple[PlannedCharacteristic, ...]:
    return (
        look(
            f"fit_up_{side}",
            f"Fit-up of the {side} snout joint: bevel, mismatch, clean and dry",
            Part.WELDS,
            ("tack",),
            ("tack",),
            hidden_by="snouts",
        ),
        within(
            f"gap_{side}",
            f"Gap of the {side} snout joint",
            Part.WELDS,
            (PlannedDue("tack", "0.063", "0.125"),),
            ("tack",),
            severity=Severity.MINOR,
            hidden_by="snouts",
            note="3/32 ± 1/32; tolerance invented.",
        ),
    )


FIT_UP = (
    look("seated_in_jig", "All pieces seated and clamped in the fixture", Part.TUBES, ("jig",), ()),
    *_fit_up("left"),
    *_fit_up("right"),
    around(
        "preset_width",
        "Width as tacked, preset for the shrinkage of the snout welds",
        Part.ENDS,
        Nominal("0.07", (Term("width"),)),
        "0.030",
        ("tack",),
        ("tack",),
        severity=Severity.MINOR,
        note="Each snout joint shrinks about 0.037 in.",
    ),
)
