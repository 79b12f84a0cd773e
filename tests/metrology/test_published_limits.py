"""Limits of threads, splines and welds against published tables; beside each its source and place."""

from fractions import Fraction

import pytest

from inspections.metrology import (
    gauged_thread,
    spline,
    taper_thread,
    taper_thread_by_turns,
    unified_thread,
    weld_limit,
)
from tests.published import Source, published

UNC_TABLE = Source("Internal thread dimensions for Unified UNC screw threads, public table", "2016", "")
TAP_GUIDE = Source("Tap catalogue, user guide, ANSI B1.1 nominal dimensions", "2022", "p. 61, UNF")
B1_1_TABLE = Source("Limits of Unified threads, public copy of the ASME B1.1 table", "", "5/8-11 UNC")
B1_1 = Source("ASME B1.1", "2003", "table 2")
NPT_TABLE = Source("Basic dimensions of NPT threads, public copy of ASME B1.20.1 table 2", "", "")
NPT_FITTINGS = Source("Standard pipe thread fittings, technical article of a supplier", "", "NPT table")
NPT_GAUGES = Source("Gauging of NPT threads, two public pages of gauge makers", "", "L1 plug gauge")
B1_2 = Source("ANSI/ASME B1.2", "1983", "4.2")
B92 = Source("ANSI B92.1", "1970 (R1993)", "table of equations, public copy")
COMMON = Source("common practice, no source", "", "names of axle shafts by splines")
LEVEL_C = Source("ISO 5817, extract of quality level C", "public copy", "")
LEVEL_B = Source("Comparison of weld acceptance levels, level B", "public copy", "")
LEVEL_D = Source(
    "Assessment of surface imperfections by EN ISO 5817, welding handbook page", "2013", "EXC1 (D)"
)
EN_25817 = Source("EN 25817, extract", "public copy", "")
ISO_5817 = Source("ISO 5817", "2014", "table 1")


@pytest.mark.parametrize(
    ("size", "diameter", "threads", "pitch", "minor"),
    [
        ("1/4-20", "0.25", 20, ("0.2175", "0.2224"), ("0.196", "0.207")),
        ("5/16-18", "0.3125", 18, ("0.2764", "0.2817"), ("0.252", "0.265")),
        ("3/8-16", "0.375", 16, ("0.3344", "0.3401"), ("0.307", "0.321")),
        ("7/16-14", "0.4375", 14, ("0.3911", "0.3972"), ("0.360", "0.376")),
        ("1/2-13", "0.5", 13, ("0.4500", "0.4565"), (None, "0.434")),
        ("5/8-11", "0.625", 11, ("0.5660", "0.5732"), ("0.527", "0.546")),
        ("3/4-10", "0.75", 10, ("0.6850", "0.6927"), ("0.642", "0.663")),
        ("1-8", "1", 8, ("0.9188", "0.9276"), ("0.865", "0.890")),
    ],
)
def test_coarse_nut_threads(
    size: str,
    diameter: str,
    threads: int,
    pitch: tuple[str, str],
    minor: tuple[str | None, str],
) -> None:
    """The table misprints the least minor diameter of 1/2-13 as 0.4700; it rounds each part to 0.0001."""
    thread = unified_thread(diameter, threads)
    wanted = [*pitch, *(limit for limit in minor if limit)]
    got = [
        *thread.pitch_diameter,
        *(m for m, limit in zip(thread.minor_diameter, minor, strict=True) if limit),
    ]
    tolerances = [Fraction("0.0001")] * 2 + [Fraction("0.0006")] * 2
    for value, printed, tolerance in zip(got, wanted, tolerances, strict=False):
        assert value is not None and abs(Fraction(value) - Fraction(printed)) <= tolerance
    published(UNC_TABLE.at(size), got, wanted, tolerance=Fraction("0.0006"))


def test_fine_threads_in_millimetres() -> None:
    rows = [
        ("0.25", 28, "5.761", "5.870", "5.842"),
        ("0.375", 24, "8.837", "8.961", "8.931"),
        ("0.4375", 20, "10.287", "10.424", "10.391"),
        ("0.5", 20, "11.874", "12.017", "11.981"),
        ("0.625", 18, "14.958", "15.110", "15.072"),
        ("0.75", 16, "18.019", "18.184", "18.143"),
    ]
    for diameter, threads, least, most_2b, most_3b in rows:
        free, close = unified_thread(diameter, threads), unified_thread(diameter, threads, "3B")
        got = [25.4 * limit for limit in (free.go, free.no_go, close.no_go)]
        published(
            TAP_GUIDE.at(f"p. 61, {diameter} in"), got, [least, most_2b, most_3b], tolerance=Fraction("0.003")
        )


def test_screws_of_three_classes() -> None:
    major = [unified_thread("0.625", 11, grade).major_diameter for grade in ("1A", "2A", "3A")]
    published(B1_1_TABLE, [least for least, _ in major], ["0.6052", "0.6113", "0.6129"], tolerance="0.0001")
    published(
        B1_1_TABLE, [greatest for _, greatest in major], ["0.6234", "0.6234", "0.6250"], tolerance="0.0001"
    )
    published(B1_1_TABLE, unified_thread("0.625", 11, "2A").allowance, "0.0016", tolerance="0.0001")
    pitch = [unified_thread("0.625", 11, grade).no_go for grade in ("1A", "3A")]
    published(B1_1_TABLE, pitch, ["0.5561", "0.5619"], tolerance="0.0001")


def test_close_nut_thread_from_memory() -> None:
    published(
        B1_1,
        unified_thread("0.5", 13, "3B").minor_diameter,
        ["0.4170", "0.4284"],
        tolerance="0.0003",
        kind="memory",
    )
    published(B1_1, unified_thread("0.5", 13, "1B").no_go, "0.4597", tolerance="0.0001", kind="memory")
    published(
        B1_1,
        unified_thread("0.5", 13, "2A").pitch_diameter,
        ["0.4435", "0.4485"],
        tolerance="0.0001",
        kind="memory",
    )


@pytest.mark.parametrize(
    ("size", "gauge_plane", "effective"),
    [
        ("1/8", "0.37360", "0.2639"),
        ("1/4", "0.49163", "0.4018"),
        ("3/8", "0.62701", None),
        ("1/2", "0.77843", "0.5337"),
        ("3/4", "0.98887", "0.5457"),
        ("1", "1.23863", "0.6828"),
        ("1 1/4", "1.58338", "0.7068"),
        ("1 1/2", "1.82234", "0.7235"),
        ("2", "2.29627", "0.7565"),
    ],
)
def test_taper_threads(size: str, gauge_plane: str, effective: str | None) -> None:
    """The table misprints L2 of 3/8 as 0.0478."""
    thread = taper_thread(size)
    wanted = [gauge_plane, effective] if effective else [gauge_plane]
    published(
        NPT_TABLE.at(f"E1, L2 of {size}"), [thread.gauge_plane, thread.effective][: len(wanted)], wanted
    )


def test_taper_threads_of_the_supplier() -> None:
    sizes = ["3/8", "1/2", "3/4", "1", "1 1/4", "1 1/2", "2"]
    threads = [taper_thread(size) for size in sizes]
    by_hand = ["0.240", "0.320", "0.340", "0.400", "0.420", "0.420", "0.436"]
    published(
        NPT_FITTINGS.at("engagement by hand"), [t.hand_tight for t in threads], by_hand, tolerance="0.001"
    )
    effective = ["0.408", "0.534", "0.546", "0.682", "0.707", "0.724", "0.756"]
    published(
        NPT_FITTINGS.at("effective thread"), [t.effective for t in threads], effective, tolerance="0.001"
    )


def test_plug_gauge_may_be_a_turn_off() -> None:
    verdicts = [taper_thread_by_turns("1/2", turns).verdict for turns in ("-1.01", -1, 0, 1, "1.01")]
    published(NPT_GAUGES, verdicts, ["fail", "pass", "pass", "pass", "fail"])
    thread = taper_thread("1/2")
    range_of_l1 = [thread.hand_tight - thread.pitch, thread.hand_tight + thread.pitch]
    published(NPT_GAUGES.at("L1 with one turn"), range_of_l1, ["0.24857", "0.39143"], kind="derived")


def test_no_go_may_enter_three_turns() -> None:
    verdicts = [gauged_thread(True, turns).verdict for turns in (0, 3, "3.1")]
    published(B1_2, verdicts, ["pass", "pass", "fail"], kind="memory")


def test_splines_of_axle_shafts() -> None:
    """Formulas as published, figures derived; 35 splines are called 1.5 inch."""
    for teeth, wanted in {
        35: ["1.458333", "1.262954", "1.500000", "1.514583", "1.416667", "1.504000", "1.412667", "0.002"],
        40: ["1.666667", "1.443376", "1.708333", "1.722917", "1.625000", "1.712333", "1.621000", "0.002"],
    }.items():
        found = spline(teeth)
        got = [
            found.pitch_diameter,
            found.base_diameter,
            found.external_major,
            found.internal_major,
            found.internal_minor,
            found.internal_form,
            found.external_form,
            found.form_clearance,
        ]
        published(B92.at(f"{teeth} teeth, 24/48"), got, wanted, tolerance="0.000001", kind="derived")
    fillet = [spline(teeth, root="fillet").internal_major for teeth in (35, 40)]
    published(B92.at("fillet root"), fillet, ["1.533333", "1.741667"], kind="derived")
    published(B92.at("circular pitch"), spline(35).circular_pitch, "0.130900", kind="derived")
    published(COMMON, spline(35).external_major, "1.5", tolerance=0, kind="memory")


def test_level_c_of_the_extract() -> None:
    rows = [
        ("2017 of 5 mm butt weld", weld_limit("2017", "C", 8, s=5), "1.0"),
        ("2017 at most", weld_limit("2017", "C", 20, s=15), "2"),
        ("2025", weld_limit("2025", "C", 8), "0.8"),
        ("5011, t 4", weld_limit("5011", "C", 4), "0.4"),
        ("5011, t 8", weld_limit("5011", "C", 8), "0.5"),
        ("5013", weld_limit("5013", "C", 8), "0.8"),
        ("502, b 10", weld_limit("502", "C", 8, b=10), "2.5"),
        ("502, b 50", weld_limit("502", "C", 8, b=50), "7"),
        ("503, b 30", weld_limit("503", "C", 8, b=30), "4"),
        ("504, t 2, b 6", weld_limit("504", "C", 2, b=6), "2.8"),
        ("504, t 8, b 6", weld_limit("504", "C", 8, b=6), "4"),
        ("512, a 6", weld_limit("512", "C", 8, a=6), "2.9"),
        ("511", weld_limit("511", "C", 12), "1"),
        ("515", weld_limit("515", "C", 6), "0.6"),
    ]
    published(LEVEL_C, [limit.limit for _, limit, _ in rows], [wanted for _, _, wanted in rows], tolerance=0)
    forbidden = ["100", "104", "401", "4021", "506", "510"]
    published(LEVEL_C, [weld_limit(n, "C", 8).permitted for n in forbidden], [False] * 6)
    short = [weld_limit(n, "C", t).short_only for n, t in (("5011", 2), ("5011", 8), ("5013", 8), ("511", 8))]
    published(LEVEL_C.at("short imperfections"), short, [True, False, True, True])


def test_level_b_of_the_comparison() -> None:
    limits = [
        weld_limit("5012", "B", 8),
        weld_limit("5012", "B", 20),
        weld_limit("5013", "B", 8),
        weld_limit("502", "B", 8, b=10),
        weld_limit("502", "B", 8, b=50),
        weld_limit("503", "B", 8, b=50),
        weld_limit("504", "B", 2, b=5),
        weld_limit("504", "B", 8, b=5),
        weld_limit("504", "B", 8, b=50),
        weld_limit("512", "B", 8, a=10),
        weld_limit("515", "B", 8),
    ]
    wanted = ["0.4", "0.5", "0.4", "2", "5", "3", "1.5", "2", "3", "3", "0.4"]
    published(LEVEL_B, [limit.limit for limit in limits], wanted, tolerance=0)
    forbidden = [("2017", 8), ("2025", 8), ("5013", 2), ("511", 2), ("515", 2), ("5213", 8), ("506", 8)]
    published(LEVEL_B, [weld_limit(n, "B", t, s=5).permitted for n, t in forbidden], [False] * 7)


def test_level_d_of_the_handbook() -> None:
    limits = [
        weld_limit("2017", "D", 2, a=2),
        weld_limit("2017", "D", 20, a=15),
        weld_limit("2025", "D", 20),
        weld_limit("4021", "D", 8),
        weld_limit("5011", "D", 2),
        weld_limit("5011", "D", 8),
        weld_limit("5013", "D", 2),
        weld_limit("5013", "D", 20),
        weld_limit("502", "D", 8, b=10),
        weld_limit("502", "D", 8, b=50),
        weld_limit("503", "D", 8, b=50),
        weld_limit("504", "D", 2, b=5),
        weld_limit("504", "D", 8, b=50),
    ]
    wanted = ["0.6", "3", "2", "1.6", "0.4", "1", "0.4", "2", "3.5", "10", "5", "4", "5"]
    published(LEVEL_D, [limit.limit for limit in limits], wanted, tolerance=0)


def test_what_the_older_standard_had_in_common() -> None:
    convex = [weld_limit("503", level, 8, b=4).limit for level in ("D", "C", "B")]
    published(
        EN_25817.at("13, h <= 1 mm + 0.25 b, 0.15 b, 0.1 b"), convex, ["2.0", "1.6", "1.4"], tolerance=0
    )
    most = [weld_limit("503", level, 8, b=99).limit for level in ("D", "C", "B")]
    published(EN_25817.at("13, at most"), most, [5, 4, 3])
    unequal = [weld_limit("512", level, 8, a=10).limit for level in ("D", "C", "B")]
    published(
        EN_25817.at("20, h <= 2 mm + 0.2 a, 0.15 a, 1.5 mm + 0.15 a"), unequal, ["4", "3.5", "3"], tolerance=0
    )
    short = [weld_limit("5213", level, 8, a=6).limit for level in ("D", "C")]
    published(EN_25817.at("15, h <= 0.3 mm + 0.1 a"), short, ["0.9", "0.9"], tolerance=0)


def test_rows_from_memory_say_so() -> None:
    plates = [weld_limit("5071", level, 10) for level in ("B", "C", "D")]
    published(ISO_5817, [row.limit for row in plates], ["1", "1.5", "2.5"], tolerance=0, kind="memory")
    assert all(row.from_memory for row in plates)
    assert not weld_limit("5011", "C", 8).from_memory
