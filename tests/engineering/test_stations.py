"""The catalogue of stations; source of every expectation: common practice, no source."""

import re
from dataclasses import FrozenInstanceError

import pytest

from housings.engineering.stations import STATIONS, Station, StationKind, station

DEFAULT = [
    "jig",
    "tack",
    "truss",
    "snouts",
    "face_and_drill",
    "armor",
    "caps_and_fittings",
    "leak_test",
    "final_inspection",
]


def test_it_holds_the_trade_stations_and_all_of_the_default_are_mandatory():
    assert [code for code, entry in STATIONS.items() if not entry.optional] == DEFAULT


def test_it_holds_the_optional_stations():
    optional = {code for code, entry in STATIONS.items() if entry.optional}
    assert optional == {
        "receive_steel",
        "cut_and_bevel",
        "brackets",
        "straighten",
        "seam_bubble_test",
        "non_destructive_testing",
        "stress_relief",
        "clean_inside",
        "coat",
        "pack",
    }


def test_it_knows_what_pulls_metal():
    """Welding, force and heat move metal; looking, testing, cleaning and packing do not."""
    moving = {code for code, entry in STATIONS.items() if entry.moves_metal}
    assert moving == {
        "cut_and_bevel",
        "tack",
        "truss",
        "brackets",
        "snouts",
        "straighten",
        "stress_relief",
        "face_and_drill",
        "armor",
        "caps_and_fittings",
    }
    assert all(entry.moves_metal for entry in STATIONS.values() if entry.welds)


def test_it_calls_only_truss_and_snouts_heavy_welding():
    heavy = {code for code, entry in STATIONS.items() if entry.kind is StationKind.HEAVY_WELD}
    assert heavy == {"truss", "snouts"}


def test_only_packing_comes_after_sign_off():
    assert [code for code, entry in STATIONS.items() if entry.after_sign_off] == ["pack"]


@pytest.mark.parametrize("entry", STATIONS.values(), ids=list(STATIONS))
def test_it_describes_each_station_fit_for_a_page(entry: Station):
    assert re.fullmatch(r"[a-z]+(_[a-z]+)*", entry.code)
    assert entry.name and entry.name[0].isupper() and len(entry.name) <= 30
    assert entry.purpose.endswith(".") and "\n" not in entry.purpose and len(entry.purpose) <= 120
    for caution in entry.cautions:
        assert caution.endswith(".") and len(caution) <= 120
        assert "safe" not in caution.lower()


def test_every_station_that_burns_an_arc_warns_of_fume_and_fire():
    for entry in STATIONS.values():
        if entry.welds:
            text = " ".join(entry.cautions)
            assert "Fume" in text and "Fire watch" in text, entry.code


def test_air_pressure_is_cautioned_where_air_is_used():
    for code in ("leak_test", "seam_bubble_test"):
        assert "throws plugs" in " ".join(station(code).cautions)


def test_it_refuses_an_unknown_code_with_a_sentence():
    with pytest.raises(ValueError, match="There is no station “polish”"):
        station("polish")


def test_nobody_can_change_the_catalogue():
    with pytest.raises(TypeError):
        STATIONS["polish"] = STATIONS["jig"]  # type: ignore[index]
    with pytest.raises(FrozenInstanceError):
        station("jig").name = "x"  # type: ignore[misc]
