"""Beside what a plan asks to see stands what the record of the welds says of it already.

That nobody should be asked twice for the same thing at the bench: common practice, no source.
"""

from __future__ import annotations

from housings.engineering.joints import joints_of
from housings.engineering.ready_specs import READY
from housings.engineering.spec import spec_from
from inspections.default_plan import DEFAULT_PLAN
from inspections.weld_told import ASKED
from tests.factories import Floor
from tests.inspections.conftest import SignedIn
from tests.inspections.judging import LEFT, ROSETTES, look, refuse_weld


def test_it_names_what_the_plan_asks_and_joints_that_there_are() -> None:
    planned = {one.code for one in DEFAULT_PLAN}
    joints = {joint.code for ready in READY.values() for joint in joints_of(spec_from(ready.spec))}
    assert set(ASKED) <= planned
    assert {code for codes, _ in ASKED.values() for code in codes} <= joints


def test_the_page_of_a_root_says_who_accepted_it_and_leads_there(floor: Floor, signed_in: SignedIn) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")
    worker = signed_in("W1")
    address = f"/h/{housing.serial}/readings/snout_root_left/"
    worker.get(address)
    assert "The record of the welds says" not in worker.page.text
    floor.weld(housing, LEFT, 1)
    look(floor, housing, "root")
    floor.weld(housing, LEFT, 2)
    look(floor, housing, "final", accepted=False, note="a torn surface")
    worker.get(address)
    # The finished weld is another question than its root.
    assert "Root, before it is covered: accepted, stamp Q1" in worker.page.text
    assert "refused" not in worker.page.text
    assert f"/h/{housing.serial}/weld/{LEFT}/" in worker.page.links


def test_rosettes_are_counted_there_already(floor: Floor, signed_in: SignedIn) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")
    floor.weld(housing, ROSETTES, 4)
    worker = signed_in("W1")
    worker.get(f"/h/{housing.serial}/readings/{ROSETTES}/")
    assert "4 of 4 welds are on record, stamp W1." in worker.page.text
    worker.get(f"/h/{housing.serial}/readings/snout_root_left/")
    assert "The record of the welds says" not in worker.page.text


def test_a_nonconformance_leads_to_the_joint_it_is_about(floor: Floor, signed_in: SignedIn) -> None:
    floor.procedures()
    housing = floor.housing(until="snouts")
    floor.weld(housing, LEFT, 3)
    number = refuse_weld(floor, housing)
    lead = signed_in("Q1")
    lead.get(f"/nonconformances/{housing.serial}/{number}/")
    assert f"/h/{housing.serial}/weld/{LEFT}/" in lead.page.links
    assert f"/h/{housing.serial}/weld/{ROSETTES}/" not in lead.page.links
