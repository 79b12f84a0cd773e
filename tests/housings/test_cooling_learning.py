"""What stored joints teach: from ten finished ones on, computed again the same, nothing pretended."""

from __future__ import annotations

import datetime
from decimal import Decimal

import pytest

from housings import states
from housings.cooling_learning import cool_downs, learn_what_is_new
from housings.engineering.cooling import DEFAULT_PRIOR, CoolingCurve, CoolingPrior
from housings.joint_cooling import cooled_passes, priors
from housings.models import CoolingLearned, Housing, Joint, JointTemperature, Visit, WeldPass
from housings.tasks import learn_cooling
from tests.factories import Floor

MINUTE = datetime.timedelta(minutes=1)
# °F at 1, 3 and 8 minutes after the end of the arc: a slow joint, such as one with a heavy snout.
COOLS = ((1, "560"), (3, "470"), (8, "380"))


def weld(floor: Floor, housing: Housing, code: str, passes: int = 5, *, simulated: bool = False) -> Joint:
    """Rows of a joint that was welded and read; only what is learned from them is looked at here."""
    joint = Joint.objects.get(housing=housing, code=code)
    visit = Visit.objects.get(housing=housing, station=joint.station)
    person = floor.person("W1")
    for number in range(1, passes + 1):
        end = floor.at + 20 * number * MINUTE
        position = 1000 * joint.number + 10 * number
        WeldPass.objects.create(
            housing=housing,
            joint=joint,
            visit=visit,
            station=joint.station,
            number=number,
            record_position=position,
            done_at=end,
            received_at=end,
            welder=person,
            by_stamp="W1",
        )
        JointTemperature.objects.bulk_create(
            JointTemperature(
                housing=housing,
                joint=joint,
                visit=visit,
                value=value,
                unit="F",
                place="stop",
                after_pass=number,
                simulated=simulated,
                record_position=position + index,
                done_at=end + minutes * MINUTE,
                received_at=end + minutes * MINUTE,
                by_stamp="W1",
            )
            for index, (minutes, value) in enumerate(COOLS, start=1)
        )
    return joint


def finished(floor: Floor, count: int, *, simulated: bool = False) -> list[Housing]:
    """Housings whose snouts were welded and which have left the station."""
    found = floor.order(quantity=count)
    for housing in found:
        for code in ("snout_left", "snout_right"):
            weld(floor, housing, code, simulated=simulated)
        Visit.objects.filter(housing=housing, station="snouts").update(
            state=states.LEFT, left_at=floor.at + datetime.timedelta(hours=2)
        )
    return found


def opens_after(prior: CoolingPrior) -> float:
    """Minutes until the fifth pass of a joint is expected to be at 400 °F."""
    return CoolingCurve.fit([], pass_number=5, ambient_c=20, prior=prior).crossing("204.4").median


@pytest.mark.django_db
def test_fewer_than_ten_joints_teach_nothing(floor: Floor) -> None:
    finished(floor, 4)
    assert learn_what_is_new(floor.at) == []
    assert priors() == {}


@pytest.mark.django_db
def test_ten_joints_are_learned_from_and_again_comes_out_the_same(floor: Floor) -> None:
    finished(floor, 5)
    later = floor.at + datetime.timedelta(hours=3)
    assert learn_what_is_new(later) == ["snout"]
    first = CoolingLearned.objects.get(kind="snout")
    assert first.joints == 10
    # They cooled more slowly than the default expects, so the shop's own joints wait longer.
    assert opens_after(priors()["snout"]) > opens_after(DEFAULT_PRIOR)
    assert learn_what_is_new(later + MINUTE) == []
    CoolingLearned.objects.update(learned_at=floor.at)
    assert learn_what_is_new(later + MINUTE) == ["snout"]
    assert CoolingLearned.objects.get(kind="snout").prior == first.prior


@pytest.mark.django_db
def test_the_workers_task_learns(floor: Floor) -> None:
    finished(floor, 5)
    learn_cooling()
    learn_cooling()
    assert CoolingLearned.objects.get().joints == 10


@pytest.mark.django_db
def test_what_a_thermometer_only_pretended_teaches_nothing(floor: Floor) -> None:
    finished(floor, 5, simulated=True)
    assert learn_what_is_new(floor.at + datetime.timedelta(hours=3)) == []


@pytest.mark.django_db
def test_joints_that_are_still_at_the_bench_are_left_out(floor: Floor) -> None:
    for housing in floor.order(quantity=5):
        for code in ("snout_left", "snout_right"):
            weld(floor, housing, code)
    assert cool_downs("snout") == []


@pytest.mark.django_db
def test_passes_are_taken_with_what_was_read_between_them(floor: Floor) -> None:
    (housing,) = floor.order()
    joint = weld(floor, housing, "snout_left", passes=2)
    passes = list(WeldPass.objects.filter(joint=joint).order_by("number"))
    read = list(JointTemperature.objects.filter(joint=joint))
    found = cooled_passes(passes, read)
    assert [one.pass_number for one in found] == [1, 2]
    assert [round(one.minutes, 3) for one in found[0].readings] == [1, 3, 8]
    # 560 °F = 293.33 °C (exact: (F - 32) × 5/9)
    assert found[0].readings[0].value_c == pytest.approx(float(Decimal(528) * 5 / 9))


@pytest.mark.django_db
def test_a_reading_that_came_with_the_next_pass_and_without_its_time_is_not_fitted(floor: Floor) -> None:
    (housing,) = floor.order()
    joint = weld(floor, housing, "snout_left", passes=2)
    first, second = WeldPass.objects.filter(joint=joint).order_by("number")
    JointTemperature.objects.create(
        housing=housing,
        joint=joint,
        visit=first.visit,
        value="390",
        unit="F",
        place="stop",
        after_pass=1,
        record_position=second.record_position,
        done_at=second.done_at,
        received_at=second.done_at,
        by_stamp="W1",
    )
    read = list(JointTemperature.objects.filter(joint=joint))
    assert len(cooled_passes([first, second], read)[0].readings) == len(COOLS)


@pytest.mark.django_db
def test_summer_time_that_begins_between_pass_and_reading_changes_nothing(floor: Floor) -> None:
    """Moments are instants: the clock of the wall went from 2:00 to 3:00 in between (US, 8 March 2026)."""
    (housing,) = floor.order()
    joint = weld(floor, housing, "snout_left", passes=1)
    weld_pass = WeldPass.objects.get(joint=joint)
    before = datetime.datetime(2026, 3, 8, 8, 59, tzinfo=datetime.UTC)  # 1:59 in Denver
    weld_pass.done_at = before
    read = JointTemperature.objects.filter(joint=joint).order_by("record_position").first()
    assert read is not None
    read.done_at = before + 3 * MINUTE  # 3:02 in Denver
    (found,) = cooled_passes([weld_pass], [read])
    assert found.readings[0].minutes == 3
