"""Records steel and welds of a housing at its stations, over the HTTP API."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from django.utils import timezone

from fixtures_demo.client import Client
from fixtures_demo.generate import HERE, READINGS, Stay, load
from fixtures_demo.raw_files import read_welds
from fixtures_demo.set_up import key_of
from fixtures_demo.steel import heats_at, joins
from housings.engineering.spec import spec_from

if TYPE_CHECKING:
    from fixtures_demo.walk import Walk

PHONES = {
    "W1": "welder's phone",
    "W2": "second welder's phone",
    "W3": "third welder's phone",
    "V1": "weld inspector's tablet",
}
# The welding of the days before was kept on paper until the program came, and is entered from it: how many
# hours ago a station was done, and how many hours lie between one housing and the next.
HOURS_AGO = {
    "truss": (130, 2),
    "brackets": (100, 2),
    "snouts": (50, 3),
    "armor": (26, 2),
    "caps_and_fittings": (3, 2),
    # Nothing is welded here: the tests are of the day on which the demo is loaded.
    "non_destructive_testing": (0, 0),
}


# The repair was made after the last of these joints was welded, and before the first armor.
REPAIRED_HOURS_AGO = 46
FROM_PAPER, WITH_NOTE = "Entered from paper.", {"fit-up", "passes"}
WITHOUT_MOMENT = {"settings", "temperatures", "repair"}


def minutes_ago(stay: Stay, place: int) -> float:
    """How long ago the welding of a stay ended when the demo is loaded; ``place``: of the housing's walk."""
    if stay.stays == "welding":
        return 0.0
    if stay.why == "rework":
        return 60.0 * REPAIRED_HOURS_AGO
    hours, apart = HOURS_AGO.get(stay.station, (0, 0))
    return 60.0 * (hours + apart * place)


class WeldWalk:
    """The welding of one housing on its way."""

    def __init__(self, walk: Walk, address: str) -> None:
        self.walk = walk
        self.phones = {stamp: Client(address, key_of(walk.progress, key)) for stamp, key in PHONES.items()}
        self.place = list(load(HERE / "walks.json")).index(walk.label)

    def record_steel(self, stay: Stay, spec: Mapping[str, Any]) -> None:
        """The heats of the parts that are joined at a station."""
        materials = heats_at(stay.station, spec_from(dict(spec)), self.walk.walk.get("heats", {}))
        if materials and joins(stay):
            self.walk.post(self.phones["W1"], f"{stay.folder} steel", "materials", {"materials": materials})

    def record_welds(self, stay: Stay) -> None:
        """What was recorded of the welds of a stay, in its order."""
        events = read_welds(READINGS / self.walk.label / stay.folder)
        if not events:
            return
        ago = minutes_ago(stay, self.place)
        # Noted first, so that a second start sends the same moments.
        noted = self.walk.progress.once(f"{self.walk.label} {stay.folder} welded", lambda: moment(ago))
        ended = datetime.datetime.fromisoformat(noted)
        for number, event in enumerate(events, start=1):
            self._record(f"{stay.folder} weld {number:02d}", event, ended, FROM_PAPER if ago else "")

    def _record(self, step: str, event: Mapping[str, Any], ended: datetime.datetime, note: str) -> None:
        body = _with_moments(event["body"], ended)
        if note and event["do"] in WITH_NOTE:
            body["note"] = note
        if event["do"] not in WITHOUT_MOMENT:
            body["done_at"] = _moment(ended, event["minute"])
        path = f"joints/{event['joint']}/{event['do']}"
        self.walk.post(self.phones[event["by"]], step, path, body)


def moment(minutes_ago: float) -> str:
    """So many minutes ago, as text."""
    return (timezone.now() - datetime.timedelta(minutes=minutes_ago)).isoformat()


def _moment(ended: datetime.datetime, minute: float) -> str:
    return (ended + datetime.timedelta(minutes=minute)).isoformat()


def _with_moments(body: Mapping[str, Any], ended: datetime.datetime) -> dict[str, Any]:
    """A body whose temperatures say when they were read, instead of the minute."""
    sent = dict(body)
    if "temperatures" in sent:
        sent["temperatures"] = _dated(sent["temperatures"], ended)
    return sent


def _dated(temperatures: Sequence[Mapping[str, Any]], ended: datetime.datetime) -> list[dict[str, Any]]:
    return [
        {
            **{name: value for name, value in one.items() if name != "minute"},
            "done_at": _moment(ended, one["minute"]),
        }
        for one in temperatures
    ]
