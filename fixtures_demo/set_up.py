"""Sets the invented shop up, each thing by its operation: people, customers, route, plan, equipment, keys."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from django.utils import timezone

from fixtures_demo import weld_set_up
from fixtures_demo.generate import ADDED
from fixtures_demo.progress import Progress
from housings.engineering.stations import STATIONS
from housings.operations.routes import publish_route
from inspections.default_plan import DEFAULT_PLAN
from inspections.first_shop import SAMPLE_SPEC, standard_route
from inspections.operations.gauges import add_gauge, record_calibration
from inspections.operations.plans import publish_plan
from inspections.plan_data import to_data
from shopqc.canonical import digest
from shopqc.models import Person
from shopqc.operations import people, shop
from shopqc.people import PROGRAM, Actor, actor_of
from shopqc.secret import Secret

HERE = Path(__file__).resolve().parent
SHOP: dict[str, Any] = json.loads((HERE / "shop.json").read_text())
EQUIPMENT: list[dict[str, Any]] = json.loads((HERE / "equipment.json").read_text())
CALIBRATED_BY = "Cross Valley Calibration (invented)"

Once = Callable[..., dict[str, Any]]


def once_as(progress: Progress, by: Callable[[], Actor]) -> Once:
    """Runs an operation here, as somebody, unless it was run before."""

    def once(step: str, operation: Callable[..., dict[str, Any]], **inputs: Any) -> dict[str, Any]:
        answer: dict[str, Any] = progress.once(
            step, lambda: operation(by=by(), at=timezone.now(), key=f"demo-{step}", **inputs)
        )
        return answer

    return once


def person(stamp: str) -> Actor:
    """Somebody of the shop, as signed in."""
    return actor_of(Person.objects.get(stamp=stamp))


def set_up(progress: Progress) -> None:
    """Everything a shop needs before its first order. Safe to run again."""
    once = once_as(progress, lambda: PROGRAM)
    described = SHOP["shop"]
    once("shop", shop.set_up_shop, name=described["name"])
    once("shop details", shop.change_shop, changes=described)
    for rule in SHOP["rules"]:
        once(f"rule {rule}", shop.switch_rule, rule=rule, in_use=True)
    for entry in SHOP["people"]:
        secrets = {name: Secret(entry[name]) for name in ("pin", "password")}
        once(f"person {entry['stamp']}", people.add_person, **{**entry, **secrets})
    for customer in SHOP["customers"]:
        once(f"customer {customer['code']}", shop.add_customer, **customer)
    once("route", publish_route, name="standard", stations=standard_route())
    once("plan", publish_plan, name="standard", characteristics=to_data(DEFAULT_PLAN), spec=SAMPLE_SPEC)
    for entry in EQUIPMENT:
        _file_equipment(progress, entry)
    weld_set_up.publish_procedures(once_as(progress, lambda: person("E1")))
    weld_set_up.qualify(progress, once_as(progress, lambda: person("E1")), day_from_now)
    for device in SHOP["devices"]:
        token = progress.once(f"token {device['name']}", shop.new_device_token)
        once(f"device {device['name']}", shop.register_device, **device, token_digest=digest(token.encode()))
    for key in SHOP["keys"]:
        _text, prefix, key_digest = progress.once(f"text of key {key['label']}", shop.new_api_key)
        once(
            f"key {key['label']}",
            shop.make_api_key,
            name=key["label"],
            prefix=prefix,
            key_digest=key_digest,
            scopes=key["scopes"],
            stamp=key["stamp"],
        )


def ask_for_welds(progress: Progress) -> None:
    """Put the rules of welding and steel into use, now that procedures, welders and steel are on file."""
    once = once_as(progress, lambda: person("O1"))
    for rule in SHOP["rules_of_welding"]:
        once(f"rule {rule}", shop.switch_rule, rule=rule, in_use=True)


def publish_second_route(progress: Progress) -> None:
    """The route's second revision: what was ordered before keeps the first."""
    first = {entry["station"]: entry for entry in standard_route()}
    stations = [first.get(code, {"station": code}) for code in STATIONS if code in {*first, *ADDED}]
    note = "Straighten before facing; test the snout welds; clean and bubble-test before the armor; coat."
    once_as(progress, lambda: person("E1"))(
        "second route", publish_route, name="standard", stations=stations, note=note
    )


def _file_equipment(progress: Progress, entry: dict[str, Any]) -> None:
    """Put one piece on file, with its last check; days count from the day the demo is loaded."""
    once = once_as(progress, lambda: person("Q1"))
    code, given = entry["code"], dict(entry)
    due, ago = given.pop("due_in_days"), given.pop("checked_days_ago")
    once(f"gauge {code}", add_gauge, **given)
    if ago is None:
        return
    # The days are noted first, so that a second start sends the same request.
    done_on, due_on = (
        progress.once(f"{what} {code}", day_from_now(days))
        for what, days in (("checked", -ago), ("due", due))
    )
    once(
        f"check of {code}",
        record_calibration,
        gauge=code,
        done_on=done_on,
        due_on=due_on,
        uncertainty=given["uncertainty"],
        reference=CALIBRATED_BY,
    )


def day_from_now(days: int) -> Callable[[], str]:
    """The day so many days from today, as text, once it is asked."""
    return lambda: (timezone.localdate() + datetime.timedelta(days=days)).isoformat()


def key_of(progress: Progress, label: str) -> str:
    """The text of one of the demo's API keys."""
    text: str = progress.answers[f"text of key {label}"][0]
    return text


def password_of(stamp: str) -> str:
    """What somebody of the shop signs in and signs off with."""
    return next(str(entry["password"]) for entry in SHOP["people"] if entry["stamp"] == stamp)
