"""Who may weld a joint: qualified, in date, in continuity, and not in doubt.

That a doubt about somebody's welding suspends them: ASME BPVC IX, QW-322.1 (b), from memory.
"""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from housings import welder_rules
from housings.models import Joint, WelderDoubt
from housings.operations.welders import (
    add_qualification,
    answer_welder_doubt,
    confirm_process_use,
    doubt_welder,
    end_qualification,
)
from housings.welder_rules import (
    WELDER_QUALIFIED,
    reasons_against_tacker,
    reasons_against_welder,
)
from shopqc import ledger
from shopqc.operations.shop import change_shop
from tests.factories import AT, Floor
from tests.housings.welding_people import days_ago, joint_of, newest, publish, qualify

ON = frozenset({WELDER_QUALIFIED})
ROOT = "snout-4140-250"


@pytest.fixture
def joint(floor: Floor) -> Joint:
    publish(floor)
    return joint_of(floor)


def against(floor: Floor, joint: Joint, stamp: str = "W1", **changes: Any) -> list[str]:
    given = {"in_use": ON, "at": AT, "procedure": newest(ROOT), **changes}
    return [reason.code for reason in reasons_against_welder(floor.person(stamp), joint=joint, **given)]


def test_nobody_is_qualified_on_day_one_and_the_rule_is_off_then(floor: Floor, joint: Joint) -> None:
    assert against(floor, joint) == ["welder_not_qualified"]
    assert against(floor, joint, in_use=frozenset()) == []


def test_who_is_qualified_may(floor: Floor, joint: Joint) -> None:
    qualify(floor)
    assert against(floor, joint) == []
    assert against(floor, joint, "M1") == ["welder_not_qualified"]


def test_out_of_range_is_said_with_what_is_missing(floor: Floor, joint: Joint) -> None:
    qualify(floor, ranges={"joints": ["fillet"], "backing": "with"}, reference="only fillets")
    (reason,) = reasons_against_welder(floor.person("W1"), newest(ROOT), joint, AT, ON)
    assert reason.sentence == (
        "Stamp W1 is qualified for TIG, but not for Left snout to tube: It is not for groove welds. "
        "The root is open, and it is for welds with backing only."
    )
    qualify(floor)
    assert against(floor, joint) == [], "one that reaches is enough"


def test_the_last_day_of_a_qualification_counts_and_the_next_does_not(floor: Floor, joint: Joint) -> None:
    qualify(floor, valid_until=AT.date().isoformat())
    assert against(floor, joint) == []
    assert against(floor, joint, at=AT + datetime.timedelta(days=1)) == ["welder_expired"]
    assert against(floor, joint, at=AT - datetime.timedelta(days=60)) == ["welder_not_yet"]


def test_without_use_for_six_months_it_is_out_of_continuity(floor: Floor, joint: Joint) -> None:
    qualify(floor, tested=400)
    (reason,) = reasons_against_welder(floor.person("W1"), newest(ROOT), joint, AT, ON)
    assert reason.code == "welder_out_of_continuity"
    assert "last used TIG on 2025-03-30, and 6 months later, on 2025-09-30" in reason.sentence
    floor.do(
        confirm_process_use,
        by="Q1",
        stamp="W1",
        process="135",
        used_on=days_ago(9),
        what="Trusses elsewhere.",
    )
    assert against(floor, joint) == ["welder_out_of_continuity"], "another process"
    floor.do(confirm_process_use, by="Q1", stamp="W1", process="141", used_on=days_ago(9), what="A cage.")
    assert against(floor, joint) == []
    # 2026-04-25 and six months: the day itself still counts.
    assert against(floor, joint, at=datetime.datetime(2026, 10, 25, 12, tzinfo=datetime.UTC)) == []
    later = datetime.datetime(2026, 10, 26, 12, tzinfo=datetime.UTC)
    assert against(floor, joint, at=later) == ["welder_out_of_continuity"]


def test_how_many_months_is_the_shops_setting(floor: Floor, joint: Joint) -> None:
    qualify(floor, tested=100)
    assert against(floor, joint) == []
    floor.do(change_shop, changes={"continuity_months": "3"})
    assert against(floor, joint) == ["welder_out_of_continuity"]


def test_a_doubt_suspends_with_the_rule_off_too_until_it_is_answered(floor: Floor, joint: Joint) -> None:
    qualify(floor)
    doubt = floor.do(doubt_welder, by="Q1", stamp="W1", why="Two roots of last week are open")["doubt"]
    assert against(floor, joint) == ["welder_doubted"]
    assert against(floor, joint, in_use=frozenset()) == ["welder_doubted"]
    (reason,) = reasons_against_welder(floor.person("W1"), newest(ROOT), joint, AT, ON)
    assert "in doubt since 2026-05-04: Two roots of last week are open. The QC lead" in reason.sentence
    floor.do(answer_welder_doubt, by="E1", doubt=doubt, answer="A test coupon was bent: sound.")
    assert against(floor, joint) == []
    row = WelderDoubt.objects.get()
    assert (row.answered_by, row.answer) == ("E1", "A test coupon was bent: sound.")


def test_a_doubt_about_one_process_leaves_the_others(floor: Floor, joint: Joint) -> None:
    qualify(floor)
    floor.do(doubt_welder, by="Q1", stamp="W1", why="Porous.", process="135")
    assert against(floor, joint) == []
    assert against(floor, joint, procedure=newest("armor")) == ["welder_doubted", "welder_not_qualified"]
    # Nobody knows by which process, so every doubt counts.
    assert against(floor, joint, procedure=None) == ["welder_doubted", "welder_without_procedure"]


def test_one_that_was_withdrawn_counts_no_more(floor: Floor, joint: Joint) -> None:
    held = qualify(floor)
    floor.do(end_qualification, by="Q1", qualification=held, why="The record was for another person.")
    assert against(floor, joint) == ["welder_not_qualified"]


def test_a_tacker_needs_neither_the_groove_nor_the_position(floor: Floor, joint: Joint) -> None:
    qualify(floor, ranges={"joints": ["fillet"], "positions": ["PF"], "tacks_only": True})
    tacker = floor.person("W1")
    assert reasons_against_tacker(tacker, newest(ROOT), joint, AT, ON) == []
    assert against(floor, joint) == ["welder_out_of_range"]
    (reason,) = reasons_against_tacker(floor.person("M1"), newest(ROOT), joint, AT, ON)
    assert reason.code == "welder_not_qualified"


def test_the_rule_asks_the_database_a_fixed_number_of_times(floor: Floor, joint: Joint) -> None:
    person, procedure = floor.person("W1"), newest(ROOT)
    qualify(floor)

    def queries() -> int:
        with CaptureQueriesContext(connection) as seen:
            assert reasons_against_welder(person, procedure, joint, AT, ON) == []
        return len(seen)

    before = queries()
    for number in range(8):
        qualify(floor, reference=f"more {number}")
        floor.do(
            confirm_process_use, by="Q1", stamp="W1", process="141", used_on=days_ago(number), what="A cage."
        )
    assert queries() == before <= 7


def test_a_tester_is_qualified_by_method_and_day(floor: Floor) -> None:
    on = AT.date()
    assert [reason.code for reason in welder_rules.tester_reasons("Q1", "MT", on)] == ["tester_not_qualified"]
    for level, until in (("1", None), ("2", AT.date().isoformat())):
        floor.do(
            add_qualification,
            by="E1",
            stamp="Q1",
            kind="testing",
            reference=f"MT {level}",
            ranges={"method": "MT", "level": level},
            tested_on=days_ago(700),
            valid_until=until,
        )
    assert welder_rules.tester_reasons("Q1", "MT", on) == []
    found = welder_rules.testing_qualification("Q1", "MT", on)
    assert found is not None and found.ranges["level"] == "2"
    later = welder_rules.testing_qualification("Q1", "MT", on + datetime.timedelta(days=1))
    assert later is not None and later.ranges["level"] == "1"
    (reason,) = welder_rules.tester_reasons("Q1", "PT", on)
    assert reason.sentence.startswith("Stamp Q1 has no qualification for dye penetrant testing on file.")


def test_a_testers_qualification_that_ended_is_said_with_its_day(floor: Floor) -> None:
    floor.do(
        add_qualification,
        by="E1",
        stamp="Q1",
        kind="testing",
        reference="PT 7",
        ranges={"method": "PT", "level": "2"},
        tested_on=days_ago(700),
        valid_until=days_ago(1),
    )
    (reason,) = welder_rules.tester_reasons("Q1", "PT", AT.date())
    assert reason.sentence == (
        "The qualification PT 7 of stamp Q1 for dye penetrant testing ended on 2026-05-03."
    )
    assert ledger.verify().faults == ()
