"""What happened in the shop besides building: holds, a wrong gauge, a revoked certificate, a recalled heat.

And what the snout bench shows at the moment the demo is loaded: that is recorded last of all.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from functools import partial

from fixtures_demo import steel
from fixtures_demo.client import Client
from fixtures_demo.progress import Progress
from fixtures_demo.set_up import day_from_now, key_of, once_as, person
from fixtures_demo.walk import Walk, refused
from inspections.operations.certificates import revoke_certificate
from inspections.operations.gauges import record_calibration, withdraw_gauge

HELD = {
    "b3": "The heat number on the left tube cannot be read. The mill is asked for its certificate again.",
    "e1": "Its holes went with the welding. Waits until the customer has said what he would accept.",
}
CANCELLED = {"c2": "The customer builds one truck fewer this season."}
REVOKED = (
    "b1",
    "The customer's drawing changed its number; nothing of the housing did. Signed again under it.",
)
WRONG_GAUGE = {
    # It shows 22 % less than there is, so it shows 22 % less of a loss too.
    "gauge": "PRESS-1",
    "error_offset": "0",
    "error_scale": "-0.22",
    "note": "Its spring is tired: it shows 3.12 psi at 4 psi.",
}
LAPSED = {"stamp": "W3", "housing": "f1", "joint": "snout_left", "number": "6"}
RECALLED = {"gauge": "MIC-3", "why": "Recalled by its maker: the ratchet of this lot can slip."}


def tell(progress: Progress, address: str, walks: dict[str, Walk], say: Callable[[str], None]) -> None:
    """Everything that happened after the housings had gone their way. Safe to run again."""
    lead = once_as(progress, lambda: person("Q1"))
    for label, why in HELD.items():
        walks[label].post(walks[label].desks["Q1"], "hold", "hold", {"why": why})
    office = Client(address, key_of(progress, "order system"))
    for label, why in CANCELLED.items():
        walks[label].post(office, "cancel", "cancel", {"why": why})
    label, why = REVOKED
    first = progress.answers[f"{label} sign-off"]["certificate"]
    lead(f"revoke {first}", revoke_certificate, certificate=first, why=why)
    walks[label].sign("sign-off again")
    lead("recall", withdraw_gauge, **RECALLED)
    say(f"  {WRONG_GAUGE['gauge']} was found wrong")
    today = progress.once("the wrong gauge's day", day_from_now(0))
    lead("wrong gauge", record_calibration, found_right=False, done_on=today, **WRONG_GAUGE)
    steel.recall(progress, address, walks)
    say(f"  heat {steel.RECALLED['heat']} was recalled")


def bring_to_the_bench(walks: dict[str, Walk]) -> None:
    """What stands at the snout bench as of now, and a welder who is refused there. Safe to run again."""
    for one in walks.values():
        if one.at_the_bench:
            one.welds.record_welds(one.at_the_bench)
    _try_out_of_continuity(walks[LAPSED["housing"]])


def bench_loaded_at(progress: Progress, walks: dict[str, Walk]) -> datetime.datetime:
    """The moment from which the minutes at the bench are counted back."""
    label, stay = next((label, one.at_the_bench) for label, one in walks.items() if one.at_the_bench)
    return datetime.datetime.fromisoformat(progress.answers[f"{label} {stay.folder} welded"])


def _try_out_of_continuity(walk: Walk) -> None:
    """A welder who has not used the process for too long wants to weld on: that he is refused is checked."""
    stamp, joint = LAPSED["stamp"], LAPSED["joint"]
    phone = walk.welds.phones[stamp]
    step = f"refused welder {stamp}"
    body = {"number": int(LAPSED["number"])}
    post = partial(
        phone.post, f"/housings/{walk.serial}/joints/{joint}/begin", body, name=f"demo-{walk.label}-{stamp}"
    )
    reasons = walk.progress.once(step, partial(refused, post, f"Welder {stamp}"))
    if not any("continuity" in reason for reason in reasons):
        raise RuntimeError(f"Welder {stamp} was refused for something else: {reasons}")
