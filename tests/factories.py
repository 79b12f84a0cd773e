"""Shops at a given point, reached by walking the real operations there: none starts from an impossible state.

``floor = Floor()`` is a shop that is set up, with people, customers, gauges,
route and plan. ``floor.housing(until="face_and_drill")`` is a housing that has
arrived there; ``until="signed"`` one with a certificate being made.
"""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from housings import gate, queries
from housings.engineering.ready_procedures import READY_PROCEDURES
from housings.models import Housing, ProcedureRevision, Visit
from housings.operations.orders import place_order
from housings.operations.passes import record_pass
from housings.operations.procedures import publish_procedure
from housings.operations.visits import arrive, leave_station, record_work_done
from housings.weld_queries import JointState, joint_states
from inspections.first_shop import SAMPLE_SPEC, open_shop
from inspections.models import Characteristic
from inspections.operations.certificates import sign_off
from inspections.operations.gauges import add_gauge
from inspections.operations.readings import record_readings
from inspections.queries import Measured
from shopqc.canonical import digest
from shopqc.models import ApiKey, Device, Person
from shopqc.operations.people import add_person
from shopqc.operations.shop import (
    add_customer,
    make_api_key,
    new_api_key,
    new_device_token,
    register_device,
)
from shopqc.people import PROGRAM, Actor, actor_of
from shopqc.secret import Secret
from tests.good_readings import passing

AT = datetime.datetime(2026, 5, 4, 9, 30, tzinfo=datetime.UTC)
SECRET = "quiet-river-stone"
PIN = "2468"
GAUGE = "G-1"
OVERDUE = "G-2"
PLAIN_SPEC: Mapping[str, Any] = {
    "tube_od": "3.5",
    "tube_wall": "0.250",
    "tube_grade": "4130",
    "tube_condition": "normalised",
    "plate_grade": "4130",
    "armor_thickness": "0.25",
    "snout_size": "2.5",
    "snout_grade": "4140",
    "shaft": "40",
    "width": "60",
    "links": False,
    "vent_side": "left",
}
LINKS_SPEC: Mapping[str, Any] = SAMPLE_SPEC
PEOPLE = {
    "O1": ("Olive Marsh", ["owner"]),
    "Q1": ("Quinn Abara", ["qc_lead"]),
    "E1": ("Edith Solberg", ["engineer"]),
    "W1": ("Wes Tandy", ["worker"]),
    "M1": ("Mara Lindqvist", ["worker"]),
}

Operation = Callable[..., dict[str, Any]]


class Floor:
    """A shop that is set up, and what walks its floor."""

    def __init__(self, at: datetime.datetime = AT) -> None:
        self.at = at
        self._keys = itertools.count()
        open_shop(name="Invented Axle Works", badge="1", owner="Sam First", password=Secret(SECRET), at=at)
        for stamp, (name, roles) in PEOPLE.items():
            self.do(
                add_person,
                badge=f"badge-{stamp}",
                name=name,
                stamp=stamp,
                roles=roles,
                pin=Secret(PIN),
                password=Secret(SECRET),
                credential="Registered engineer 20417 (invented)" if "engineer" in roles else "",
            )
        for code in ("north", "basin"):
            self.do(add_customer, code=code, name=f"{code.title()} Off-Road")
        due = (at + datetime.timedelta(days=90)).date().isoformat()
        self.do(add_gauge, code=GAUGE, name="Universal gauge", kind="gauge", calibration_due=due)
        past = (at - datetime.timedelta(days=1)).date().isoformat()
        self.do(add_gauge, code=OVERDUE, name="Forgotten gauge", kind="gauge", calibration_due=past)

    def do(self, operation: Operation, *, by: str | Actor = PROGRAM, **inputs: Any) -> dict[str, Any]:
        """Run an operation; ``by`` is a stamp or an actor, the key a new one unless it is given."""
        actor = by if isinstance(by, Actor) else self.actor(by)
        key = inputs.pop("key", None) or f"floor {next(self._keys)}"
        return operation(by=actor, at=inputs.pop("at", self.at), key=key, **inputs)

    def actor(self, stamp: str) -> Actor:
        """A person of the shop as actor."""
        return actor_of(self.person(stamp))

    def person(self, stamp: str) -> Person:
        return Person.objects.get(stamp=stamp)

    def api_key(
        self,
        *scopes: str,
        stamp: str | None = None,
        customer: str | None = None,
        expires_at: str | None = None,
    ) -> tuple[str, ApiKey]:
        """A new API key: its text, and its row."""
        text, prefix, key_digest = new_api_key()
        self.do(
            make_api_key,
            name="key of a test",
            prefix=prefix,
            key_digest=key_digest,
            scopes=list(scopes),
            stamp=stamp,
            customer=customer,
            expires_at=expires_at,
        )
        return text, ApiKey.objects.get(prefix=prefix)

    def device(self) -> tuple[str, Device]:
        """A newly registered device: its token, and its row."""
        token = new_device_token()
        answer = self.do(register_device, name="Tablet", token_digest=digest(token.encode()))
        return token, Device.objects.get(pk=answer["device"])

    def order(
        self,
        quantity: int = 1,
        spec: Mapping[str, Any] = PLAIN_SPEC,
        customer: str = "north",
        reference: str | None = None,
    ) -> list[Housing]:
        """An order of one line; its housings."""
        answer = self.do(
            place_order,
            customer=customer,
            reference=reference or f"PO-{next(self._keys)}",
            lines=[{"quantity": quantity, "spec": dict(spec)}],
        )
        serials = [housing["serial"] for housing in answer["housings"]]
        return list(Housing.objects.filter(serial__in=serials).order_by("pk"))

    def housing(
        self,
        until: str = "released",
        spec: Mapping[str, Any] = PLAIN_SPEC,
        customer: str = "north",
    ) -> Housing:
        """A housing walked until a point: ``released``, a station where it has arrived, ``measured``
        (every station of the route left) or ``signed``."""
        (housing,) = self.order(spec=spec, customer=customer)
        self.walk(housing, until)
        return housing

    def walk(self, housing: Housing, until: str) -> None:
        """Bring a housing further along its route."""
        while until != "released":
            visit = self.next_visit(housing)
            if visit is None:
                break
            self.do(arrive, by="W1", housing=housing.serial, station=visit.station)
            if visit.station == until:
                break
            self.finish(housing, visit)
        if until == "signed":
            self.sign(housing)
        housing.refresh_from_db()

    def next_visit(self, housing: Housing) -> Visit | None:
        """The next visit before the sign-off."""
        following = queries.next_visits(queries.visits_of(housing))
        return next((visit for visit in following if not visit.at.after_sign_off), None)

    def finish(self, housing: Housing, visit: Visit) -> None:
        """Do the work of the present visit, measure all that is due, and leave."""
        self.work(housing, visit.station)
        self.measure_due(housing, visit.station)
        self.do(leave_station, by="W1", housing=housing.serial, station=visit.station)

    def work(self, housing: Housing, station: str) -> None:
        self.do(record_work_done, by="W1", housing=housing.serial, station=station)

    def measured(self, housing: Housing) -> Measured:
        """Everything measured on a housing, read anew."""
        return Measured(gate.Situation(Housing.objects.get(pk=housing.pk)))

    def measure_due(
        self, housing: Housing, station: str, only: Sequence[str] | None = None
    ) -> dict[str, Any]:
        """Record a passing reading of each thing due at a station."""
        due = [standing.characteristic for standing in self.measured(housing).due_at(station)]
        wanted = [c for c in due if only is None or c.code in only]
        if not wanted:
            return {}
        return self.record(housing, *(self.reading(housing, c, station) for c in wanted))

    def record(
        self, housing: Housing, *readings: Mapping[str, Any], by: str = "M1", **inputs: Any
    ) -> dict[str, Any]:
        """Record readings."""
        return self.do(record_readings, by=by, housing=housing.serial, readings=list(readings), **inputs)

    def reading(
        self, housing: Housing, characteristic: Characteristic, station: str, **changes: Any
    ) -> dict[str, Any]:
        """The input of one passing reading, as a device that has just loaded the page would send it."""
        return {
            "characteristic": characteristic.code,
            "raw": passing(characteristic, station),
            "seen_position": Housing.objects.values_list("record_position", flat=True).get(pk=housing.pk),
            "gauge": GAUGE if characteristic.needs_gauge else None,
            **changes,
        }

    def characteristic(self, housing: Housing, code: str) -> Characteristic:
        return Characteristic.objects.get(housing=housing, code=code)

    def procedure(self, name: str = "snout-4140-250", **changes: Any) -> ProcedureRevision:
        """Publish an example procedure, with some of its fields changed; joints released later get it."""
        data = {**READY_PROCEDURES[name].data, **changes}
        self.do(publish_procedure, by="E1", name=name, data=data)
        revision = ProcedureRevision.objects.filter(name=name).order_by("number").last()
        assert revision is not None
        return revision

    def procedures(self) -> None:
        """Publish every example procedure, so that every joint released later has one."""
        for name in READY_PROCEDURES:
            self.procedure(name)

    def weld(
        self,
        housing: Housing,
        joint: str,
        passes: int = 1,
        *,
        welder: str = "W1",
        every: datetime.timedelta = datetime.timedelta(0),
        **inputs: Any,
    ) -> list[int]:
        """Weld passes of a joint, one after the other; each with a temperature in the middle of its window.

        ``every`` is the time from one to the next; the first is now. Their numbers.
        """
        numbers: list[int] = []
        for index in range(passes):
            state = self.joint(housing, joint)
            given = {"number": state.next_number, "temperatures": good_temperatures(state), **inputs}
            answer = self.do(
                record_pass,
                by=welder,
                at=self.at + index * every,
                housing=housing.serial,
                joint=joint,
                **given,
            )
            numbers += answer["passes"]
        return numbers

    def joint(self, housing: Housing, code: str) -> JointState:
        """How a joint stands, read anew."""
        states = joint_states(Housing.objects.select_related("spec").get(pk=housing.pk))
        return next(state for state in states if state.joint.code == code)

    def sign(self, housing: Housing, by: str = "Q1", **inputs: Any) -> dict[str, Any]:
        """Sign off with the right secret."""
        secret = inputs.pop("secret", SECRET)
        return self.do(sign_off, by=by, housing=housing.serial, signer=by, secret=Secret(secret), **inputs)


def good_temperatures(state: JointState) -> list[dict[str, Any]]:
    """A reading that lets the next arc of a joint start, if its procedure asks for one."""
    procedure = state.procedure
    if procedure is None or procedure.preheat_least is None:
        return []
    value = procedure.preheat_least + 20
    return [{"value": str(value), "unit": procedure.temperature_unit, "place": procedure.measured_at}]
