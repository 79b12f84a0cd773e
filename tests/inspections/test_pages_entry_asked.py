"""What is asked before a reading is recorded: a slip of the hand, somebody else's reading."""

from __future__ import annotations

import pytest

from housings.models import Housing
from inspections.models import Reading
from tests.factories import GAUGE, Floor
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


def at(housing: Housing, code: str) -> str:
    return f"/h/{housing.serial}/readings/{code}/"


def opened(signed_in: SignedIn, housing: Housing, code: str, stamp: str = "W1") -> Visitor:
    visitor = signed_in(stamp)
    assert visitor.get(at(housing, code)).status_code == 200
    return visitor


def recorded(code: str) -> list[Reading]:
    return list(Reading.objects.filter(characteristic__code=code).order_by("record_position"))


def test_inches_for_millimeters_are_asked_about_and_nothing_is_lost(
    housing: Housing, signed_in: SignedIn
) -> None:
    worker = opened(signed_in, housing, "face_thickness")
    code, value = "face_thickness", "12.7"
    assert send(worker, value=value, gauge=GAUGE, settled="on").status_code == 200
    # 12.7 mm / 25.4 = 0.5 in exactly.
    assert "Reading: you typed 12.7 in. Did you mean 12.7 mm?" in worker.page.text
    assert recorded(code) == []
    assert form_of(worker).values["value"] == value
    assert form_of(worker).values["settled"] == ["on"]
    worker.press("meant", "other")
    (reading,) = recorded(code)
    assert (reading.raw, reading.value) == ({"value": "12.7", "unit": "mm"}, "0.5")


def test_what_is_confirmed_is_recorded_as_typed(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "width")
    send(worker, value="6.0", gauge=GAUGE)
    assert "you typed 6.0 in. Did you mean 60 in?" in worker.page.text
    worker.press("confirmed")
    (reading,) = recorded("width")
    assert reading.raw == {"value": "6.0", "unit": "in"} and reading.verdict == "fail"
    assert reading.setup == {}


def test_another_figure_after_the_question_is_looked_at_again(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "width")
    send(worker, value="6.0", gauge=GAUGE)
    worker.press("confirmed", None, value="600.1")
    assert "you typed 600.1 in. Did you mean 60.01 in?" in worker.page.text
    assert recorded("width") == []


def test_one_place_of_a_turn_ten_times_the_others(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "journal_runout_left")
    count = sum(1 for name in form_of(worker).values if name.startswith("turn_"))
    typed = {f"turn_{number}": "0.001" for number in range(count)} | {"turn_2": "0.012"}
    send(worker, gauge=GAUGE, **typed)
    assert "you typed 0.012 in. Did you mean 0.0012 in?" in worker.page.text
    worker.press("meant", "other")
    (reading,) = recorded("journal_runout_left")
    assert reading.raw["readings"][2] == "0.0012"


def test_enter_answers_no_question(housing: Housing, signed_in: SignedIn) -> None:
    """A gauge that types Enter once more presses the first button, which only asks again."""
    worker = opened(signed_in, housing, "width")
    send(worker, value="6.0", gauge=GAUGE)
    first = form_of(worker).buttons[0]
    assert (first.name, first.value) == ("", "")
    assert send(worker).status_code == 200 and recorded("width") == []


def test_a_bad_part_is_not_asked_about(housing: Housing, signed_in: SignedIn) -> None:
    worker = opened(signed_in, housing, "width")
    assert send(worker, value="60.2", gauge=GAUGE).status_code == 302
    assert recorded("width")[0].verdict == "fail"


def test_the_second_of_two_people_is_told_and_both_readings_are_kept(
    housing: Housing, signed_in: SignedIn
) -> None:
    first = opened(signed_in, housing, "width", "W1")
    second = opened(signed_in, housing, "width", "M1")
    send(first, value="60.001", gauge=GAUGE)
    assert send(second, value="60.002", gauge=GAUGE).status_code == 200
    assert "Somebody has recorded this since you opened the page" in second.page.text
    assert "60.001 in" in second.page.text and "By stamp W1." in second.page.text
    assert form_of(second).values["value"] == "60.002"
    assert len(recorded("width")) == 1
    second.press("told")
    assert [reading.value for reading in recorded("width")] == ["60.001", "60.002"]


def test_what_comes_after_being_told_is_told_as_well(housing: Housing, signed_in: SignedIn) -> None:
    first, second = (opened(signed_in, housing, "width", stamp) for stamp in ("W1", "M1"))
    send(first, value="60.001", gauge=GAUGE)
    send(second, value="60.002", gauge=GAUGE)
    first.get(at(housing, "width"))
    send(first, value="60.003", gauge=GAUGE)
    second.press("told")
    assert "60.003 in" in second.page.text and "60.001 in" not in second.page.text.split("Record mine")[0]
    second.press("told")
    assert len(recorded("width")) == 3


def test_ones_own_reading_is_no_news(housing: Housing, signed_in: SignedIn) -> None:
    here, there = (opened(signed_in, housing, "width", "W1") for _device in range(2))
    send(here, value="60.001", gauge=GAUGE)
    assert send(there, value="60.002", gauge=GAUGE).status_code == 302


def test_a_plug_waits_for_the_answer_too(housing: Housing, signed_in: SignedIn) -> None:
    first, second = (opened(signed_in, housing, "inside_clean", stamp) for stamp in ("W1", "M1"))
    first.press("result", "go")
    second.press("result", "no_go")
    assert "Somebody has recorded this since" in second.page.text
    assert not second.page.has_button("result")
    second.press("told")
    assert [reading.value for reading in recorded("inside_clean")] == ["go", "no_go"]
