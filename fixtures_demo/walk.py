"""Walks the demo's housings along their route: orders, readings and the rest, over the HTTP API."""

from __future__ import annotations

import datetime
import hashlib
import time
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from django.utils import timezone

from fixtures_demo.client import Client, Problem
from fixtures_demo.generate import HERE, READINGS, Stay, load, stays_of
from fixtures_demo.progress import Progress
from fixtures_demo.raw_files import SHEET, read_visit, read_work
from fixtures_demo.set_up import key_of, password_of
from fixtures_demo.weld_walk import WeldWalk
from housings.engineering.stations import STATIONS, StationKind

CERTIFICATE_SECONDS = 120
# Where something is done to the housing, so that it is recorded as done.
WORKED = {code for code, one in STATIONS.items() if one.moves_metal or one.kind is StationKind.TREAT}
# Who works where: machining and measuring is the machinist's, the rest the welder's.
MACHINIST = {"face_and_drill", "leak_test", "final_inspection", "non_destructive_testing", "coat"}
DESKS = {"Q1": "QC desk", "E1": "engineer's desk"}


def order_files(revision: int) -> list[Path]:
    """The orders that came while a revision of the route was the newest, in the order they came."""
    return [
        path for path in sorted((HERE / "orders").glob("*.json")) if load(path)["route_revision"] == revision
    ]


def place_orders(progress: Progress, address: str, revision: int) -> dict[str, list[str]]:
    """Post every order that came with a revision of the route; serials by reference."""
    client = Client(address, key_of(progress, "order system"))
    serials = {}
    for path in order_files(revision):
        order = load(path)
        reference = order["reference"]
        del order["route_revision"]
        # Due so many days after the demo was loaded; noted, so that a second start sends the same request.
        due = timezone.localdate() + datetime.timedelta(days=order.pop("due_in_days"))
        order["due_on"] = progress.once(f"due date of {reference}", due.isoformat)
        post = partial(client.post, "/orders", order, name=f"demo-{reference}")
        answer = progress.once(f"order {reference}", post)
        serials[reference] = [housing["serial"] for housing in answer["housings"]]
    return serials


def try_refused_orders(progress: Progress, address: str) -> None:
    """Post the orders that do not fit: that they are refused, with every reason, is checked."""
    client = Client(address, key_of(progress, "order system"))
    for path in sorted((HERE / "refused").glob("*.json")):
        post = partial(client.post, "/orders", load(path), name=f"demo-{path.stem}")
        progress.once(f"refused {path.stem}", partial(refused, post, f"The order {path.name}"))


def refused(post: Callable[[], Any], what: str) -> list[str]:
    """Why a request is refused; it has to be."""
    try:
        post()
    except Problem as problem:
        reasons: list[str] = [error["detail"] for error in problem.body["errors"]]
        return reasons
    raise RuntimeError(f"{what} was taken; it should be refused.")


def walk_all(
    progress: Progress, address: str, serials: dict[str, list[str]], say: Callable[[str], None]
) -> dict[str, Walk]:
    """Bring every housing as far as ``walks.json`` says; the walks by the housings' labels."""
    orders = [load(path) for path in (HERE / "orders").glob("*.json")]
    revisions = {order["reference"]: order["route_revision"] for order in orders}
    walks = {}
    for label, walk in load(HERE / "walks.json").items():
        serial = serials[walk["order"]][walk["place"]]
        say(f"  {serial}: {walk['until'].replace('_', ' ')}")
        walks[label] = Walk(progress, address, label, walk, serial, revisions[walk["order"]])
        walks[label].go()
    return walks


class Walk:
    """One housing on its way."""

    def __init__(
        self,
        progress: Progress,
        address: str,
        label: str,
        walk: dict[str, Any],
        serial: str,
        revision: int,
    ) -> None:
        self.progress, self.label, self.walk = progress, label, walk
        self.serial, self.revision = serial, revision
        self.at_the_bench: Stay | None = None
        self.welder = Client(address, key_of(progress, "welder's phone"))
        self.machinist = Client(address, key_of(progress, "machinist's phone"))
        self.desks = {stamp: Client(address, key_of(progress, key)) for stamp, key in DESKS.items()}
        self.welds = WeldWalk(self, address)

    def go(self) -> None:
        if self.walk["until"] == "released":
            return
        spec = self.progress.once(f"{self.label} spec", lambda: self.housing()["spec"])
        for stay in stays_of(self.walk, self.revision, bool(spec.get("links"))):
            self.visit(stay, spec)
        if self.walk["until"] == "certificate":
            self.sign()

    def visit(self, stay: Stay, spec: Mapping[str, Any]) -> None:
        """One stay at a station: arrive, measure, weld, measure, decide, leave, as far as it gets."""
        person = self.machinist if stay.station in MACHINIST else self.welder
        folder = READINGS / self.label / stay.folder
        self.post(person, f"{stay.folder} arrive", "arrive", {"station": stay.station})
        self.record(person, f"{stay.folder}-before")
        if stay.stays == "arrived":
            return
        self.welds.record_steel(stay, spec)
        if stay.stays == "welding":
            # What is live at the bench is recorded last of all (`tales`).
            self.at_the_bench = stay
            return
        self.welds.record_welds(stay)
        if stay.station in WORKED and stay.why != "measure":
            self.post(person, f"{stay.folder} work done", "work-done", self.work_done(stay))
        for path in (folder, folder.with_name(f"{stay.folder}-again")):
            self.record(person, path.name)
        if stay.why == "route":
            self.decide(stay)
        if not stay.stays:
            self.post(person, f"{stay.folder} leave", "leave", {"station": stay.station})

    def work_done(self, stay: Stay) -> dict[str, Any]:
        """What is sent with the work of a station."""
        details = read_work(READINGS / self.label / stay.folder)
        return {"station": stay.station, **({"details": details} if details else {})}

    def record(self, person: Client, folder: str) -> None:
        """Every reading of a folder, in one request."""
        path = READINGS / self.label / folder
        if not (path / SHEET).exists():
            return
        # Noted before it is sent: sent again, the request is the same.
        seen = self.progress.once(f"{self.label} {folder} seen", lambda: self.housing()["record_position"])
        body = {"readings": [{**reading, "seen_position": seen} for reading in read_visit(path)]}
        self.post(person, f"{folder} readings", "readings", body)

    def decide(self, stay: Stay) -> None:
        """What was decided about the nonconformances found at a station."""
        for one in self.walk.get("decisions", ()):
            if one["after"] != stay.station:
                continue
            body = {"decision": one["decision"], "reason": one["reason"], "stations": one.get("stations", [])}
            path = f"nonconformances/{one['nonconformance']}/disposition"
            step = f"{stay.folder} disposition {one['nonconformance']}"
            if one.get("concession"):
                body["concession"] = self.file(one["concession"])
            for stamp in one.get("refused_to", ()):
                self.try_refused(f"{step} by {stamp}", stamp, path, body)
            if "by" in one:
                self.post(self.desks[one["by"]], step, path, body)

    def try_refused(self, step: str, stamp: str, path: str, body: dict[str, Any]) -> None:
        """A decision that its maker may not take."""
        name = f"demo-{self.label}-{step.replace(' ', '-')}"
        post = partial(self.desks[stamp].post, f"/housings/{self.serial}/{path}", body, name=name)
        self.progress.once(f"{self.label} refused {step}", partial(refused, post, step))

    def file(self, name: str) -> str:
        """File a document of the demo; its SHA-256."""
        content = (HERE / "documents" / name).read_bytes()
        self.progress.once(
            f"document {name}",
            lambda: self.desks["Q1"].post_file("/files", content, "application/pdf", name=f"demo-{name}"),
        )
        return hashlib.sha256(content).hexdigest()

    def sign(self, step: str = "sign-off") -> dict[str, Any]:
        """Sign for the housing and wait until the worker has made the certificate."""
        desk = self.desks["Q1"]
        answer = self.post(desk, step, "sign-off", {"secret": password_of("Q1")})
        until = time.monotonic() + CERTIFICATE_SECONDS
        while not desk.get(f"/certificates/{answer['certificate']}")["events"]:
            if time.monotonic() > until:
                raise RuntimeError(f"The worker has not made certificate {answer['certificate']}.")
            time.sleep(0.2)
        return answer

    def housing(self) -> dict[str, Any]:
        """The housing as the API shows it."""
        housing: dict[str, Any] = self.desks["Q1"].get(f"/housings/{self.serial}")
        return housing

    def post(self, client: Client, step: str, path: str, body: dict[str, Any]) -> dict[str, Any]:
        """One request about the housing, once."""
        name = f"demo-{self.label}-{step.replace(' ', '-')}"
        answer: dict[str, Any] = self.progress.once(
            f"{self.label} {step}",
            lambda: client.post(f"/housings/{self.serial}/{path}", body, name=name),
        )
        return answer
