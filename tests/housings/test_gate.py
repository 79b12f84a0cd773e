"""Each reason of `housings.rules`, alone, through the operation it stops and through the gate beforehand."""

from __future__ import annotations

import pytest

from housings import queries, rules
from housings.models import Hold, Visit
from housings.operations.holds import hold_housing, release_hold
from housings.operations.orders import cancel_housing
from housings.operations.routes import publish_route
from housings.operations.visits import leave_station, record_work_done
from inspections.first_shop import standard_route
from inspections.operations.certificates import revoke_certificate
from inspections.operations.nonconformances import dispose, raise_nonconformance
from inspections.operations.readings import record_readings
from shopqc.operations.shop import switch_rule
from tests.at_the_gate import asked, come, go, leave_visit, refused, sign_off, start_at
from tests.factories import Floor

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def floor(transactional_db: None) -> Floor:
    return Floor()


def test_nothing_is_done_to_a_cancelled_housing(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    floor.measure_due(housing, "jig")
    floor.do(cancel_housing, by="Q1", housing=housing.serial, why="The customer called.")
    with refused("housing_ended", "nothing_ahead"):
        come(floor, housing, "tack")
    with refused("housing_ended"):
        floor.sign(housing)
    with refused("housing_ended"):
        floor.do(hold_housing, by="Q1", housing=housing.serial, why="Look.")
    with refused("housing_ended"):
        floor.do(record_readings, by="M1", housing=housing.serial, readings=[{"characteristic": "x"}])
    with refused("housing_ended"):
        floor.do(raise_nonconformance, by="M1", housing=housing.serial, what="A scratch.")
    assert asked(housing, leave_visit("jig")) == ["housing_ended", "not_here"]


def test_nothing_is_done_to_a_scrapped_housing(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    floor.do(raise_nonconformance, by="W1", housing=housing.serial, what="Cracked.", defect="crack")
    floor.do(
        dispose, by="Q1", housing=housing.serial, nonconformance=1, decision="scrap", reason="No way back."
    )
    with refused("housing_ended", "nothing_ahead"):
        come(floor, housing, "jig")
    with refused("housing_ended"):
        floor.sign(housing)


def test_a_signed_housing_is_worked_on_only_after_its_certificate_is_revoked(floor: Floor) -> None:
    housing = floor.housing(until="signed")
    with refused("housing_signed_off", "nothing_ahead"):
        come(floor, housing, "jig")
    with refused("housing_signed_off"):
        floor.sign(housing)
    with refused("housing_signed_off"):
        floor.do(raise_nonconformance, by="Q1", housing=housing.serial, what="A scratch.")
    assert asked(housing, leave_visit("jig")) == ["housing_signed_off", "not_here"]
    floor.do(revoke_certificate, by="Q1", certificate="C-00001", why="A wrong gauge.")
    floor.do(raise_nonconformance, by="Q1", housing=housing.serial, what="A scratch.")
    assert asked(housing, sign_off) == ["nonconformance_open"]


def test_what_comes_after_the_sign_off_waits_for_it(floor: Floor) -> None:
    stations = [*standard_route(), {"station": "pack"}]
    floor.do(publish_route, by="Q1", name="standard", stations=stations)
    housing = floor.housing(until="measured")
    assert asked(housing, start_at("pack")) == ["not_signed_off"]
    with refused("not_signed_off"):
        come(floor, housing, "pack")
    floor.sign(housing)
    come(floor, housing, "pack")
    go(floor, housing, "pack")


def test_a_hold_stops_every_step_until_it_is_released(floor: Floor) -> None:
    housing = floor.housing(until="truss")
    floor.work(housing, "truss")
    floor.measure_due(housing, "truss")
    for why in ("Look at the left seat.", "And at the right one."):
        floor.do(hold_housing, by="Q1", housing=housing.serial, why=why)
    with refused("held", "held"):
        go(floor, housing, "truss")
    with refused("held", "held"):
        floor.do(record_work_done, by="W1", housing=housing.serial, station="truss")
    first, second = Hold.objects.order_by("number").values_list("number", flat=True)
    floor.do(release_hold, by="Q1", housing=housing.serial, hold=first, why="Seen, good.")
    with refused("held"):
        go(floor, housing, "truss")
    floor.do(release_hold, by="Q1", housing=housing.serial, hold=second, why="Seen, good.")
    go(floor, housing, "truss")
    floor.do(hold_housing, by="Q1", housing=housing.serial, why="Steel of the snouts?")
    with refused("held"):
        come(floor, housing, "snouts")


def test_a_held_housing_is_not_signed(floor: Floor) -> None:
    housing = floor.housing(until="measured")
    floor.do(hold_housing, by="Q1", housing=housing.serial, why="Look at the left seat.")
    with refused("held"):
        floor.sign(housing)


def test_a_housing_is_at_one_station_at_a_time(floor: Floor) -> None:
    housing = floor.housing(until="jig")
    with refused("is_elsewhere"):
        come(floor, housing, "tack")
    with refused("is_here_already"):
        come(floor, housing, "jig")
    for operation in (leave_station, record_work_done):
        with refused("not_here"):
            floor.do(operation, by="W1", housing=housing.serial, station="tack")


def test_stations_are_visited_in_their_order(floor: Floor) -> None:
    (housing,) = floor.order()
    with refused("not_next"):
        come(floor, housing, "leak_test")
    assert asked(housing, start_at("jig")) == []
    come(floor, housing, "jig")


def test_after_the_last_station_nothing_is_ahead(floor: Floor) -> None:
    housing = floor.housing(until="measured")
    with refused("nothing_ahead"):
        come(floor, housing, "final_inspection")


def test_a_visit_that_is_over_is_not_left_again(floor: Floor) -> None:
    housing = floor.housing(until="tack")
    assert asked(housing, leave_visit("jig")) == ["not_here"]
    assert asked(housing, leave_visit("truss")) == ["not_here", *["not_measured"] * 4]


def test_a_station_that_moves_metal_is_left_when_its_work_is_recorded(floor: Floor) -> None:
    housing = floor.housing(until="truss")
    floor.measure_due(housing, "truss")
    with refused("work_not_recorded"):
        go(floor, housing, "truss")
    floor.do(switch_rule, by="O1", rule=rules.WORK_DONE_RECORDED, in_use=False)
    go(floor, housing, "truss")
    assert Visit.objects.get(housing=housing, station="truss").state == "left"


def test_nobody_signs_while_a_station_is_ahead(floor: Floor) -> None:
    housing = floor.housing(until="final_inspection")
    floor.measure_due(housing, "final_inspection")
    with refused("visits_ahead"):
        floor.sign(housing)
    go(floor, housing, "final_inspection")
    assert queries.next_visits(queries.visits_of(housing)) == []
    assert floor.sign(housing)["signed"] is True


def test_a_visit_ahead_counts_as_much_as_the_present_one(floor: Floor) -> None:
    housing = floor.housing(until="leak_test")
    floor.measure_due(housing, "leak_test")
    go(floor, housing, "leak_test")
    assert "visits_ahead" in asked(housing, sign_off)
