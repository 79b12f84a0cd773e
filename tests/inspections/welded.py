"""A housing that is welded as procedures ask, every joint on record, of steel whose heats are on record."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from housings import queries
from housings.engineering.ready_procedures import READY_PROCEDURES
from housings.models import Housing, Joint, JointProcedure
from housings.operations.visits import arrive
from housings.weld_queries import joint_states
from inspections.operations.extra_visits import add_visit
from inspections.operations.weld_looks import look_at_weld
from inspections.operations.weld_tests import test_weld
from tests.factories import PLAIN_SPEC, Floor
from tests.good_readings import middle
from tests.housings import at_a_joint as bench
from tests.housings import steel, welding_people

TESTED_AT = "non_destructive_testing"
FILLER, ARGON, MIXED = "F-80S", "A-100", "M-200"
OUTSIDER = {"tester": "Nora Outside", "certificate": "MT-2-889", "certified_until": "2027-05-04"}


def stocked(floor: Floor) -> None:
    """Procedures are published; tube, plate, bar, filler and gas have been received."""
    welding_people.publish(floor)
    steel.usual_heats(floor)
    steel.heat(floor, FILLER, "filler", "ER80S-D2", certificate_type="2.2")
    steel.heat(floor, ARGON, "gas", "ISO 14175 - I1 - Ar")
    steel.heat(floor, MIXED, "gas", "ISO 14175 - M21 - ArC - 18")


def welded(floor: Floor, until: str = "signed", spec: Mapping[str, Any] = PLAIN_SPEC) -> Housing:
    """A housing walked until a point (`Floor.housing`) with its welding on record."""
    (housing,) = floor.order(spec=spec)
    while (visit := floor.next_visit(housing)) is not None:
        floor.do(arrive, by="W1", housing=housing.serial, station=visit.station)
        housing.refresh_from_db()
        if visit.station == until:
            return housing
        weld_here(floor, housing)
        if visit.station == "snouts":
            why = {"station": TESTED_AT, "why": "the customer asks for it"}
            floor.do(add_visit, by="Q1", housing=housing.serial, **why)
        floor.finish(housing, visit)
    if until == "signed":
        floor.sign(housing)
    housing.refresh_from_db()
    return housing


def weld_here(floor: Floor, housing: Housing) -> None:
    """Steel, passes, looks and tests of the station where the housing is."""
    here = queries.visit_here(queries.visits_of(housing))
    assert here is not None
    if parts := steel.steel_of(housing, here.station):
        steel.use(floor, housing, *parts)
    for state in joint_states(housing):
        if state.joint.station == here.station:
            weld(floor, housing, state.joint, state.least)
        if here.station == TESTED_AT and state.joint.is_multipass:
            tested(floor, housing, state.joint)


def weld(floor: Floor, housing: Housing, joint: Joint, least: int) -> None:
    """Every pass of a joint, its fit-up and looks."""
    code = joint.code
    if joint.is_multipass:
        bench.fit_up(floor, housing, joint=code)
    data = READY_PROCEDURES[procedure_of(joint)].data
    figures = {name: middle(data[name]["least"], data[name]["most"]) for name in ("volts", "amps", "travel")}
    gas = ARGON if data["gas"].endswith("- Ar") else MIXED
    bench.settings(floor, housing, joint=code, figures=figures, filler=FILLER, gas=gas)
    if not joint.is_multipass:
        bench.done(
            floor,
            housing,
            1,
            joint=code,
            passes=joint.count,
            temperatures=[bench.read(warm(joint), place="beside")],
        )
    for number in range(1, least + 1) if joint.is_multipass else ():
        # Each pass is warmer than the one before, within 400 to 600 °F.
        temperature = bench.read(str(420 + 10 * number))
        bench.done(floor, housing, number, joint=code, temperatures=[temperature])
        if number == 1:
            look(floor, housing, code, "root")
    look(floor, housing, code, "final")


def procedure_of(joint: Joint) -> str:
    """The name of the procedure that was chosen for a joint."""
    given = JointProcedure.objects.filter(joint__housing=joint.housing, joint__code=joint.code)
    return str(given.select_related("procedure").latest("pk").procedure.name)


def warm(joint: Joint) -> str:
    """Above the least preheat of the example procedures and below their greatest interpass."""
    return "450" if joint.station == "snouts" else "200"


def look(floor: Floor, housing: Housing, joint: str, stage: str, **more: Any) -> dict[str, Any]:
    given = {"joint": joint, "stage": stage, "accepted": True}
    return floor.do(look_at_weld, by="M1", housing=housing.serial, **{**given, **more})


def tested(floor: Floor, housing: Housing, joint: Joint) -> dict[str, Any]:
    """Magnetic particles by somebody from outside."""
    given = {"joint": joint.code, "method": "MT", "accepted": True, "tester_level": "2", **OUTSIDER}
    how = {"batch": "MI-77", "demagnetised": "yes"}
    return floor.do(test_weld, by="M1", housing=housing.serial, how=how, **given)
