"""The bench clock asks the database as often with sixty joints as with two, and stays small."""

from __future__ import annotations

import datetime

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests import volume
from tests.factories import Floor
from tests.housings.conftest import SignedIn
from tests.visitor import Visitor
from tests.weld_volume import end_of, full_bench

JOINTS, PASSES, STORED = 60, 10, 5_000
MOST_QUERIES, MOST_WHEN_UNCHANGED = 30, 10
MOST_BYTES_A_JOINT, MOST_BYTES = 1_900, 120_000


def queries_of(visitor: Visitor, url: str) -> int:
    with CaptureQueriesContext(connection) as seen:
        assert visitor.get(url).status_code == 200
    return len(seen)


@pytest.fixture
def bench(floor: Floor) -> Floor:
    floor.procedure("snout-4140-250", passes={"least": "12", "most": "14"})
    return floor


def test_sixty_joints_among_five_thousand_housings_ask_no_more_than_two(
    bench: Floor, signed_in: SignedIn
) -> None:
    done = bench.housing(until="signed")
    full_bench(bench, joints=2, passes=1)
    worker = signed_in("W1")
    few = queries_of(worker, "/weld/lines/")
    full_bench(bench, JOINTS - 2, PASSES)
    volume.many_like(done, STORED, whole=100)
    # Sessions outlive no such jump; the joints are minutes after their last passes.
    with time_machine.travel(end_of(bench, PASSES), tick=False):
        worker = signed_in("W1")
        many = queries_of(worker, "/weld/lines/")
        answer = worker.response
        assert answer is not None
        assert many == few <= MOST_QUERIES
        assert answer.content.count(b"weld-line ") == JOINTS
        assert len(answer.content) <= min(MOST_BYTES, JOINTS * MOST_BYTES_A_JOINT)
        with CaptureQueriesContext(connection) as seen:
            again = worker.client.get("/weld/lines/", headers={"if-none-match": answer["ETag"]})
        assert (again.status_code, len(again.content)) == (304, 0)
        assert len(seen) <= MOST_WHEN_UNCHANGED


def test_the_pages_of_a_joint_ask_no_more_with_ten_passes_than_with_one(
    bench: Floor, signed_in: SignedIn
) -> None:
    (few,) = full_bench(bench, joints=2, passes=1)
    (many,) = full_bench(bench, joints=2, passes=PASSES)
    with time_machine.travel(bench.at + datetime.timedelta(minutes=5), tick=False):
        worker = signed_in("W1")
        for page in ("weld/", "weld/snout_left/"):
            asked = [queries_of(worker, f"/h/{one.serial}/{page}") for one in (few, many)]
            assert asked[0] == asked[1] <= MOST_QUERIES
