"""How the invented shop welds: what is recorded of each joint at a station, by whom and when.

Each stay at a station that welds gets a file, ``welds.json``: what was done, in its order, each with the
minute (counted back from the end of the stay), the stamp, the joint, the door it goes through, and what is
sent. Snouts are welded pass by pass, one cooling while the other is welded, as hot as `cooling_work` says.
Figures lie inside the example procedures (`engineering.ready_procedures`) but for what a tale plants.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from fixtures_demo.cooling_work import CoolingJoint
from housings.engineering.joints import JointKind, JointSpec, joints_of
from housings.engineering.spec import Spec

Event = dict[str, Any]
Planted = Mapping[str, Any]
"""What a tale needs, by name: ``"amps snout_left 6"``, or what was found in ``"refused snout_right"``."""

TIG_ROD, MAG_WIRE, ARGON, MIX = "F1180", "F1203", "G3391", "G3405"
PASSES = {"0.250": 4, "0.375": 6, "0.500": 8}
# Least preheat and greatest interpass temperature by the steel of the snout, °F: those of the procedures.
LIMITS = {"4130": (250, 400), "4140": (400, 600)}
TRAVEL, CHANGE_OVER, REHEAT = 3.3, 1.0, 3.0
STOPS = ("3", "9", "12", "6")
INSPECTOR = "V1"
TESTING = "non_destructive_testing"
# Magnetic particles under ultraviolet light; figures of a usual yoke (common practice, no source).
MAGNETIC = {
    "method": "MT",
    "accepted": True,
    "tester": INSPECTOR,
    "tester_level": "2",
    "how": {
        "batch": "MP-0417 (invented)",
        "light": "uv",
        "equipment": "yoke",
        "irradiance": "22",
        "illuminance": "8",
        "field": "3.1",
        "demagnetised": "yes",
    },
}


def fahrenheit(celsius: float) -> float:
    return celsius * 1.8 + 32


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


@dataclass
class Seam:
    """One snout joint under way."""

    joint: JointSpec
    cooling: CoolingJoint
    amps: int
    left: int
    done: int = 0

    @property
    def limits(self) -> tuple[int, int]:
        return LIMITS[self.joint.grade_b]

    @property
    def shown(self) -> float:
        """°F at the stop point."""
        return fahrenheit(self.cooling.at_stop())

    @property
    def arc_minutes(self) -> float:
        return 3.14159 * float(self.joint.diameter) / TRAVEL

    @property
    def energy(self) -> float:
        """kJ per inch."""
        return 12.5 * self.amps * 0.06 / TRAVEL


@dataclass
class Welding:
    """The welding of one stay; ``begun`` counts minutes from its first event."""

    spec: Spec
    station: str
    welder: str
    chance: random.Random
    planted: Planted
    minute: float = 0.0
    events: list[Event] = field(default_factory=list)

    def do(
        self, what: str, joint: str, body: Mapping[str, Any], *, by: str = "", at: float | None = None
    ) -> None:
        minute = self.minute if at is None else at
        self.events.append(
            {
                "minute": round(minute, 2),
                "by": by or self.welder,
                "joint": joint,
                "do": what,
                "body": dict(body),
            }
        )

    def at_once(self, joint: JointSpec) -> None:
        """A joint without cooling between: one line for all its welds, and the look at them."""
        figures, filler, gas, warm = self._machine(joint)
        self.minute += 2.0 + 1.5 * joint.count
        # Of many small welds the last reading is told: an old one lets no arc start.
        read = {"minute": round(self.minute - min(1.5 * joint.count, 6.0), 2), **degrees(warm, "beside")}
        body = {
            "number": 1,
            "passes": joint.count,
            "temperatures": [read],
            "figures": figures,
            "filler": filler,
            "gas": gas,
        }
        self.do("passes", joint.code, body)
        self.minute += 1.0
        self.final_look(joint.code)

    def final_look(self, joint: str) -> None:
        found = self.planted.get(f"refused {joint}")
        body = {"stage": "final", "accepted": not found, **({"findings": [found]} if found else {})}
        self.do("look", joint, body, by=INSPECTOR)

    def test(self, joints: Sequence[JointSpec]) -> None:
        """Magnetic particles, one joint after the other."""
        for joint in joints:
            self.minute += 15.0
            self.do("test", joint.code, MAGNETIC, by=INSPECTOR)

    def _machine(self, joint: JointSpec) -> tuple[dict[str, str], str, str, float]:
        """Settings, filler, gas, and how warm the joint was before, °F."""
        chance = self.chance
        match joint.kind:
            case JointKind.ROSETTE:
                least, _greatest = LIMITS[joint.grade_b]
                return self.tig(chance.randint(160, 178)), TIG_ROD, ARGON, least + chance.uniform(25, 70)
            case JointKind.FITTING:
                figures = machine("12.0", chance.randint(115, 140), "3.6", "PB")
                return figures, TIG_ROD, ARGON, chance.uniform(95, 140)
            case JointKind.ARMOR:
                warm = chance.uniform(90, 140)
            case _:
                warm = chance.uniform(165, 210)
        figures = machine("24.5", chance.randint(195, 220), text(chance.uniform(12, 14.5)), "PB")
        return figures, MAG_WIRE, MIX, warm

    def tig(self, amps: int) -> dict[str, str]:
        return machine("12.5", amps, text(TRAVEL), "PA")

    # Snouts

    def seam(self, joint: JointSpec) -> Seam:
        cooling = CoolingJoint(float(joint.diameter), float(joint.thickness))
        return Seam(joint, cooling, self.chance.randint(166, 180), PASSES[joint.thickness])

    def fit_up(self, seam: Seam) -> None:
        """The hold point before the root, and how the machine is set for the joint."""
        chance, joint = self.chance, seam.joint
        figures = {
            "gap": text(chance.uniform(0.080, 0.108), 3),
            "land": text(chance.uniform(0.050, 0.075), 3),
            "mismatch": text(chance.uniform(0.004, 0.020), 3),
            "bevel": text(chance.uniform(29, 31)),
            "length_unit": "in",
            "clean": "yes",
            "purged": "yes",
            "preheated": "yes",
        }
        self.do("fit-up", joint.code, {"figures": figures, "tacked_by": self.welder})
        settings = {
            "figures": {**self.tig(seam.amps), "gas_flow": "20", "purge_flow": "10", "flow_unit": "ft³/h"},
            "filler": TIG_ROD,
            "gas": ARGON,
        }
        self.do("settings", joint.code, settings)

    def warm(self, seam: Seam) -> None:
        least, _greatest = seam.limits
        seam.cooling.preheat(celsius(least + self.chance.uniform(28, 45)))

    def weld(self, seam: Seam, others: Sequence[Seam] = ()) -> None:
        """One pass: the reading that lets the arc start, the arc, and the stop."""
        read = {"minute": round(self.minute, 2), **degrees(seam.shown, "stop")}
        number = seam.done + 1
        figure = f"amps {seam.joint.code} {number}"
        amps = int(self.planted.get(figure, seam.amps))
        energy = seam.energy * amps / seam.amps * (0.85 if number == 1 else 1)
        seam.cooling.cool(self.minute + 0.4)
        seam.cooling.arc(seam.arc_minutes, energy)
        self.minute = seam.cooling.minutes
        for other in others:
            other.cooling.cool(self.minute)
        seam.done, seam.left = number, seam.left - 1
        body = {"number": number, "temperatures": [read], "stop_at": STOPS[number % len(STOPS)]}
        if figure in self.planted:
            body["figures"] = self.tig(amps)
        self.do("passes", seam.joint.code, body)

    def look_at_root(self, seam: Seam) -> None:
        self.do("look", seam.joint.code, {"stage": "root", "accepted": True}, by=INSPECTOR)

    def wait(self, seams: Sequence[Seam], minutes: float) -> None:
        self.minute += minutes
        for seam in seams:
            seam.cooling.cool(self.minute)

    def both_snouts(self, seams: Sequence[Seam]) -> None:
        """Left and right in turn, whichever is between its limits; what is too cold is warmed again."""
        for seam in seams:
            self.fit_up(seam)
            self.warm(seam)
        while any(seam.left for seam in seams):
            left = [seam for seam in seams if seam.left]
            ready = [one for one in left if one.limits[0] + 5 <= one.shown <= one.limits[1] - 6]
            if ready:
                seam = min(ready, key=lambda one: one.shown)
                self.weld(seam, [one for one in seams if one is not seam])
                if seam.done == 1:
                    self.wait(seams, CHANGE_OVER)
                    self.look_at_root(seam)
                self.wait(seams, CHANGE_OVER)
            elif cold := [one for one in left if one.shown < one.limits[0] + 5]:
                self.wait(seams, REHEAT)
                self.warm(cold[0])
            else:
                self.wait(seams, 0.5)
        self.wait(seams, 20.0)
        for seam in seams:
            self.final_look(seam.joint.code)


def repaired(spec: Spec, welder: str, code: str, chance: random.Random, planted: Planted) -> list[Event]:
    """A snout joint that was refused: dug out, its cavity looked at, and welded again by one pass."""
    joint = next(one for one in joints_of(spec) if one.code == code)
    welding = Welding(spec, joint.station, welder, chance, {})
    seam = welding.seam(joint)
    seam.done = PASSES[joint.thickness]
    welding.do("repair", code, {"nonconformance": planted["nonconformance"], "how": planted["how"]})
    welding.minute = 8.0
    welding.do("look", code, {"stage": "cavity", "accepted": True}, by=INSPECTOR)
    welding.wait([seam], 4.0)
    welding.warm(seam)
    welding.weld(seam)
    welding.events[-1]["body"]["repair"] = 1
    welding.wait([seam], 12.0)
    welding.final_look(code)
    return counted_back(welding.events, welding.minute)


def machine(volts: str, amps: int, travel: str, position: str) -> dict[str, str]:
    return {
        "volts": volts,
        "amps": str(amps),
        "travel": travel,
        "travel_unit": "in/min",
        "position": position,
    }


def degrees(value: float, place: str) -> dict[str, Any]:
    return {"value": text(value, 0), "unit": "F", "place": place, "simulated": True}


def text(value: float, places: int = 1) -> str:
    return f"{value:.{places}f}"


def welded(spec: Spec, station: str, welder: str, chance: random.Random, planted: Planted) -> list[Event]:
    """Everything that is recorded of welds at a station, with minutes up to 0, the end of the stay."""
    welding = Welding(spec, station, welder, chance, planted)
    if station == TESTING:
        welding.test([joint for joint in joints_of(spec) if joint.is_multipass])
        return counted_back(welding.events, welding.minute)
    joints = [joint for joint in joints_of(spec) if joint.station == station]
    if seams := [welding.seam(joint) for joint in joints if joint.is_multipass]:
        welding.both_snouts(seams)
    for joint in joints:
        if not joint.is_multipass:
            welding.at_once(joint)
    return counted_back(welding.events, welding.minute)


def counted_back(events: Sequence[Event], end: float) -> list[Event]:
    """Events by their minute before the end."""

    def moved(event: Event) -> Event:
        body = dict(event["body"])
        if "temperatures" in body:
            body["temperatures"] = [
                {**read, "minute": round(read["minute"] - end, 2)} for read in body["temperatures"]
            ]
        return {**event, "minute": round(event["minute"] - end, 2) + 0.0, "body": body}

    return sorted(map(moved, events), key=lambda event: float(event["minute"]))
