"""Verdicts, uncertainty and position against published values; beside each its source, edition and place."""

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from inspections.metrology import (
    Contribution,
    adequate,
    circular_runout,
    combine,
    decide,
    hole_position,
    v_block_gain,
)
from inspections.metrology.uncertainty import coverage_factor
from tests.published import Source, published

ILAC = Source(
    "ILAC-G8", "09/2019", "guard-band table and example 10 ± 1, U = 0.2, as quoted by a third party"
)
JCGM = Source("JCGM 106", "2012", "")
ISO_14253 = Source("ISO 14253-1", "2017", "decision rule")
E29 = Source("ASTM E29", "13 (2019)", "table of examples, absolute method")
GUM = Source("JCGM 100 (GUM)", "2008", "H.1, end-gauge calibration")
STUDENT = Source(
    "Basics of measurement uncertainty, calibration seminar handout", "2011", "p. 54, Student's t table"
)
BUDGETS = Source("Uncertainty budgets, public answers", "effective degrees of freedom formula", "example")
RATIO = Source("Uncertainty budgets, public guide", "calculate test uncertainty ratio", "example at 10 V")
RATIO_TABLE = Source("Test uncertainty ratio, public web page", "example data table", "")
SHEET_METAL = Source(
    "QIF 3.0 (ISO 23952) community schema repository", "commit 360b05e", "samples/Results/Sheet_Metal"
)
WIDGET = SHEET_METAL.at("samples/QIFwidget")
GDT_TEXT = Source("Geometric dimensioning and tolerancing text", "public copy", "p. 312")
GDT_TIP = Source("Geometric tolerancing tip of the month", "August 1997", "actual mating envelope")
Y14_TABLE = Source("Conversion of coordinate to position tolerance, customary table", "", "")
LAPPING = Source(
    "Finishing of a cylinder by the three-point method",
    "J. Japan Soc. Precision Eng. 43 (1977) 1167",
    "abstract",
)
ISO_4292 = Source("ISO 4292", "1985", "magnification, three-point, symmetrical, 90°")


def test_acceptance_limits_of_the_guard_band_table() -> None:
    """The guide's factor 0.83 U stands for 1.645 u; the exact one differs by 0.0015 here."""
    whole = decide(10, (9, 11), "0.2", rule="guarded").acceptance
    published(ILAC, whole, ["9.2", "10.8"], tolerance=0)
    most = decide(10, (9, 11), "0.2", rule="guarded_95").acceptance
    published(ILAC, most, ["9.166", "10.834"], tolerance=Fraction("0.002"))


@pytest.mark.parametrize(
    ("times", "percent", "k"),
    [(1, "2.5", "1.96"), ("0.83", "5", 2), ("1.5", "0.16", "1.96"), (0, "50", 2)],
)
def test_risk_at_the_acceptance_limit(times: str | int, percent: str, k: str | int) -> None:
    """The table's figures are of a value just at its acceptance limit; some go with k = 1.96, some with 2."""
    value = 11 - Fraction(times) * Fraction("0.2")
    risk = 1 - decide(value, (None, 11), "0.2", k=k).probability
    tolerance = Fraction(percent) / 30
    published(ILAC.at(f"risk at w = {times} U, in percent"), 100 * risk, percent, tolerance=tolerance)


def test_conformance_probabilities_of_the_guide() -> None:
    zener = decide("-5.47", (None, "-5.40"), "0.10", k=2).probability
    published(JCGM.at("7.3.3, Zener diode"), zener, "0.92", kind="memory")
    oil = decide("13.6", ("12.5", "16.3"), "3.6", k=2).probability
    published(JCGM.at("7.4, engine oil"), oil, "0.66", kind="memory")


def test_speed_limit_with_one_sided_guard_band() -> None:
    """Stated speed of 107 km/h exceeds 100 km/h with 99.9 %, u = 2 % of the speed; 106 does not."""
    exceeds = [1 - decide(v, (None, 100), Fraction(v, 25)).probability >= 0.999 for v in (106, 107)]
    published(JCGM.at("8.3.3.2, speed law"), exceeds, [False, True], kind="memory")


def test_one_sided_factor_of_the_decision_standard() -> None:
    band = decide(0, (None, 1), 2, k=2, rule="guarded_95").guard_band
    published(ISO_14253, band, "1.645", tolerance=0, kind="memory")


@pytest.mark.parametrize(
    ("limits", "values", "verdicts"),
    [
        ((36000, None), (35940, 35950, 35960, 36000), ("fail", "fail", "fail", "pass")),
        ((57, None), ("56.4", "56.5", "56.6", "57"), ("fail", "fail", "fail", "pass")),
        ((None, 40), ("40.4", "40.5", "40.6", "40.0"), ("fail", "fail", "fail", "pass")),
        ((None, "0.5"), ("0.54", "0.55", "0.56", "0.50"), ("fail", "fail", "fail", "pass")),
    ],
)
def test_nothing_is_rounded_before_it_is_judged(
    limits: tuple[object, object], values: tuple[object, ...], verdicts: tuple[str, ...]
) -> None:
    got = [decide(value, limits).verdict for value in values]  # type: ignore[arg-type]
    published(E29, got, verdicts, kind="memory")


def test_end_gauge_budget() -> None:
    comparator = combine(
        [
            Contribution("5.8", degrees_of_freedom=24),
            Contribution("3.9", degrees_of_freedom=5),
            Contribution("6.7", degrees_of_freedom=8),
        ]
    )
    published(GUM.at("H.1.3.2, u(d), nm"), comparator.standard_uncertainty, "9.7")
    # With its rounded 9.7 nm the guide gets 25.6, unrounded it is 25.4.
    published(GUM.at("H.1.3.2, nu of u(d)"), comparator.degrees_of_freedom, "25.6", tolerance="0.2")
    total = combine(
        [
            Contribution(25, degrees_of_freedom=18),
            Contribution("9.7", degrees_of_freedom="25.6"),
            Contribution("2.9", degrees_of_freedom=50),
            Contribution("16.6", degrees_of_freedom=2),
        ],
        level="0.99",
    )
    published(GUM.at("H.1.4, uc, nm"), total.standard_uncertainty, "32")
    published(GUM.at("H.1.6, nu"), total.degrees_of_freedom, "16.7", tolerance="0.1")
    published(GUM.at("H.1.6, t99(16)"), total.coverage_factor, "2.92")
    # The guide multiplies its rounded 32 nm, which makes 93 of 92.5.
    published(GUM.at("H.1.6, U99, nm"), total.expanded_uncertainty, "93", tolerance=1)


def test_student_table() -> None:
    freedoms = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 20, 50]
    columns = {
        "0.90": "6.31 2.92 2.35 2.13 2.02 1.94 1.89 1.86 1.83 1.81 1.72 1.68",
        "0.95": "12.71 4.30 3.18 2.78 2.57 2.45 2.36 2.31 2.26 2.23 2.09 2.01",
        "0.9545": "13.97 4.53 3.31 2.87 2.65 2.52 2.43 2.37 2.32 2.28 2.13 2.05",
        "0.99": "63.66 9.92 5.84 4.60 4.03 3.71 3.50 3.36 3.25 3.17 2.85 2.68",
        "0.9973": "235.80 19.21 9.22 6.62 5.51 4.90 4.53 4.28 4.09 3.96 3.42 3.16",
    }
    for level, printed in columns.items():
        got = [coverage_factor(freedom, float(level)) for freedom in freedoms]
        tolerance = Fraction("0.0051") if level != "0.9973" else Fraction("0.02")
        published(STUDENT.at(f"p. 54, column {level}"), got, printed.split(), tolerance=tolerance)


def test_effective_degrees_of_freedom_example() -> None:
    total = combine(
        [
            Contribution("0.25", degrees_of_freedom=9),
            Contribution("0.57", degrees_of_freedom=4),
            Contribution("0.82", degrees_of_freedom=14),
        ]
    )
    published(BUDGETS, total.standard_uncertainty, "1.03")
    published(BUDGETS, total.degrees_of_freedom, "19")


def test_ratios_of_gauge_and_limits() -> None:
    published(RATIO, adequate("0.0012", ("9.995", "10.005")).ratio, "4.2")
    rows = [(10, "0.1", "0.025"), (50, "0.2", "0.04"), (100, "0.5", "0.125"), (25, "0.05", "0.02")]
    ratios = [
        adequate(doubt, (nominal - Fraction(half), nominal + Fraction(half))).ratio
        for nominal, half, doubt in rows
    ]
    published(RATIO_TABLE, ratios, ["4.00", "5.00", "4.00", "2.50"], tolerance=0)


HOLES = {
    "A": "2433.974609375 800.617431640625 890.049621582031 "
    "0.0558150216639719 -0.907624351305543 -0.41605615038579",
    "B": "2503.30444335938 804.363159179688 887.372741699219 "
    "0.0418490213480084 -0.909169445910182 -0.414318208670083",
    "C": "2496.25146484375 780.842590332031 938.272277832031 "
    "0.0418550117439991 -0.90916921031098 -0.414318120547991",
    "D": "2521.0419921875 780.010925292969 942.583374023438 "
    "0.0418729925609915 -0.909169840775816 -0.414314920220916",
}
MEASURED = """
1 A 2434.01 801.525055991931 889.88 1.076016018900693 PASS
1 B 2503.39 805.272328625598 887.21 1.076085626769429 PASS
1 C 2496.35 781.751759542342 938.04 1.204731289060995 PASS
1 D 2521.23 780.920095133744 942.42 1.139444019311236 PASS
2 A 2433.94 801.525055991931 890 0.846893312561925 PASS
2 B 2503.3 805.272328625598 887.21 1.051634962310748 PASS
2 C 2496.38 781.751759542342 938.08 1.149247191656033 PASS
2 D 2521.27 780.920095133744 942.39 1.221331864472936 PASS
3 A 2433.98 801.525055991931 889.99 0.870594612505491 PASS
3 B 2503.47 805.272328625598 887.19 1.15574175583068 PASS
3 C 2496.5 781.751759542342 938.07 1.25362822729891 FAIL
3 D 2521.39 780.920095133744 942.38 1.355625761986218 FAIL
"""


def test_twelve_holes_in_space() -> None:
    rows = [row.split() for row in MEASURED.strip().splitlines()]
    found = [
        hole_position(HOLES[row[1]].split()[:3], row[2:5], "1.25", axis=HOLES[row[1]].split()[3:])
        for row in rows
    ]
    published(SHEET_METAL, [hole.deviation for hole in found], [row[5] for row in rows], tolerance=1e-9)
    published(SHEET_METAL, [hole.passes for hole in found], [row[6] == "PASS" for row in rows])


def test_seven_holes_at_maximum_material() -> None:
    """The bonus is not in the file: derived. The third and fourth hole fail by size and by position."""
    rows = [
        ("19", "0.13", "19.007", "-0.049", "0.168", "0.5", "0.350000000000014", True, "0.137"),
        ("25.4", "0.15", "25.390", "-0.049", "0.165", "0.5", "0.344244099441093", True, "0.140"),
        ("5", "0.025", "4.878", "-0.064", "0.111", "0.25", "0.256257682811652", False, "0"),
        ("5", "0.025", "4.890", "-0.001", "0.150", "0.25", "0.300006666592606", False, "0"),
        ("9.5", "0.15", "9.454", "-0.099", "0.067", "0.5", "0.239081576036290", True, "0.104"),
        ("9.5", "0.15", "9.460", "-0.069", "0.021", "0.5", "0.144249783362061", True, "0.110"),
        ("9.5", "0.15", "9.470", "-0.102", "-0.014", "0.5", "0.205912602819747", True, "0.120"),
    ]
    found = [
        hole_position(
            (0, 0),
            (dx, dy),
            zone,
            size=size,
            size_limits=(Fraction(middle) - Fraction(half), Fraction(middle) + Fraction(half)),
            material="mmc",
        )
        for middle, half, size, dx, dy, zone, *_ in rows
    ]
    published(WIDGET, [hole.deviation for hole in found], [row[6] for row in rows], tolerance=1e-13)
    published(WIDGET, [hole.passes for hole in found], [row[7] for row in rows])
    published(WIDGET, [hole.size_passes for hole in found], [row[7] for row in rows])
    published(WIDGET, [hole.bonus for hole in found], [row[8] for row in rows], tolerance=0, kind="derived")


def test_position_examples_of_the_text() -> None:
    published(GDT_TEXT, hole_position((0, 0), ("0.006", "-0.001"), "0.014").deviation, "0.012166")
    rejected = hole_position((0, 0), ("0.15", 0), "0.25")
    published(GDT_TEXT, rejected.deviation_squared, Fraction("0.30") ** 2)
    published(GDT_TEXT, rejected.passes, False)


def test_bonus_is_of_the_mating_size() -> None:
    """Hole of 0.499 at least, measured 0.502 but 0.002 out of square: it mates as 0.500."""
    limits = ("0.499", "0.505")
    naive = hole_position((0, 0), (0, 0), "0.015", size="0.502", size_limits=limits, material="mmc")
    right = hole_position((0, 0), (0, 0), "0.015", size="0.500", size_limits=limits, material="mmc")
    published(GDT_TIP, naive.bonus, "0.003", tolerance=0)
    published(GDT_TIP, right.bonus, "0.001", tolerance=0)
    published(GDT_TIP, right.allowed, "0.016", tolerance=0)


def test_conversion_table() -> None:
    pairs = [
        ("0.001", "0.001"),
        ("0.001", "0.002"),
        ("0.002", "0.002"),
        ("0.003", "0.004"),
        ("0.005", "0.005"),
        ("0.010", "0.010"),
    ]
    got = [hole_position((0, 0), pair, 1).deviation for pair in pairs]
    published(Y14_TABLE, got, ["0.0028", "0.0045", "0.0057", "0.0100", "0.0141", "0.0283"], kind="memory")


def test_gains_of_v_blocks() -> None:
    """The paper prints the formula, and that 60° and 180° together see each of 2, 3 and 4 lobes."""
    seen = [[abs(v_block_gain(lobes, angle)) > 1e-12 for angle in (60, 180)] for lobes in (2, 3, 4)]
    published(LAPPING, [any(row) for row in seen], [True, True, True])
    published(LAPPING.at("f at 60°, n = 2"), round(v_block_gain(2, 60), 12), 0)
    ninety = [abs(v_block_gain(lobes, 90)) for lobes in range(2, 10)]
    published(
        ISO_4292, ninety, ["1.00", "2.00", "0.41", "2.00", "1.00", "0.00", "2.41", "0.00"], kind="memory"
    )


def test_runout_is_not_twice_the_eccentricity() -> None:
    """QIF bore: published centre 0.3057 off (as a diameter); its runout, with form, is 0.3140."""
    points = np.loadtxt(Path(__file__).parent / "data" / "bore_262.txt")[:, :2] - (-33.05, -4.35)
    around = np.argsort(np.arctan2(points[:, 1], points[:, 0]))
    radii = np.hypot(*points[around].T)
    angles = np.degrees(np.arctan2(points[around, 1], points[around, 0]))
    found = circular_runout(radii, angles)
    assert found.eccentricity is not None
    published(
        SHEET_METAL.at("QIF_PTS_SAMPLE.QIF, bore 262, position"),
        2 * found.eccentricity,
        "0.305735910302614",
        tolerance=5e-3,
    )
    published(
        SHEET_METAL.at("QIF_PTS_SAMPLE.QIF, bore 262, runout"),
        found.fim,
        "0.314010256",
        tolerance=1e-3,
        kind="derived",
    )
