"""Walks the demo's housings along their route: orders, readings and the rest, over the HTTP API."""

from __future__ import annotations

import datetime
import json
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from django.utils import timezone

from fixtures_demo.client import Client, Problem
from fixtures_demo.generate import READINGS, visits_of
from fixtures_demo.progress import Progress
from fixtures_demo.raw_files import read_visit
from fixtures_demo.set_up import HERE, SHOP, key_of
from housings.engineering.stations import STATIONS

CERTIFICATE_SECONDS = 120
# Who works where: machining is the machinist's, the rest the welder's.
MACHINIST = {"face_and_drill", "leak_test", "final_inspection"}


def place_orders(progress: Progress, address: str) -> dict[str, list[str]]:
    """Post every order; serials by reference. The one that does not fit is refused, and that is checked."""
    client = Client(address, key_of(progress, "order system"))
    serials = {}
    for path in sorted((HERE / "orders").glob("*.json")):
        order = json.loads(path.read_text())
        reference = order["reference"]
        # Due so many days after the demo was loaded; noted, so that a second start sends the same request.
        due = timezone.localdate() + datetime.timedelta(days=order.pop("due_in_days"))
        order["due_on"] = progress.once(f"due date of {reference}", due.isoformat)
        post = partial(client.post, "/orders", order, name=f"demo-{reference}")
        answer = progress.once(f"order {reference}", post)
        serials[reference] = [housing["serial"] for housing in answer["housings"]]
    for path in sorted((HERE / "refused").glob("*.json")):
        progress.once(f"refused {path.stem}", partial(_refused, client, path))
    return serials


def _refused(client: Client, path: Path) -> list[str]:
    try:
        client.post("/orders", json.loads(path.read_text()), name=f"demo-{path.stem}")
    except Problem as problem:
        return [error["detail"] for error in problem.body["errors"]]
    raise RuntimeError(f"The order {path.name} was taken; it should be refused.")


def walk_all(
    progress: Progress, address: str, serials: dict[str, list[str]], say: Callable[[str], None]
) -> None:
    """Bring every housing as far as ``walks.json`` says."""
    for label, walk in json.loads((HERE / "walks.json").read_text()).items():
        serial = serials[walk["order"]][walk["place"]]
        say(f"  {serial}: {walk['until'].replace('_', ' ')}")
        _Walk(progress, address, label, walk, serial).go()


class _Walk:
    """One housing on its way."""

    def __init__(
        self, progress: Progress, address: str, label: str, walk: dict[str, Any], serial: str
    ) -> None:
        self.progress, self.label, self.walk, self.serial = progress, label, walk, serial
        self.welder = Client(address, key_of(progress, "welder's phone"))
        self.machinist = Client(address, key_of(progress, "machinist's phone"))
        self.desk = Client(address, key_of(progress, "QC desk"))

    def go(self) -> None:
        if self.walk["until"] == "released":
            return
        links = bool(self._housing()["spec"].get("links"))
        visits = visits_of(self.walk, links)
        for number, (station, why) in enumerate(visits, start=1):
            stays = bool(self.walk.get("stay")) and number == len(visits)
            self._visit(f"{number:02d}-{station}", station, why, stays)
        if self.walk["until"] == "certificate":
            self._sign()

    def _visit(self, folder: str, station: str, why: str, stays: bool) -> None:
        person = self.machinist if station in MACHINIST else self.welder
        self._post(person, f"{folder} arrive", "arrive", {"station": station})
        readings = READINGS / self.label / folder
        if STATIONS[station].moves_metal and why != "measure" and (readings.exists() or not stays):
            self._post(person, f"{folder} work done", "work-done", {"station": station})
        if readings.exists():
            self._record(person, folder, readings)
        rework = self.walk.get("rework")
        if rework and rework["after"] == station and why == "route":
            self._post(
                self.desk,
                f"{folder} disposition",
                "nonconformances/1/disposition",
                {"decision": "rework", "reason": rework["reason"], "stations": rework["stations"]},
            )
        if not stays:
            self._post(person, f"{folder} leave", "leave", {"station": station})

    def _record(self, person: Client, folder: str, path: Path) -> None:
        # Noted before it is sent: sent again, the request is the same.
        body = self.progress.once(
            f"{self.label} {folder} body",
            lambda: {
                "readings": [
                    {**reading, "seen_position": self._housing()["record_position"]}
                    for reading in read_visit(path)
                ]
            },
        )
        self._post(person, f"{folder} readings", "readings", body)

    def _sign(self) -> None:
        password = next(person["password"] for person in SHOP["people"] if person["stamp"] == "Q1")
        answer = self._post(self.desk, "sign-off", "sign-off", {"secret": password})
        until = time.monotonic() + CERTIFICATE_SECONDS
        while self.desk.get(f"/certificates/{answer['certificate']}")["status"] != "genuine":
            if time.monotonic() > until:
                raise RuntimeError(f"The worker has not made certificate {answer['certificate']}.")
            time.sleep(0.2)

    def _housing(self) -> dict[str, Any]:
        housing: dict[str, Any] = self.desk.get(f"/housings/{self.serial}")
        return housing

    def _post(self, client: Client, step: str, path: str, body: dict[str, Any]) -> dict[str, Any]:
        name = f"demo-{self.label}-{step.replace(' ', '-')}"
        answer: dict[str, Any] = self.progress.once(
            f"{self.label} {step}",
            lambda: client.post(f"/housings/{self.serial}/{path}", body, name=name),
        )
        return answer
