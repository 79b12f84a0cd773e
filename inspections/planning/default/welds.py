"""Welds: ribs and roots before they are hidden, snout joints, tests."""

from ..terms import Part, PlannedCharacteristic, PlannedDue, Severity
from .writing import ALIGNMENT, BENDING, look, within

CENTER_WELDS = (
    look(
        "ribs",
        "Internal ribs: all in place, welded three times each",
        Part.WELDS,
        ("truss",),
        ("truss",),
        hidden_by="armor",
    ),
    look(
        "seam_roots",
        "Root passes of the center seams, seen from inside",
        Part.WELDS,
        ("truss",),
        ("truss",),
        hidden_by="armor",
    ),
    look(
        "gussets",
        "Internal gussets behind the link tabs",
        Part.WELDS,
        ("truss",),
        ("truss",),
        hidden_by="armor",
        only_if="links",
    ),
)


def _snout_welds(side: str) -> tuple[PlannedCharacteristic, ...]:
    return (
        look(
            f"snout_root_{side}",
            f"Root of the {side} snout weld, seen through the bore",
            Part.WELDS,
            ("snouts",),
            ("snouts",),
            note="A lack of fusion or a crack is never accepted on the QC lead's word alone.",
        ),
        within(
            f"rosettes_{side}",
            f"Rosette welds that hold the {side} snout",
            Part.WELDS,
            (PlannedDue("snouts", "4", "4"),),
            ("snouts",),
            unit="welds",
        ),
        look(
            f"snout_weld_test_{side}",
            f"Test of the {side} snout weld by dye or magnetic particles",
            Part.WELDS,
            ("non_destructive_testing",),
            BENDING,
            note="Accepted or rejected only by a person certified for the method.",
        ),
    )


WELDS = (
    *_snout_welds("left"),
    *_snout_welds("right"),
    look(
        "furnace_chart",
        "Furnace chart of the stress relief agrees with the procedure",
        Part.WELDS,
        ("stress_relief",),
        ("stress_relief",),
    ),
    look(
        "seam_bubbles",
        "Center seams without bubbles",
        Part.WELDS,
        ("seam_bubble_test",),
        ("tack", "truss", "snouts", "straighten", "stress_relief"),
        hidden_by="armor",
    ),
    look(
        "armor_welds",
        "Armor plates welded all round, dummy plate taken off",
        Part.WELDS,
        ("armor",),
        ("armor",),
        severity=Severity.MINOR,
        note="The dummy plate comes off below the procedure's temperature.",
    ),
    look(
        "welds_seen",
        "All welds that can be seen, looked at over their whole length",
        Part.WELDS,
        ("final_inspection",),
        ("tack", *ALIGNMENT, "caps_and_fittings"),
    ),
)
