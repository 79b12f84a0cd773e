"""What happened in the shop besides building: holds, a wrong gauge, a certificate that was revoked."""

from __future__ import annotations

from collections.abc import Callable

from fixtures_demo.client import Client
from fixtures_demo.progress import Progress
from fixtures_demo.set_up import day_from_now, key_of, once_as, person
from fixtures_demo.walk import Walk
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
