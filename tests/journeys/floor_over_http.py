"""A shop set up by its operations, and one housing of the demo's orders driven over HTTP alone."""

from __future__ import annotations

import datetime
import json
from dataclasses import dataclass
from typing import Any

from fixtures_demo.client import Client
from fixtures_demo.generate import READINGS, stays_of
from fixtures_demo.raw_files import SHEET, read_visit, read_work
from fixtures_demo.set_up import HERE
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
            del document["route_revision"]
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
        for stay in stays_of(walk, 1, links):
            folder = READINGS / self.label / stay.folder
            self.post(self.client, stay.folder, "arrive", {"station": stay.station})
            if STATIONS[stay.station].moves_metal and stay.why != "measure":
                done = {"station": stay.station, "details": read_work(folder)}
                self.post(self.client, stay.folder, "work-done", done)
            if (folder / SHEET).exists():
                verdicts += self.record(stay.folder, folder)
            for decision in walk.get("decisions", ()):
                if decision["after"] == stay.station and stay.why == "route":
                    self.rework(stay.folder, decision)
            self.post(self.client, stay.folder, "leave", {"station": stay.station})
        return verdicts

    def record(self, step: str, folder: Any) -> list[str]:
        seen = self.housing()["record_position"]
        readings = [{**reading, "seen_position": seen} for reading in read_visit(folder)]
        answer = self.post(self.client, step, "readings", {"readings": readings})
        return [f"{made['characteristic']} {made['verdict']}" for made in answer["readings"]]

    def rework(self, step: str, decision: dict[str, Any]) -> None:
        body = {name: decision[name] for name in ("decision", "reason", "stations")}
        self.post(self.desk, step, "nonconformances/1/disposition", body)
