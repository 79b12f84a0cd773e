"""A shop set up by its operations, and one housing of the demo's orders driven over HTTP alone."""

from __future__ import annotations

import datetime
import json
from dataclasses import dataclass
from typing import Any

from fixtures_demo.client import Client
from fixtures_demo.generate import READINGS, visits_of
from fixtures_demo.raw_files import read_visit
from fixtures_demo.set_up import HERE, SHOP
from housings.engineering.stations import STATIONS
from tests.harness.homes import Home

SET_UP = """
from django.conf import settings
from fixtures_demo.progress import Progress
from fixtures_demo.set_up import SHOP, key_of, set_up
progress = Progress(settings.HOME / "set-up.json")
set_up(progress)
answer = {key["label"]: key_of(progress, key["label"]) for key in SHOP["keys"]}
"""


def set_up_in(home: Home) -> dict[str, str]:
    """Set the invented shop up in a home; the text of each of its API keys."""
    keys: dict[str, str] = home.ask(SET_UP)
    return keys


def order_document(reference: str) -> dict[str, Any]:
    """An order of the demo as its document says it, due as many days from now."""
    for path in sorted((HERE / "orders").glob("*.json")):
        document: dict[str, Any] = json.loads(path.read_text())
        if document["reference"] == reference:
            due = datetime.datetime.now(datetime.UTC) + datetime.timedelta(days=document.pop("due_in_days"))
            return {**document, "due_on": due.date().isoformat()}
    raise LookupError(reference)


def walk_called(label: str) -> dict[str, Any]:
    walk: dict[str, Any] = json.loads((HERE / "walks.json").read_text())[label]
    return walk


@dataclass
class Driver:
    """Takes one housing from station to station with the raw files of a walk."""

    client: Client
    desk: Client
    serial: str
    label: str

    def post(self, client: Client, step: str, path: str, body: dict[str, Any]) -> dict[str, Any]:
        name = f"{self.label}-{step}-{path}".replace(" ", "-").replace("/", "-")
        answer: dict[str, Any] = client.post(f"/housings/{self.serial}/{path}", body, name=name)
        return answer

    def housing(self) -> dict[str, Any]:
        shown: dict[str, Any] = self.desk.get(f"/housings/{self.serial}")
        return shown

    def drive(self, walk: dict[str, Any], links: bool) -> list[str]:
        """Every station of the walk; the verdicts of what was measured, in order."""
        verdicts = []
        for number, (station, why) in enumerate(visits_of(walk, links), start=1):
            step = f"{number:02d}-{station}"
            self.post(self.client, step, "arrive", {"station": station})
            if STATIONS[station].moves_metal and why != "measure":
                self.post(self.client, step, "work-done", {"station": station})
            folder = READINGS / self.label / step
            if folder.exists():
                verdicts += self.record(step, folder)
            rework = walk.get("rework")
            if rework and rework["after"] == station and why == "route":
                self.rework(step, rework)
            self.post(self.client, step, "leave", {"station": station})
        return verdicts

    def record(self, step: str, folder: Any) -> list[str]:
        seen = self.housing()["record_position"]
        readings = [{**reading, "seen_position": seen} for reading in read_visit(folder)]
        answer = self.post(self.client, step, "readings", {"readings": readings})
        return [f"{made['characteristic']} {made['verdict']}" for made in answer["readings"]]

    def rework(self, step: str, rework: dict[str, Any]) -> None:
        body = {"decision": "rework", "reason": rework["reason"], "stations": rework["stations"]}
        self.post(self.desk, step, "nonconformances/1/disposition", body)


def password_of(stamp: str) -> str:
    return next(person["password"] for person in SHOP["people"] if person["stamp"] == stamp)
