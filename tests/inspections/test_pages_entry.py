"""Entering readings at a bench: what is due, the verdict at once, what is refused, what was typed stays."""

from __future__ import annotations

from typing import Any

import pytest

from housings.models import Housing
from inspections.models import Nonconformance, Reading
from tests.factories import GAUGE, OVERDUE, Floor
from tests.inspections.conftest import SignedIn
from tests.inspections.sending import form_of, send
from tests.visitor import Visitor

STATION = "face_and_drill"


@pytest.fixture
def housing(floor: Floor) -> Housing:
    """A housing whose face was cut and is to be measured."""
    found = floor.housing(until=STATION)
    floor.work(found, STATION)
    return found


def at(housing: Housing, code: str = "") -> str:
    return f"/h/{housing.serial}/readings/" + (f"{code}/" if code else "")


def opened(signed_in: SignedIn, housing: Housing, code: str, stamp: str = "W1") -> Visitor:
    visitor = signed_in(stamp)
    assert visitor.get(at(housing, code)).status_code == 200
    return visitor


def test_it_asks_for_the_first_that_is_due_and_lists_all(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(housing))
    assert "1 of 10 at Face and drill" in worker.page.text
    assert "All that is due at Face and drill" in worker.page.text
    assert worker.page.text.count("not measured") >= 16
    assert "autofocus" in worker.response.content.decode()  # type: ignore[union-attr]


def test_a_stranger_is_sent_to_sign_in(housing: Housing) -> None:
    response = Visitor().get(at(housing))
    assert response.status_code == 302 and response["Location"].startswith("/sign-in/")


@pytest.mark.parametrize("stamp", ["O1", "E1"])
def test_who_may_not_record_sees_what_is_due_and_why(
    housing: Housing, signed_in: SignedIn, stamp: str
) -> None:
    visitor = opened(signed_in, housing, "pilot_bore", stamp)
    assert "This needs the role station worker or QC lead." in visitor.page.text
    assert not any("sent_key" in form.values for form in visitor.page.forms)
    data = {"value": "7.25", "gauge": GAUGE, "seen_position": housing.record_position, "visit": 5}
    assert visitor.post(at(housing, "pilot_bore"), data).status_code == 403
    assert not Reading.objects.filter(characteristic__code="pilot_bore").exists()


def test_a_figure_is_judged_at_once_and_the_next_one_asked(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "pilot_bore")
    send(worker, value="7,2512", gauge=GAUGE, temperature="68", temperature_unit="F")
    worker.follow()
    assert "Pass Diameter of the pilot bore: 7.2512 in, may be from 7.250 to 7.252 in." in worker.page.text
    reading = Reading.objects.get(characteristic__code="pilot_bore")
    assert reading.raw == {"value": "7.2512", "unit": "in"}
    assert (reading.by_stamp, reading.temperature, reading.temperature_unit) == ("W1", "68", "F")
    # The gauge and how warm the part is are kept for the next one.
    assert form_of(worker).values["gauge"] == GAUGE
    assert form_of(worker).values["temperature"] == "68"


def test_a_figure_in_millimeters_is_turned_exactly(housing: Housing, signed_in: SignedIn) -> None:
    # 184.2008 mm / 25.4 = 7.252 in exactly: the upper limit itself, which passes (1 in = 25.4 mm).
    worker = opened(signed_in, housing, "pilot_bore")
    send(worker, value="184.2008", unit="mm", gauge=GAUGE)
    worker.follow()
    assert "Pass Diameter of the pilot bore: 7.252" in worker.page.text


def test_a_failing_figure_says_which_nonconformance_it_opened(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "pilot_bore")
    send(worker, value="7.2561", gauge=GAUGE)
    worker.follow()
    assert "Fail Diameter of the pilot bore: 7.2561 in" in worker.page.text
    assert "nonconformance 1 of this housing" in worker.page.text
    assert f"/nonconformances/{housing.serial}/1/" in worker.page.links


def test_a_double_tap_records_once_and_gets_the_same_answer(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "pilot_bore")
    data = {**form_of(worker).values, "value": "7.2561", "gauge": GAUGE}
    answers = [worker.post(at(housing, "pilot_bore"), data)["Location"] for _tap in range(2)]
    assert answers[0] == answers[1]
    assert Reading.objects.filter(characteristic__code="pilot_bore").count() == 1
    assert Nonconformance.objects.count() == 1


def test_going_back_and_sending_something_else_asks_first(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "pilot_bore")
    data = {**form_of(worker).values, "value": "7.25000", "gauge": GAUGE}
    worker.post(at(housing, "pilot_bore"), data)
    assert worker.post(at(housing, "pilot_bore"), {**data, "value": "7.25001"}).status_code == 422
    assert "sent before with something else" in worker.page.text
    assert form_of(worker).values["value"] == "7.25001"
    send(worker)
    assert Reading.objects.filter(characteristic__code="pilot_bore").count() == 2


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "Type what the gauge says."),
        ("2,500.5", "has a point and a comma"),
        ("2.5.0", "more than one decimal sign"),
        ("two", "two is no number"),
        ("2.5\x00", "Null characters are not allowed."),
        ("\U0001f527", "is no number"),
        ("9" * 10_000, "is no number"),
    ],
)
def test_a_bad_figure_is_refused_beside_its_field(
    housing: Housing, signed_in: SignedIn, typed: str, says: str
) -> None:
    worker = opened(signed_in, housing, "pilot_bore")
    assert send(worker, value=typed, gauge=GAUGE, temperature="71").status_code == 422
    assert says in worker.page.text
    assert form_of(worker).values["temperature"] == "71"
    assert not Reading.objects.filter(characteristic__code="pilot_bore").exists()


def test_what_the_rules_demand_is_said_beside_the_gauge(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "pilot_bore")
    assert send(worker, value="7.25", gauge="").status_code == 422
    assert "Say with which gauge Diameter of the pilot bore was measured." in worker.page.text
    assert send(worker, value="7.25", gauge=OVERDUE).status_code == 409
    assert f"The check of the gauge {OVERDUE} was due on" in worker.page.text
    assert form_of(worker).values["value"] == "7.25"
    assert send(worker, value="7.25", gauge="nothing").status_code == 422
    assert send(worker, value="7.25", gauge=GAUGE, temperature="700").status_code == 422
    assert "700 is no temperature of a part in a shop." in worker.page.text


def test_a_gauge_scanned_where_a_figure_is_typed_is_chosen(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "pilot_bore")
    assert send(worker, value=GAUGE.lower(), gauge="").status_code == 200
    assert f"Gauge {GAUGE} is chosen." in worker.page.text
    assert form_of(worker).values["gauge"] == GAUGE
    assert form_of(worker).values["value"] == ""
    assert send(worker, value="7.25001").status_code == 302


def test_a_look_is_answered_by_one_of_two_buttons(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "inside_clean")
    assert "As it should be" in worker.page.text
    worker.press("result", "no_go")
    worker.follow()
    assert "Fail" in worker.page.text and "not as it should be" in worker.page.text
    worker.get(at(housing, "inside_clean"))
    worker.press("result", "go")
    worker.follow()
    assert "Pass" in worker.page.text


def test_an_answer_that_is_none_is_refused(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "inside_clean")
    assert send(worker, result="perhaps").status_code == 422


def test_a_turn_is_read_place_by_place_or_pasted(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "journal_runout_left")
    places = {f"turn_{n}": v for n, v in enumerate(["0", "0.0015", "0,0030", "-0.0005"])}
    assert "12:00" in worker.page.text and "3:00" in worker.page.text
    assert send(worker, gauge=GAUGE, **{**places, "turn_1": ""}).status_code == 422
    assert "Nothing stands at: 3:00." in worker.page.text
    send(worker, gauge=GAUGE, **places)
    worker.follow()
    # Full indicator movement is greatest minus least: 0.0030 - (-0.0005) (common practice, no source).
    assert "Pass Runout of the left journal: 0.0035 in, may be up to 0.005 in." in worker.page.text
    worker.get(at(housing, "journal_runout_right"))
    send(worker, gauge=GAUGE, list="0 0.001 0.0062 0.002 0.001")
    worker.follow()
    assert "Fail Runout of the right journal: 0.0062 in" in worker.page.text


def test_a_pattern_is_one_table_with_the_drawn_centers(
    housing: Housing, floor: Floor, signed_in: SignedIn
) -> None:
    centers = floor.characteristic(housing, "hole_pattern").parameters["centers"]
    worker = opened(signed_in, housing, "hole_pattern")
    assert centers[0][0] in worker.page.text and centers[11][1] in worker.page.text
    typed = {f"{axis}_{n}": c[i] for n, c in enumerate(centers, 1) for i, axis in enumerate("xy")}
    typed |= {"x_1": f"{float(centers[0][0]) + 0.0030:.4f}", "y_1": f"{float(centers[0][1]) + 0.0040:.4f}"}
    assert send(worker, gauge=GAUGE, **{**typed, "y_7": ""}).status_code == 422
    assert "Hole 7 is not complete: y is missing." in worker.page.text
    send(worker, gauge=GAUGE, **typed)
    worker.follow()
    # Position is twice the distance: 2 x sqrt(0.0030^2 + 0.0040^2) = 0.0100 (ASME Y14.5, from memory).
    assert "0.0100 in, may be up to 0.015 in." in worker.page.text


PLANE = "\n".join(f"{x}\t{y}\t0" for x in range(3) for y in range(3))


def test_points_of_a_face_are_pasted(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "face_flatness")
    send(worker, gauge=GAUGE, list="x\ty\tz\n" + PLANE)
    worker.follow()
    assert "Pass Flatness of the face: 0 in, may be up to 0.004 in." in worker.page.text


@pytest.mark.parametrize(
    ("pasted", "says"),
    [
        ("", "Nothing can be worked out yet. Missing: Points of the face"),
        ("1 2 3", "8 to 2000 are needed"),
        ("1 2\n" * 9, "Line 1 has 2 numbers"),
        ("1,5 2.5 0\n" * 9, "decimal point and some a decimal comma"),
        ("0 0 0\n" * 9, "Flatness of the face"),
        ("1 2 3\n" * 40_000, "40000 lines are more than can be taken at once"),
        ("\U0001f600 1 2\n" * 9, "is no number"),
    ],
)
def test_a_bad_list_is_refused_and_stays(
    housing: Housing, signed_in: SignedIn, pasted: str, says: str
) -> None:
    worker = opened(signed_in, housing, "face_flatness")
    assert send(worker, gauge=GAUGE, list=pasted).status_code == 422
    assert says in worker.page.text
    assert form_of(worker).values["list"].split() == pasted.split()


def test_a_paste_of_a_hundred_thousand_points_gets_a_clear_answer(
    housing: Housing, signed_in: SignedIn
) -> None:
    worker = opened(signed_in, housing, "face_flatness")
    assert send(worker, gauge=GAUGE, list="12.0001 12.0002 0.0003\n" * 100_000).status_code == 413
    assert "more than 2000000 bytes; send less at once" in worker.page.text
    assert not Reading.objects.filter(characteristic__code="face_flatness").exists()


def test_points_can_be_typed_one_by_one(housing: Housing, signed_in: SignedIn) -> None:
    worker = signed_in("W1")
    worker.get(at(housing, "face_flatness") + "?points=12")
    typed: dict[str, Any] = {}
    for number in range(1, 10):
        typed |= {f"x_{number}": str(number % 3), f"y_{number}": str(number // 3), f"z_{number}": "0.001"}
    assert send(worker, gauge=GAUGE, **{**typed, "y_4": ""}).status_code == 422
    assert "Point 4 is not complete: y is missing." in worker.page.text
    send(worker, gauge=GAUGE, **typed)
    worker.follow()
    assert "Pass Flatness of the face" in worker.page.text


def test_what_the_work_moves_waits_for_it(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until=STATION)
    worker = opened(signed_in, housing, "pilot_bore")
    assert "is not recorded as done" in worker.page.text
    send(worker, value="7.25", gauge=GAUGE)
    worker.follow()
    assert "Kept as measured before the work of Face and drill" in worker.page.text
    floor.work(housing, STATION)
    worker.get(f"/h/{housing.serial}/measured/")
    assert "before: Face and drill moved it since" in worker.page.text


def test_it_asks_when_the_work_was_recorded_meanwhile(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until=STATION)
    worker = opened(signed_in, housing, "pilot_bore")
    floor.work(housing, STATION)
    assert send(worker, value="7.25001", gauge=GAUGE).status_code == 409
    assert "Before it or after it?" in worker.page.text
    assert form_of(worker).values["value"] == "7.25001"
    worker.press("measured", "before")
    reading = Reading.objects.get(characteristic__code="pilot_bore")
    assert reading.stands_from < reading.record_position - 1
    worker.follow()
    worker.get(at(housing, "face_thickness"))
    send(worker, value="0.5", gauge=GAUGE)
    assert worker.response is not None and worker.response.status_code == 302


def test_it_asks_the_same_of_a_plug(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing(until=STATION)
    worker = opened(signed_in, housing, "inside_clean")
    floor.work(housing, STATION)
    worker.press("result", "go")
    assert worker.response is not None and worker.response.status_code == 409
    worker.press("measured", "after")
    assert Reading.objects.get(characteristic__code="inside_clean").raw == {"result": "go"}


def test_a_correction_replaces_and_stands_where_the_old_one_stood(
    floor: Floor, housing: Housing, signed_in: SignedIn
) -> None:
    worker = opened(signed_in, housing, "pilot_bore")
    send(worker, value="7.35", gauge=GAUGE)
    wrong = Reading.objects.get(characteristic__code="pilot_bore")
    floor.work(housing, STATION)  # a second cut: what was measured before it does not stand any more
    worker.get(at(housing, "pilot_bore") + f"?replaces={wrong.pk}")
    assert "You correct 7.35 in" in worker.page.text
    assert send(worker, value="7.25", reason="  ").status_code == 422
    assert "Say it in words." in worker.page.text
    assert send(worker, value="7.25", reason="a digit too many").status_code == 302
    right = Reading.objects.get(replaces=wrong)
    assert right.stands_from == wrong.stands_from
    standing = floor.measured(housing).standings[right.characteristic_id]
    assert standing.state == "moved_since"
    worker.get(f"/h/{housing.serial}/measured/")
    assert "replaced by 7.25 in" in worker.page.text and "a digit too many" in worker.page.text
    # Replaced once, it cannot be replaced again.
    assert worker.get(at(housing, "pilot_bore") + f"?replaces={wrong.pk}").status_code == 404


def test_a_figure_typed_before_the_housing_left_is_not_lost(
    floor: Floor, housing: Housing, signed_in: SignedIn
) -> None:
    worker = opened(signed_in, housing, "pilot_bore")
    floor.measure_due(housing, STATION)
    _leave(floor, housing)
    assert send(worker, value="7.25003", gauge=GAUGE).status_code == 200
    assert "Somebody has recorded this since you opened the page" in worker.page.text
    worker.press("told")
    reading = Reading.objects.filter(characteristic__code="pilot_bore").latest("record_position")
    assert (reading.station, reading.value) == (STATION, "7.25003")
    # It does not outrank what was measured after its page was loaded.
    assert floor.measured(housing).standings[reading.characteristic_id].reading != reading


def _leave(floor: Floor, housing: Housing) -> None:
    from housings.operations.visits import leave_station

    floor.do(leave_station, by="W1", housing=housing.serial, station=STATION)


def test_a_housing_that_is_nowhere_says_so(floor: Floor, signed_in: SignedIn) -> None:
    housing = floor.housing()
    worker = signed_in("W1")
    worker.get(at(housing))
    assert "has not arrived at any station" in worker.page.text
    data = {"value": "1", "gauge": GAUGE, "seen_position": 1, "visit": 1}
    assert worker.post(at(housing, "pilot_bore"), data).status_code in {404, 409}


@pytest.mark.parametrize("code", ["nothing", "x" * 3000, "\U0001f600"])
def test_an_unknown_characteristic_is_not_found(housing: Housing, signed_in: SignedIn, code: str) -> None:
    assert signed_in("W1").get(at(housing, code)).status_code == 404


def test_what_is_not_due_here_is_said_to_be_so(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "leak")
    assert "Loss of pressure in 5 minutes is not due at Face and drill." in worker.page.text


def test_the_page_begins_at_why_nothing_was_recorded(housing: Housing, signed_in: SignedIn) -> None:
    # A phone scrolls to what has the focus: common practice of browsers, HTML standard on "autofocus".
    worker = opened(signed_in, housing, "pilot_bore")
    assert "data-not-recorded" not in shown_by(worker)
    send(worker, value="", gauge=GAUGE)
    assert shown_by(worker).count("autofocus") == 1
    assert 'class="error-summary" role="alert" tabindex="-1" autofocus' in shown_by(worker)
    # The script keeps what came back, also if nothing more is typed.
    assert "data-not-recorded" in shown_by(worker)


def shown_by(visitor: Visitor) -> str:
    return visitor.response.content.decode()  # type: ignore[union-attr]


def test_a_gauge_for_lengths_is_not_offered_for_a_pressure(
    housing: Housing, floor: Floor, signed_in: SignedIn
) -> None:
    # A bore gauge reads no pressure: common practice, no source.
    worker = opened(signed_in, housing, "pilot_bore")
    send(worker, value="7.2512", gauge=GAUGE)
    worker.get(at(housing, "width"))
    assert form_of(worker).values["gauge"] == GAUGE
    worker.get(at(floor.housing(until="leak_test"), "leak"))
    assert form_of(worker).values["gauge"] == ""


def test_the_housing_names_what_is_next_as_its_page_does(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "journal_runout_left")
    send(worker, turn_0="0", turn_1="0.001", turn_2="0.002", turn_3="0.001", gauge=GAUGE)
    worker.get(f"/h/{housing.serial}/")
    assert "Next: Both ends from the bar" in worker.page.text


def test_one_that_is_signed_off_is_not_said_to_have_arrived_nowhere(
    floor: Floor, signed_in: SignedIn
) -> None:
    worker = signed_in("W1")
    worker.get(at(floor.housing(until="signed")))
    assert "This housing is signed off." in worker.page.text
    assert "has not arrived at any station" not in worker.page.text
