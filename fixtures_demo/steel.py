"""Steel, filler and gas of the invented shop: received with certificates, put into housings, one recalled."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING, Any

from fixtures_demo.client import Client
from fixtures_demo.generate import HERE, Stay, load, spec_of, stays_of
from fixtures_demo.mill_certificates import certificate_of
from fixtures_demo.progress import Progress
from fixtures_demo.set_up import key_of
from housings.engineering.parts import TracedPart, parts_of
from housings.engineering.spec import Spec, spec_from

if TYPE_CHECKING:
    from fixtures_demo.walk import Walk

HEATS: list[dict[str, Any]] = load(HERE / "heats.json")
RECALLED = {
    "heat": "P7098",
    "why": "The mill found laminations in sheets of this heat and asks for all of it back.",
}
# Pieces that were cut before: the number was copied first. One is cut from another.
PIECES = (
    {"heat": "K4390", "code": "K4390-1", "what": "Half of the first length", "size": "10 ft"},
    {"heat": "K4390", "code": "K4390-1L", "what": "Left tube", "size": "26 in", "cut_from": "K4390-1"},
    {"heat": "K4390", "code": "K4390-1R", "what": "Right tube", "size": "26 in", "cut_from": "K4390-1"},
)


def receive(progress: Progress, address: str) -> None:
    """Put every heat on file, with its certificate, and the pieces that are cut. Safe to run again."""
    desk = Client(address, key_of(progress, "QC desk"))
    for heat in HEATS:
        number = heat["number"]
        body = {name: value for name, value in heat.items() if name != "for"}
        if heat.get("composition"):
            content = certificate_of(heat).read_bytes()
            progress.once(
                f"certificate of {number}",
                partial(desk.post_file, "/files", content, "application/pdf", name=f"demo-mill-{number}"),
            )
            body["certificate"] = hashlib.sha256(content).hexdigest()
        progress.once(f"heat {number}", partial(desk.post, "/heats", body, name=f"demo-heat-{number}"))
    for piece in PIECES:
        body = {name: value for name, value in piece.items() if name != "heat"} | {"number_copied": True}
        path = f"/heats/{piece['heat']}/pieces"
        name = f"demo-piece-{piece['code']}"
        progress.once(f"piece {piece['code']}", partial(desk.post, path, body, name=name))


def heat_of(part: TracedPart, spec: Spec, given: Mapping[str, str]) -> str:
    """The heat that a part is of: as the tale says, else the first on file that is what the spec asks."""
    if part.code in given:
        return given[part.code]
    for heat in HEATS:
        if heat["kind"] != "steel" or heat["for"] is None or heat["form"] != part.form:
            continue
        if heat["grade"] != part.grade or part.condition not in {"", heat["condition"]}:
            continue
        if all(str(getattr(spec, name)) == value for name, value in heat["for"].items()):
            return str(heat["number"])
    raise ValueError(f"The demo has no steel for {part.name}: {part.grade} {part.condition} {part.form}.")


def heats_at(station: str, spec: Spec, given: Mapping[str, str]) -> list[dict[str, str]]:
    """Part and heat, or part and marked piece, of everything that is joined at a station."""
    pieces = {piece["code"] for piece in PIECES}
    found = []
    for part in parts_of(spec):
        if part.station == station:
            name = heat_of(part, spec, given)
            found.append({"part": part.code, "piece" if name in pieces else "heat": name})
    return found


def joins(stay: Stay) -> bool:
    """Whether steel is joined in a stay: on the route, and further than arrived."""
    return stay.why == "route" and stay.stays != "arrived"


def labels_with(number: str) -> list[str]:
    """The housings that have a heat in them, by what the walks did."""
    orders = [load(path) for path in (HERE / "orders").glob("*.json")]
    order_of = {order["reference"]: order for order in orders}
    found = []
    for label, walk in load(HERE / "walks.json").items():
        order = order_of[walk["order"]]
        spec = spec_from(spec_of(order, walk["place"]))
        stays = stays_of(walk, order["route_revision"], spec.links)
        given = walk.get("heats", {})
        been = [one for stay in stays if joins(stay) for one in heats_at(stay.station, spec, given)]
        if any(one.get("heat") == number for one in been):
            found.append(label)
    return found


def recalled_serials(walks: Mapping[str, Walk]) -> list[str]:
    """The housings that have the recalled heat in them, as the loader knows it."""
    return sorted(walks[label].serial for label in labels_with(RECALLED["heat"]))


def recall(progress: Progress, address: str, walks: Mapping[str, Walk]) -> None:
    """Recall a heat; that the program lists exactly the housings that have it in them is checked."""
    desk, heat = Client(address, key_of(progress, "QC desk")), RECALLED["heat"]
    post = partial(desk.post, f"/heats/{heat}/recall", {"why": RECALLED["why"]}, name=f"demo-recall-{heat}")
    progress.once(f"recall {heat}", post)
    listed = sorted(one["serial"] for one in desk.get(f"/heats/{heat}/housings")["housings"])
    known = recalled_serials(walks)
    if listed != known:
        raise RuntimeError(f"{heat} is in {known}; the program lists {listed}.")
