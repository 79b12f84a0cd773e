"""The arc starts only after a temperature that the procedure allows, once the shop asks for it.

Preheat and interpass limits of the example procedures are invented. That a joint is read where the pass
stopped, and that it cools about ten minutes to its preheat: common practice, no source.
"""

from __future__ import annotations

import pytest

from housings.models import Housing, JointTemperature, WeldPass
from housings.weld_rules import ARC_RELEASED, PROCEDURE_FOLLOWED
from shopqc import ledger
from tests.at_the_gate import refused
from tests.factories import Floor
from tests.housings.at_a_joint import (
    COLD,
    HOT,
    LEFT,
    RIGHT,
    ROSETTES,
    WARM,
    begin,
    done,
    heat,
    later,
    read,
    text,
    use,
)


@pytest.fixture
def bench(floor: Floor) -> Housing:
    """A housing at the snouts: the arc starts only by temperature."""
    floor.procedures()
    use(floor, ARC_RELEASED)
    return floor.housing(until="snouts")


@pytest.fixture
def after_root(floor: Floor, bench: Housing) -> Housing:
    """Its left snout has one pass."""
    done(floor, bench, 1, temperatures=[read()])
    return bench


def test_each_arc_wants_a_reading_of_its_own(floor: Floor, bench: Housing) -> None:
    with refused("heat_not_read"):
        done(floor, bench, 1)
    done(floor, bench, 1, temperatures=[read()])
    with refused("heat_not_read"):
        done(floor, bench, 2)
    done(floor, bench, 2, temperatures=[read()])
    readings = [entry.released_by for entry in WeldPass.objects.order_by("number")]
    assert [one.after_pass for one in readings if one] == [0, 1]


def test_a_reading_of_its_own_line_counts_too(floor: Floor, after_root: Housing) -> None:
    heat(floor, after_root, read(), at=later(floor, 9))
    done(floor, after_root, 2, at=later(floor, 12))
    assert WeldPass.objects.get(number=2).released_by == JointTemperature.objects.get(done_at=later(floor, 9))


def test_an_end_told_as_minutes_ago_is_rounded_down(floor: Floor, after_root: Housing) -> None:
    """Read half a minute into the minute in which the pass ended: it was read before."""
    heat(floor, after_root, read(), at=later(floor, 9.5))
    done(floor, after_root, 2, at=later(floor, 10.5), done_at=text(later(floor, 9)))
    assert WeldPass.objects.get(number=2).released_by is not None


def test_what_was_read_after_an_arc_did_not_let_it_start(floor: Floor, after_root: Housing) -> None:
    heat(floor, after_root, read(), at=later(floor, 9))
    with refused("heat_not_read"):
        done(floor, after_root, 2, at=later(floor, 10), done_at=text(later(floor, 5)))
    with refused("heat_not_read"):
        begin(floor, after_root, 2, at=later(floor, 10), done_at=text(later(floor, 5)))
    assert WeldPass.objects.count() == 1


@pytest.mark.parametrize(("value", "code"), [(COLD, "too_cold"), (HOT, "too_hot")])
def test_too_cold_and_too_hot_are_refused_with_what_to_do(
    floor: Floor, after_root: Housing, value: str, code: str
) -> None:
    with refused(code):
        begin(floor, after_root, 2, temperatures=[read(value)])
    with refused(code):
        done(floor, after_root, 2, temperatures=[read(value)])
    assert WeldPass.objects.count() == 1


def test_with_the_rule_off_it_is_kept_and_outside(floor: Floor) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")
    done(floor, housing, 1, temperatures=[read(COLD)])
    answer = done(floor, housing, 2)
    assert answer["outside"] == []
    first = WeldPass.objects.get(number=1)
    assert [one["code"] for one in first.outside] == ["preheat"]
    assert first.released_by is None


def test_two_crayons_release_together(floor: Floor, after_root: Housing) -> None:
    above, below = read("400", crayon="above"), read("600", crayon="below")
    with refused("high_end_open"):
        begin(floor, after_root, 2, temperatures=[above])
    with refused("low_end_open"):
        begin(floor, after_root, 2, temperatures=[below])
    begin(floor, after_root, 2, temperatures=[above, below])
    assert JointTemperature.objects.filter(joint__code=LEFT, after_pass=1).count() == 2


def test_it_is_read_at_the_place_of_the_procedure(floor: Floor, after_root: Housing) -> None:
    with refused("heat_read_elsewhere"):
        begin(floor, after_root, 2, temperatures=[read(place="away")])
    # Left out, the place is the procedure's own.
    begin(floor, after_root, 2, temperatures=[{"value": WARM, "unit": "F"}])


def test_a_reading_grows_old(floor: Floor, after_root: Housing) -> None:
    heat(floor, after_root, read(), at=later(floor, 10))
    with refused("heat_too_old"):
        begin(floor, after_root, 2, at=later(floor, 16))
    begin(floor, after_root, 2, at=later(floor, 15))
    # The pass itself may take its time.
    done(floor, after_root, 2, at=later(floor, 40))


def test_rosettes_want_preheat_and_no_interpass(floor: Floor, bench: Housing) -> None:
    with refused("heat_not_read"):
        done(floor, bench, 1, joint=ROSETTES)
    done(floor, bench, 1, joint=ROSETTES, temperatures=[read(HOT, place="beside")])
    # The reading before it still counts for its neighbor a few minutes later.
    done(floor, bench, 2, joint=ROSETTES, passes=3, at=later(floor, 4))


def test_celsius_for_fahrenheit_is_asked_about(floor: Floor, after_root: Housing) -> None:
    """232 °C is 449.6 °F; typed as °F it is no temperature two minutes after an arc; 400 °C is 752 °F."""
    with refused("unit_asked"):
        heat(floor, after_root, read("140"), at=later(floor, 2))
    with refused("unit_asked"):
        heat(floor, after_root, read("400", unit="C"), at=later(floor, 2))
    with refused("unit_asked"):
        done(floor, after_root, 2, temperatures=[read("450", unit="C")])
    heat(floor, after_root, read("400", unit="C"), at=later(floor, 2), sure=True)
    kept = JointTemperature.objects.order_by("record_position").last()
    assert kept is not None
    assert (kept.value, kept.unit) == ("400", "C")
    # A crayon has its temperature printed on it.
    heat(floor, after_root, read("400", unit="C", crayon="below"), at=later(floor, 3))


def test_readings_do_not_run_backwards(floor: Floor, after_root: Housing) -> None:
    heat(floor, after_root, read(done_at=text(later(floor, 5))), at=later(floor, 9))
    with refused("time_backwards"):
        heat(floor, after_root, read(done_at=text(later(floor, 4))), at=later(floor, 9))
    with refused("time_backwards"):
        two = [read(done_at=text(later(floor, 8))), read(done_at=text(later(floor, 7)))]
        heat(floor, after_root, *two, at=later(floor, 9))
    with refused("time_backwards"):
        heat(floor, after_root, read(done_at=text(later(floor, -1))), at=later(floor, 9))
    with refused("weld_in_future"):
        heat(floor, after_root, read(done_at=text(later(floor, 10))), at=later(floor, 9))
    with refused("read_after_arc"):
        done(
            floor,
            after_root,
            2,
            at=later(floor, 9),
            done_at=text(later(floor, 6)),
            temperatures=[read(done_at=text(later(floor, 7)))],
        )


@pytest.mark.parametrize(
    ("entry", "code"),
    [
        ({"value": "x", "unit": "F"}, "weld_figure_wrong"),
        ({"value": "300"}, "weld_figure_wrong"),
        ({"value": "300", "unit": "K"}, "weld_figure_wrong"),
        ({"value": "9000", "unit": "F"}, "weld_figure_wrong"),
        ({"value": "300", "unit": "F", "crayon": "melted"}, "choice_unknown"),
        ({"value": "300", "unit": "F", "place": "roof"}, "choice_unknown"),
        ({"value": "300", "unit": "F", "thermometer": "t" * 21}, "weld_figure_wrong"),
        ({"value": "300", "unit": "F", "colour": "red"}, "field_unknown"),
    ],
)
def test_what_is_no_temperature_is_refused(
    floor: Floor, bench: Housing, entry: dict[str, str], code: str
) -> None:
    with refused(code):
        heat(floor, bench, entry)
    with refused(code):
        done(floor, bench, 1, temperatures=[entry])


def test_of_temperatures_there_are_some_and_not_too_many(floor: Floor, bench: Housing) -> None:
    with refused("temperatures_number"):
        heat(floor, bench)
    with refused("temperatures_number"):
        heat(floor, bench, *[read()] * 21)


def test_nothing_is_read_while_the_arc_is_on(floor: Floor, bench: Housing) -> None:
    begin(floor, bench, 1, temperatures=[read()])
    with refused("arc_on_joint"):
        heat(floor, bench, read())
    heat(floor, bench, read(), joint=RIGHT)


def test_no_procedure_no_arc_once_the_shop_asks(floor: Floor) -> None:
    use(floor, PROCEDURE_FOLLOWED)
    housing = floor.housing(until="snouts")
    with refused("procedure_missing"):
        begin(floor, housing, 1)
    floor.procedures()
    other = floor.housing(until="snouts")
    begin(floor, other, 1)
    assert ledger.verify().faults == ()
