"""What straightening, a furnace and armor welding are described by."""

import pytest

from housings.engineering.stations import STATIONS
from housings.engineering.work_details import DETAILS, DetailKind, fields_of, read_details

PRESSED = {"method": "press", "side": "left", "place": "18,5", "direction": "3"}


def test_every_station_with_details_is_in_the_catalogue_and_changes_the_part():
    assert set(DETAILS) == {"straighten", "stress_relief", "armor"}
    assert all(STATIONS[code].moves_metal for code in DETAILS)
    for fields in DETAILS.values():
        assert all(field.units for field in fields if field.kind is DetailKind.NUMBER)


def test_it_keeps_figures_as_typed_with_a_point_and_their_unit():
    kept, problems = read_details("straighten", {**PRESSED, "force": "12", "force_unit": "ton"})
    assert problems == ()
    assert kept["place"] == "18.5"
    assert (kept["place_unit"], kept["force_unit"]) == ("in", "ton")


def test_flame_needs_its_peak_temperature_and_a_press_has_none():
    """Heat that is not watched changes heat-treated steel (common practice, no source)."""
    _kept, problems = read_details("straighten", {**PRESSED, "method": "flame"})
    assert [problem.field for problem in problems] == ["peak_temperature"]
    _kept, problems = read_details("straighten", {**PRESSED, "peak_temperature": "900"})
    assert [problem.field for problem in problems] == ["peak_temperature"]


def test_nothing_said_is_no_description():
    assert read_details("straighten", {"method": "", "place": None, "place_unit": "in"}) == ({}, ())
    assert read_details("jig", {}) == ({}, ())


@pytest.mark.parametrize(
    ("station", "given", "field"),
    [
        ("jig", {"force": "3"}, "force"),
        ("straighten", {**PRESSED, "color": "red"}, "color"),
        ("straighten", {**PRESSED, "place": "18 in"}, "place"),
        ("straighten", {**PRESSED, "place": "1e3"}, "place"),
        ("straighten", {**PRESSED, "place": "99999"}, "place"),
        ("straighten", {**PRESSED, "direction": "13"}, "direction"),
        ("straighten", {**PRESSED, "place_unit": "ft"}, "place_unit"),
        ("stress_relief", {"held_temperature": "1150", "held_hours": "1", "chart": "x"}, "chart"),
        ("stress_relief", {"held_temperature": "1150", "held_hours": "1", "furnace": "a\nb"}, "furnace"),
        ("stress_relief", {"held_temperature": "1150"}, "held_hours"),
        ("armor", {"plate_off_below": "-3"}, "plate_off_below"),
        ("armor", {"plate_off_below": {"value": "3"}}, "plate_off_below"),
    ],
)
def test_it_says_what_is_wrong_and_keeps_nothing(station, given, field):
    kept, problems = read_details(station, given)
    assert kept == {}
    assert [problem.field for problem in problems] == [field]
    assert problems[0].sentence


def test_stations_without_work_to_describe_have_no_fields():
    assert [code for code in STATIONS if fields_of(code)] == ["straighten", "stress_relief", "armor"]
