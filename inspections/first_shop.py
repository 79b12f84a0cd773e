"""What an empty shop begins with, each part by its operation."""

from __future__ import annotations

import datetime
from typing import Any

from housings.engineering.route_rules import default_route
from housings.models.routes import WITH_LINKS
from housings.operations.routes import publish_route
from inspections.default_plan import DEFAULT_PLAN
from inspections.operations.plans import publish_plan
from inspections.plan_data import to_data
from shopqc.models import Person, Shop
from shopqc.operations.people import add_person
from shopqc.operations.shop import set_up_shop
from shopqc.people import OWNER, PROGRAM, QC_LEAD
from shopqc.refusals import refuse
from shopqc.secret import Secret

# A build spec that has everything a plan can ask for, to try the default plan on. Figures are invented.
SAMPLE_SPEC = {
    "tube_od": "4",
    "tube_wall": "0.375",
    "tube_grade": "4130",
    "tube_condition": "normalised",
    "plate_grade": "4130",
    "armor_thickness": "0.25",
    "snout_size": "3.25",
    "snout_grade": "4140",
    "shaft": "40",
    "width": "72",
    "links": True,
    "bracket_offset": "18",
    "pinion_angle": "3",
    "vent_side": "left",
    "drain": True,
}


def standard_route() -> list[dict[str, Any]]:
    """The trade's default route; brackets only where the build spec has links."""
    return [
        {"station": station, **({"when": WITH_LINKS} if station == "brackets" else {})}
        for station in default_route(True)
    ]


def open_shop(*, name: str, badge: str, owner: str, password: Secret, at: datetime.datetime) -> None:
    """Set up a shop whose first owner is its QC lead as well, until others are added.

    Raises
    ------
    Refused
        The shop is set up already, or the owner's password is too weak.
    """

    if Person.objects.exists():
        raise refuse("shop_is_set_up")

    # Keys made from the step's name: a set-up that stopped in the middle goes on where it was.
    def run(step: str, operation: Any, **inputs: Any) -> None:
        operation(by=PROGRAM, at=at, key=f"set up {step}", **inputs)

    if not Shop.objects.exists():
        run("shop", set_up_shop, name=name)
    run(
        "owner",
        add_person,
        badge=badge,
        name=owner,
        stamp="1",
        roles=[OWNER, QC_LEAD],
        password=password,
    )
    run("route", publish_route, name="standard", stations=standard_route())
    run("plan", publish_plan, name="standard", characteristics=to_data(DEFAULT_PLAN), spec=SAMPLE_SPEC)
