"""Tests of welds by dye penetrant and magnetic particles: by whom, how, and what was found.

Methods and levels of ISO 9712 and the light of ISO 3059 are known from memory.
"""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from housings.models import Housing
from housings.operations.welders import add_qualification
from inspections.models import Nonconformance, WeldTest
from inspections.operations.extra_visits import add_visit
from inspections.planning.weld_testing import light_remarks
from inspections.weld_rules import TESTING_STATION
from shopqc import files, ledger
from shopqc.refusals import Refused
from tests.at_the_gate import refused
from tests.factories import Floor
from tests.housings.at_a_joint import later, text, use
from tests.inspections.judging import LEFT, PENETRANT, test, to_testing
from tests.inspections.test_weld_looks import floor_visit
from tests.published import Source, published

ISO_3059 = Source("ISO 3059", "2012", "viewing conditions")
ISO_9712 = Source("ISO 9712", "2021", "responsibilities of level 1")
MAGNETIC = {"method": "MT", "how": {"batch": "M-2", "light": "uv", "irradiance": "22", "demagnetised": "yes"}}


@pytest.fixture
def station(floor: Floor) -> Housing:
    """A housing where welds are tested, no rule in use."""
    floor.procedures()
    housing = floor.housing(until="snouts")
    floor.finish(housing, floor_visit(housing, "snouts"))
    return to_testing(floor, housing)


def certify(
    floor: Floor, stamp: str, level: str = "2", until: str = "2027-01-01", method: str = "PT"
) -> None:
    ranges = {"method": method, "level": level}
    given = {"kind": "testing", "reference": f"{stamp}-{method}-{until}", "tested_on": "2025-01-01"}
    floor.do(add_qualification, by="Q1", stamp=stamp, ranges=ranges, valid_until=until, **given)


def test_somebody_from_outside_shows_a_certificate(floor: Floor, station: Housing) -> None:
    answer = test(floor, station)
    assert (answer["accepted"], answer["nonconformance"]) == (True, None)
    one = WeldTest.objects.get()
    assert (one.tester, one.tester_level, one.certificate) == ("Tess Hollow", "2", "PT-0417")
    assert one.certified_until == datetime.date(2027, 1, 31)
    assert one.how == PENETRANT and one.level == "B"
    assert ledger.verify().faults == ()
    with refused("tester_proof_needed"):
        test(floor, station, certificate="")
    with refused("tester_proof_needed"):
        test(floor, station, certified_until=None)
    with refused("certificate_expired"):
        test(floor, station, certified_until="2026-05-03")
    test(floor, station, certified_until="2026-05-04")  # the day of the test is the last one


def test_level_1_does_not_judge(floor: Floor, station: Housing) -> None:
    with refused("tester_level_low"):
        test(floor, station, tester_level="1")
    published(ISO_9712, test(floor, station, tester_level="3")["accepted"], True, kind="memory")


def test_of_our_own_the_certificate_on_file_counts(floor: Floor, station: Housing) -> None:
    own = {"tester": "M1", "certificate": "", "certified_until": None}
    test(floor, station, **own)  # day one: nothing is on file and no rule in use
    use(floor, "welder_qualified")
    with refused("tester_not_qualified"):
        test(floor, station, **own)
    certify(floor, "M1", until="2026-01-01")
    with refused("tester_expired"):
        test(floor, station, **own)
    certify(floor, "M1", method="MT")
    with refused("tester_expired"):
        test(floor, station, **own)  # certified, but for another method
    certify(floor, "M1")
    test(floor, station, **own)
    newest = WeldTest.objects.latest("record_position")
    assert (newest.certificate, str(newest.certified_until)) == ("M1-PT-2027-01-01", "2027-01-01")
    with refused("tester_level_other"):
        test(floor, station, **{**own, "tester_level": "3"})


def test_magnetic_particles_say_whether_it_was_demagnetised(floor: Floor, station: Housing) -> None:
    with refused("demagnetised_needed"):
        test(floor, station, method="MT", how={"batch": "M-2"})
    test(floor, station, **MAGNETIC)
    assert WeldTest.objects.get().how["demagnetised"] == "yes"


def test_a_refused_test_opens_its_nonconformance(floor: Floor, station: Housing) -> None:
    with refused("finding_never"):
        test(floor, station, {"number": "104", "where": "2 o'clock"})
    answer = test(floor, station, {"number": "104", "where": "2 o'clock"}, accepted=False)
    found = Nonconformance.objects.get()
    assert answer["nonconformance"] == found.number == 1
    assert (found.defect, found.severity) == ("crack", "major")
    assert "2 o'clock" in found.what and "PT" in found.what


def test_it_is_tested_where_the_route_says(floor: Floor) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")
    floor.weld(housing, LEFT, 3)
    test(floor, housing)  # its route has no station for it
    floor.do(add_visit, by="Q1", housing=housing.serial, station=TESTING_STATION, why="first article")
    with refused("test_elsewhere"):
        test(floor, housing)


def test_the_report_is_filed_first(floor: Floor, station: Housing) -> None:
    with refused("document_not_filed"):
        test(floor, station, document="a" * 64)
    kept = files.store(b"%PDF-1.4 an invented report")
    test(floor, station, document=kept)
    assert WeldTest.objects.get().document == kept


def test_bad_input_is_refused_with_the_field(floor: Floor, station: Housing) -> None:
    cases: list[tuple[str, dict[str, Any], str]] = [
        ("choice_unknown", {"method": "XT"}, "/method"),
        ("choice_unknown", {"tester_level": "4"}, "/tester_level"),
        ("choice_unknown", {"level": "A"}, "/level"),
        ("tester_needed", {"tester": "  "}, "/tester"),
        ("too_long", {"tester": "x" * 81}, "/tester"),
        ("field_unknown", {"how": {"color": "red"}}, "/how/color"),
        ("field_unknown", {"how": {"demagnetised": "yes"}}, "/how/demagnetised"),  # not by dye
        ("test_detail_wrong", {"how": {"dwell": "0"}}, "/how/dwell"),
        ("test_detail_wrong", {"how": {"dwell": "a while"}}, "/how/dwell"),
        ("choice_unknown", {"how": {"light": "sun"}}, "/how/light"),
        ("too_long", {"how": {"batch": "x" * 61}}, "/how/batch"),
        ("choice_unknown", {**MAGNETIC, "how": {"demagnetised": "maybe"}}, "/how/demagnetised"),
        ("seen_in_future", {"done_at": text(later(floor, 1))}, "/done_at"),
        ("finding_needed", {"accepted": False}, "/findings"),
    ]
    for code, inputs, pointer in cases:
        with pytest.raises(Refused) as error:
            test(floor, station, **inputs)
        assert [(one.code, one.field) for one in error.value.reasons] == [(code, pointer)], inputs
    assert not WeldTest.objects.exists()


def test_who_tested_does_not_sign(floor: Floor, station: Housing) -> None:
    certify(floor, "Q1")
    test(floor, station, by="M1", tester="Q1", certificate="", certified_until=None)
    floor.finish(station, floor_visit(station, "non_destructive_testing"))
    floor.walk(station, "measured")
    with refused("signer_not_independent"):
        floor.sign(station, by="Q1")


def test_the_light_is_compared_with_what_is_usual() -> None:
    """Figures of ISO 3059, from memory: at least 500 lx; under UV at least 10 W/m² and at most 20 lx."""
    checks = [
        ({"light": "white", "illuminance": "500"}, 0),
        ({"light": "white", "illuminance": "499"}, 1),
        ({"light": "uv", "irradiance": "10", "illuminance": "20"}, 0),
        ({"light": "uv", "irradiance": "9.9", "illuminance": "21"}, 2),
        ({"light": "uv", "irradiance": "51"}, 1),
        ({}, 0),
    ]
    for how, count in checks:
        published(ISO_3059.at(str(how)), len(light_remarks(how)), count, kind="memory")
