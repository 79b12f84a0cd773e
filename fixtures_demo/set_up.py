"""Sets the invented shop up: people, customers, route, plan, gauges and keys, each by its operation."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from django.utils import timezone

from fixtures_demo.progress import Progress
from housings.operations.routes import publish_route
from inspections.default_plan import DEFAULT_PLAN
from inspections.first_shop import SAMPLE_SPEC, standard_route
from inspections.operations.gauges import add_gauge
from inspections.operations.plans import publish_plan
from inspections.plan_data import to_data
from shopqc.canonical import digest
from shopqc.operations import people, shop
from shopqc.people import PROGRAM
from shopqc.secret import Secret

HERE = Path(__file__).resolve().parent
SHOP: dict[str, Any] = json.loads((HERE / "shop.json").read_text())


def set_up(progress: Progress) -> None:
    """Everything a shop needs before its first order. Safe to run again."""

    def once(step: str, operation: Callable[..., dict[str, Any]], **inputs: Any) -> dict[str, Any]:
        answer: dict[str, Any] = progress.once(
            step, lambda: operation(by=PROGRAM, at=timezone.now(), key=f"demo-{step}", **inputs)
        )
        return answer

    described = SHOP["shop"]
    once("shop", shop.set_up_shop, name=described["name"])
    once("shop details", shop.change_shop, changes=described)
    for person in SHOP["people"]:
        secrets = {name: Secret(person[name]) for name in ("pin", "password")}
        once(f"person {person['stamp']}", people.add_person, **{**person, **secrets})
    for customer in SHOP["customers"]:
        once(f"customer {customer['code']}", shop.add_customer, **customer)
    once("route", publish_route, name="standard", stations=standard_route())
    once("plan", publish_plan, name="standard", characteristics=to_data(DEFAULT_PLAN), spec=SAMPLE_SPEC)
    for gauge in SHOP["gauges"]:
        _add_gauge(once, progress, gauge)
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


def _add_gauge(once: Callable[..., dict[str, Any]], progress: Progress, gauge: dict[str, Any]) -> None:
    # The day is noted first, so that a second start sends the same request.
    due = progress.once(
        f"due {gauge['code']}",
        lambda: (timezone.localdate() + datetime.timedelta(days=gauge["due_in_days"])).isoformat(),
    )
    described = {name: value for name, value in gauge.items() if name != "due_in_days"}
    once(f"gauge {gauge['code']}", add_gauge, **described, calibration_due=due)


def key_of(progress: Progress, label: str) -> str:
    """The text of one of the demo's API keys."""
    text: str = progress.answers[f"text of key {label}"][0]
    return text
