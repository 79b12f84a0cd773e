"""The page of a joint: one tap a pass, what was typed stays, and who may do what."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import Any

import pytest
import time_machine

from housings.models import Arc, FitUp, Housing, JointSettings, JointTemperature, PassTakenBack, WeldPass
from shopqc.operations.shop import switch_rule
from tests.factories import AT, Floor
from tests.housings.conftest import SignedIn
from tests.visitor import Visitor
from tests.volume import many_like

MINUTE = datetime.timedelta(minutes=1)
LEFT = "snout_left"


@pytest.fixture
def floor(db: None) -> Iterator[Floor]:
    """A floor with a procedure for every joint."""
    with time_machine.travel(AT, tick=False):
        floor = Floor()
        floor.procedures()
        floor.procedure("snout-4140-250", preheat_least="250", interpass_greatest="400")
        yield floor


@pytest.fixture
def housing(floor: Floor) -> Housing:
    return floor.housing(until="snouts")


def page_of(signed_in: SignedIn, housing: Housing, code: str = LEFT, stamp: str = "W1") -> Visitor:
    visitor = signed_in(stamp)
    assert visitor.get(f"/h/{housing.serial}/weld/{code}/").status_code == 200
    return visitor


def passes(housing: Housing, code: str = LEFT) -> list[int]:
    rows = WeldPass.objects.filter(housing=housing, joint__code=code, taken_back=None)
    return list(rows.order_by("number").values_list("number", flat=True))


def test_one_tap_says_what_both_crayons_said_and_that_the_pass_is_done(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    floor.weld(housing, LEFT)
    with time_machine.travel(floor.at + 5 * MINUTE, tick=False):
        worker = page_of(signed_in, housing)
        assert "250 °F melted, 400 °F did not: Pass 2 done" in worker.page.text
        worker.press("do", "pass_crayons")
        worker.follow()
    assert "Pass 2 is recorded." in worker.page.text
    assert passes(housing) == [1, 2]
    crayons = JointTemperature.objects.filter(housing=housing).exclude(crayon="").order_by("index")
    assert [(one.value, one.crayon, one.place) for one in crayons] == [
        ("250", "above", "stop"),
        ("400", "below", "stop"),
    ]


def test_the_same_tap_sent_twice_is_one_pass(floor: Floor, signed_in: SignedIn, housing: Housing) -> None:
    worker = page_of(signed_in, housing)
    form = worker.page.form_with("do", "pass_crayons")
    assert form is not None
    sent = {**form.values, "do": "pass_crayons"}
    first = worker.post(worker.url, sent)
    again = worker.post(worker.url.split("?")[0], sent)
    assert (first.status_code, again.status_code) == (302, 302)
    assert passes(housing) == [1]


def test_a_page_that_is_behind_is_told_which_pass_is_known(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    mine = page_of(signed_in, housing)
    other = page_of(signed_in, housing, stamp="Q1")
    other.press("do", "pass_crayons")
    assert mine.press("do", "pass_crayons").status_code == 409
    assert "Pass 1 of Left snout to tube is on record already" in mine.page.text
    assert passes(housing) == [1]


def test_a_reading_is_kept_with_place_and_time(floor: Floor, signed_in: SignedIn, housing: Housing) -> None:
    floor.weld(housing, LEFT)
    with time_machine.travel(floor.at + 6 * MINUTE, tick=False):
        worker = page_of(signed_in, housing)
        worker.press("do", "temperature", value="380", read_minutes_ago="2", place=["stop"])
        worker.follow()
    assert "Read 380 °F at" in worker.page.text
    read = JointTemperature.objects.filter(housing=housing).order_by("record_position").last()
    assert read is not None and (read.value, read.done_at) == ("380", floor.at + 4 * MINUTE)


@pytest.mark.parametrize(
    ("typed", "status", "said"),
    [
        ({"value": ""}, 422, "Type what the thermometer says."),
        ({"value": "hot"}, 422, "A temperature is a number such as 310."),
        ({"value": "9999"}, 422, "No joint is at"),
        ({"value": "380", "read_minutes_ago": "-1"}, 422, "Type whole minutes, from 0 to 720."),
        ({"value": "380", "read_minutes_ago": "90"}, 422, "is before the end of the last pass"),
        ({"value": "380", "place": ["moon"]}, 422, "moon"),
        ({"value": "120"}, 409, "Was it 120 °C?"),
    ],
)
def test_what_cannot_be_is_explained_and_what_was_typed_stays(
    floor: Floor, signed_in: SignedIn, housing: Housing, typed: dict[str, Any], status: int, said: str
) -> None:
    floor.weld(housing, LEFT)
    before = JointTemperature.objects.count()
    with time_machine.travel(floor.at + 2 * MINUTE, tick=False):
        worker = page_of(signed_in, housing)
        assert worker.press("do", "temperature", **typed).status_code == status
    assert said in worker.page.text
    assert JointTemperature.objects.count() == before
    form = worker.page.form_with("do", "temperature")
    assert form is not None and form.values["value"] == typed["value"]


def test_an_unlikely_figure_is_kept_once_somebody_is_sure(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    floor.weld(housing, LEFT)
    with time_machine.travel(floor.at + 2 * MINUTE, tick=False):
        worker = page_of(signed_in, housing)
        worker.press("do", "temperature", value="120")
        assert worker.press("do", "temperature", sure="on").status_code == 302
    assert JointTemperature.objects.filter(value="120", unit="F").exists()


def test_too_hot_and_too_cold_are_one_tap_as_well(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    floor.weld(housing, LEFT)
    with time_machine.travel(floor.at + 5 * MINUTE, tick=False):
        worker = page_of(signed_in, housing)
        worker.press("do", "too_hot")
        worker.follow()
        assert "400 °F melted at" in worker.page.text
    assert JointTemperature.objects.filter(crayon="above", value="400").count() == 1


def test_arc_on_and_pass_done_are_one_tap_each(floor: Floor, signed_in: SignedIn, housing: Housing) -> None:
    worker = page_of(signed_in, housing)
    worker.press("do", "begin")
    worker.follow()
    assert "Arc on since" in worker.page.text
    with time_machine.travel(floor.at + 4 * MINUTE, tick=False):
        worker.press("do", "pass")
    entry = WeldPass.objects.get(housing=housing)
    assert (entry.begun_at, entry.done_at) == (floor.at, floor.at + 4 * MINUTE)
    assert Arc.objects.get().ended == "pass"


def test_an_arc_begun_by_mistake_is_taken_back(floor: Floor, signed_in: SignedIn, housing: Housing) -> None:
    worker = page_of(signed_in, housing)
    worker.press("do", "begin")
    worker.follow()
    worker.press("do", "drop_arc")
    worker.follow()
    assert "The arc is taken back" in worker.page.text
    assert passes(housing) == []


def test_a_pass_that_was_a_slip_is_taken_back_with_a_reason(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    floor.weld(housing, LEFT)
    worker = page_of(signed_in, housing)
    assert worker.press("do", "take_back", why="").status_code == 422
    worker.press("do", "take_back", why="a second tap")
    worker.follow()
    assert "Pass 1 was taken back" in worker.page.text and "a second tap" in worker.page.text
    assert PassTakenBack.objects.get().by_stamp == "W1" and passes(housing) == []


def test_fit_up_is_judged_and_says_what_is_not_as_asked(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    floor.do(switch_rule, by="O1", rule="fit_up_accepted", in_use=True)
    worker = page_of(signed_in, housing)
    assert "Fit-up first" in worker.page.text and worker.page.form_with("do", "pass_crayons") is None
    figures = {"gap": "0,30", "land": "0.06", "mismatch": "0.01", "bevel": "30", "tacked_by": "W1"}
    answers = {"is_clean": "yes", "purged": "yes", "preheated": "yes"}
    assert worker.press("do", "fit_up", **figures).status_code == 422
    worker.press("do", "fit_up", **figures, **answers)
    worker.follow()
    assert "not accepted" in worker.page.text and "Gap 0.30 in" in worker.page.text
    worker.press("do", "fit_up", **{**figures, "gap": "0.09"}, **answers)
    worker.follow()
    assert [one.accepted for one in FitUp.objects.order_by("record_position")] == [False, True]
    assert worker.page.form_with("do", "pass_crayons") is not None


def test_settings_are_said_once_and_kept_with_their_units(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    worker = page_of(signed_in, housing)
    worker.press("do", "settings", volts="12,5", amps="180", travel="3.5", position="PH")
    worker.follow()
    assert "12.5 V, 180 A, 3.5 in/min, PH" in worker.page.text
    assert JointSettings.objects.get().outside == []
    worker.press("do", "settings", amps="0")
    assert "This has to be above zero; read it off the machine." in worker.page.text
    worker.press("do", "pass_crayons")
    worker.get(f"/h/{housing.serial}/weld/{LEFT}/")
    # 12.5 V × 180 A × 60 / (3.5 in/min) = 38.6 kJ/in (arc energy, EN 1011-1)
    assert "38.6 kJ/in of arc energy" in worker.page.text


def test_outside_the_procedure_is_kept_and_said(floor: Floor, signed_in: SignedIn, housing: Housing) -> None:
    worker = page_of(signed_in, housing)
    worker.press("do", "settings", volts="12.5", amps="260", travel="3.5")
    worker.follow()
    assert "outside the procedure" in worker.page.text
    worker.press("do", "pass_crayons")
    worker.follow()
    assert "Nonconformance 1 was opened." in worker.page.text
    assert passes(housing) == [1]


def test_where_all_numbers_are_asked_there_is_no_one_tap(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    lead = page_of(signed_in, housing, stamp="Q1")
    lead.press("do", "each_pass", why=["audit"])
    worker = page_of(signed_in, housing)
    assert worker.page.form_with("do", "pass_crayons") is None
    assert "Every pass is recorded with all its numbers: audit." in worker.page.text
    assert worker.press("do", "pass_read", value="270").status_code == 422
    assert "volts, amps, travel" in worker.page.text
    assert passes(housing) == []
    worker.press("do", "pass_read", value="270", volts="12.5", amps="180", travel="3.5")
    assert passes(housing) == [1]
    lead.get(lead.url)
    lead.press("do", "each_pass", why="")
    lead.follow()
    assert "One tap is enough again." in lead.page.text


def test_what_is_counted_is_done_one_by_one_or_all_at_once(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    worker = page_of(signed_in, housing, "rosettes_left")
    worker.press("do", "pass_crayons")
    worker.follow()
    assert "1 of 4 done" in worker.page.text.lower()
    worker.press("do", "pass_all")
    worker.follow()
    assert passes(housing, "rosettes_left") == [1, 2, 3, 4]
    assert "All done" in worker.page.text and not worker.page.has_button("do", "pass")


def test_what_is_not_the_welders_to_do_is_not_offered(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    owner = page_of(signed_in, housing, stamp="O1")
    assert not owner.page.has_button("do", "pass_crayons") and not owner.page.has_button("do", "fit_up")
    assert owner.post(owner.url, {"do": "pass_crayons", "number": "1"}).status_code == 403
    assert not page_of(signed_in, housing).page.has_button("do", "each_pass")
    assert passes(housing) == []


def test_a_joint_elsewhere_shows_its_record_and_no_buttons(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    worker = page_of(signed_in, housing, "armor_back")
    assert "It is welded at Armor plates; the housing is not there." in worker.page.text
    assert not worker.page.has_button("do", "pass") and not worker.page.has_button("do", "temperature")


@pytest.mark.parametrize(
    ("address", "status"),
    [
        ("/h/{serial}/weld/nothing/", 404),
        ("/h/AX000099ZZ/weld/snout_left/", 422),
        ("/h/{serial}/weld/" + "x" * 300 + "/", 404),
    ],
)
def test_an_address_of_nothing_is_explained(
    floor: Floor, signed_in: SignedIn, housing: Housing, address: str, status: int
) -> None:
    worker = signed_in("W1")
    assert worker.get(address.format(serial=housing.serial)).status_code == status


@pytest.mark.parametrize("sent", [{}, {"do": "fly"}, {"do": "simulate"}])
def test_what_the_page_does_not_know_is_refused(
    floor: Floor, signed_in: SignedIn, housing: Housing, sent: dict[str, str]
) -> None:
    worker = page_of(signed_in, housing)
    assert worker.post(worker.url, sent).status_code == 422
    assert passes(housing) == []


@pytest.mark.parametrize(
    "sent",
    [
        {"number": "x"},
        {"number": "0"},
        {"number": "7"},
        {"number": "1", "seen_position": "-4"},
        {"number": "1", "welder": "nobody"},
        {"number": "1", "stop_at": "13"},
        {"number": "1", "volts": "0", "amps": "-3", "travel": "1e9"},
        {"number": "1", "filler": "no such heat"},
        {"number": "1", "ended_minutes_ago": "999999"},
        {"number": "1", "repair": "3"},
    ],
)
def test_bad_input_is_no_error_of_the_program(
    floor: Floor, signed_in: SignedIn, housing: Housing, sent: dict[str, str]
) -> None:
    worker = page_of(signed_in, housing)
    answer = worker.post(worker.url, {"do": "pass_crayons", **sent})
    assert 400 <= answer.status_code < 500
    assert "Nothing was written down" in worker.page.text
    assert passes(housing) == []


def test_a_pretended_thermometer_is_marked_everywhere(
    floor: Floor, signed_in: SignedIn, housing: Housing, settings: Any
) -> None:
    settings.SIMULATED_GAUGE = True
    floor.weld(housing, LEFT)
    with time_machine.travel(floor.at + 3 * MINUTE, tick=False):
        worker = page_of(signed_in, housing)
        worker.press("do", "simulate")
        worker.follow()
        assert "(simulated)" in worker.page.text
        assert "Some temperatures of this joint are simulated." in worker.page.text
        worker.get("/weld/")
        assert "Some temperatures here are simulated" in worker.page.text
    assert JointTemperature.objects.filter(simulated=True).count() == 1


def test_every_weld_of_a_housing_stands_on_one_page(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    floor.weld(housing, LEFT)
    worker = signed_in("O1")
    assert worker.get(f"/h/{housing.serial.lower()}/weld/").status_code == 302
    worker.follow()
    text = worker.page.text
    assert text.index("Snouts it is here now") < text.index("Armor plate at the back")
    assert "1 of at least 3" in text and "W1" in text


def test_the_housings_page_leads_to_its_joints(floor: Floor, signed_in: SignedIn, housing: Housing) -> None:
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/")
    assert "Welds here" in worker.page.text
    assert f"/h/{housing.serial}/weld/{LEFT}/" in worker.page.links


def test_after_the_last_arc_somebody_watches_for_fire(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    worker = signed_in("W1")
    worker.get("/weld/fire-watch/")
    assert "No watch is due." in worker.page.text
    floor.weld(housing, LEFT)
    with time_machine.travel(floor.at + 30 * MINUTE, tick=False):
        worker.get("/weld/fire-watch/")
        assert "somebody watches until" in worker.page.text
        assert worker.page.form_with("do", "watched") is None
        assert worker.post("/weld/fire-watch/", {"do": "watched"}).status_code == 409
        worker.get("/weld/")
        assert f"Fire watch until {floor.at + 60 * MINUTE:%H:%M}" in worker.page.text
    with time_machine.travel(floor.at + 61 * MINUTE, tick=False):
        worker.get("/weld/fire-watch/")
        assert worker.press("do", "found", found=" ").status_code == 422
        worker.press("do", "watched", found="typed and not meant")
        worker.follow()
        assert "Nothing found" in worker.page.text and "No watch is due." in worker.page.text
        worker.get("/weld/")
        assert "Fire watch" not in worker.page.text


def test_two_people_at_one_joint_record_one_pass_each_in_turn(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    first, second = (page_of(signed_in, housing, stamp=stamp) for stamp in ("W1", "Q1"))
    first.press("do", "begin")
    answer = second.press("do", "begin")
    assert answer.status_code == 409 and "The arc is on at Left snout to tube" in second.page.text
    second.get(second.url)
    assert "Stamp W1 records this pass when the arc is off." in second.page.text
    assert second.page.form_with("do", "pass") is None
    first.follow()
    first.press("do", "pass")
    second.get(second.url)
    assert "Pass 2 is next" in second.page.text and passes(housing) == [1]


def test_a_housing_released_before_there_were_joints_shows_what_it_will_have(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    """Such a housing has no joint rows; the copy of a size test has none either."""
    (serial,) = many_like(housing, 1)
    worker = signed_in("W1")
    for address in ("/weld/", f"/h/{serial}/weld/", f"/h/{serial}/weld/{LEFT}/", f"/h/{serial}/"):
        assert worker.get(address).status_code == 200, address
    assert "Welds here" in worker.page.text


def test_a_reading_that_is_unlike_the_joint_is_asked_about(
    floor: Floor, signed_in: SignedIn, housing: Housing
) -> None:
    floor.weld(housing, LEFT)
    with time_machine.travel(floor.at + MINUTE, tick=False):
        worker = page_of(signed_in, housing)
        worker.press("do", "temperature", value="1500", place=["stop"])
        worker.follow()
    assert "is unlike this joint: look again at the temperature" in worker.page.text
