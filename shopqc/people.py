"""Who may do what: roles, operations and scopes as one table in code.

A review of rights is a review of a diff of this file. The table in
DEVELOPERS.md is written from it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

from shopqc.refusals import Reason, Refused

if TYPE_CHECKING:
    from shopqc.models import ApiKey, Person

WORKER, QC_LEAD, ENGINEER, OWNER = "worker", "qc_lead", "engineer", "owner"
ROLES = {
    WORKER: _("station worker"),
    QC_LEAD: _("QC lead"),
    ENGINEER: _("engineer"),
    OWNER: _("owner"),
}
SCOPES = {
    "orders": _("place orders and follow them"),
    "floor": _("move housings through their stations"),
    "readings": _("record readings"),
    "gauges": _("keep gauges and their checks"),
    "certificates": _("fetch certificates"),
}


@dataclass(frozen=True)
class Right:
    """Which roles may run an operation, and with which scope an API key may.

    ``key_alone``: a key that stands for no person may do it too.
    """

    roles: frozenset[str]
    scope: str | None = None
    key_alone: bool = False


def _right(*roles: str, scope: str | None = None, key_alone: bool = False) -> Right:
    return Right(frozenset(roles), scope, key_alone)


MAY: Mapping[str, Right] = {
    # the floor
    "arrive": _right(WORKER, QC_LEAD, scope="floor"),
    "record_work_done": _right(WORKER, QC_LEAD, scope="floor"),
    "leave_station": _right(WORKER, QC_LEAD, scope="floor"),
    "undo_arrival": _right(WORKER, QC_LEAD, scope="floor"),
    "undo_leaving": _right(WORKER, QC_LEAD, scope="floor"),
    "send_to_supplier": _right(WORKER, QC_LEAD, scope="floor"),
    "back_from_supplier": _right(WORKER, QC_LEAD, scope="floor"),
    "file_conformity": _right(WORKER, QC_LEAD, scope="floor"),
    "recall_from_supplier": _right(WORKER, QC_LEAD, scope="floor"),
    "add_visit": _right(QC_LEAD, scope="floor"),
    "drop_visit": _right(QC_LEAD, scope="floor"),
    "record_readings": _right(WORKER, QC_LEAD, scope="readings", key_alone=True),
    "hold_housing": _right(WORKER, QC_LEAD, ENGINEER, OWNER, scope="floor"),
    "release_hold": _right(QC_LEAD, scope="floor"),
    # welding
    "record_fit_up": _right(WORKER, QC_LEAD, scope="floor"),
    "record_joint_settings": _right(WORKER, QC_LEAD, scope="floor"),
    "record_joint_temperature": _right(WORKER, QC_LEAD, scope="floor"),
    "begin_pass": _right(WORKER, QC_LEAD, scope="floor"),
    "drop_arc": _right(WORKER, QC_LEAD, scope="floor"),
    "record_pass": _right(WORKER, QC_LEAD, scope="floor"),
    "take_back_pass": _right(WORKER, QC_LEAD, scope="floor"),
    "end_fire_watch": _right(WORKER, QC_LEAD, OWNER, scope="floor"),
    "ask_each_pass": _right(QC_LEAD, ENGINEER),
    "assign_procedure": _right(QC_LEAD, ENGINEER, scope="floor"),
    "publish_procedure": _right(QC_LEAD, ENGINEER, scope="floor"),
    "look_at_weld": _right(WORKER, QC_LEAD, ENGINEER, scope="floor"),
    "test_weld": _right(WORKER, QC_LEAD, ENGINEER, scope="floor"),
    "begin_repair": _right(WORKER, QC_LEAD, ENGINEER, scope="floor"),
    "add_qualification": _right(QC_LEAD, ENGINEER, scope="floor"),
    "end_qualification": _right(QC_LEAD, ENGINEER, scope="floor"),
    "confirm_process_use": _right(QC_LEAD, ENGINEER, scope="floor"),
    "doubt_welder": _right(QC_LEAD, ENGINEER, scope="floor"),
    "answer_welder_doubt": _right(QC_LEAD, ENGINEER, scope="floor"),
    # steel, filler and gas
    "receive_heat": _right(WORKER, QC_LEAD, scope="floor"),
    "change_heat": _right(QC_LEAD, scope="floor"),
    "cut_piece": _right(WORKER, QC_LEAD, scope="floor"),
    "use_material": _right(WORKER, QC_LEAD, scope="floor"),
    "recall_heat": _right(QC_LEAD, scope="floor"),
    "clear_heat": _right(QC_LEAD, scope="floor"),
    # quality
    "raise_nonconformance": _right(WORKER, QC_LEAD, ENGINEER, scope="floor"),
    "dispose": _right(QC_LEAD, ENGINEER, scope="floor"),
    "file_document": _right(WORKER, QC_LEAD, ENGINEER, OWNER, scope="floor"),
    "sign_off": _right(QC_LEAD, scope="floor"),
    "revoke_certificate": _right(QC_LEAD),
    "reissue_certificate": _right(QC_LEAD),
    "answer_question": _right(QC_LEAD),
    "add_gauge": _right(QC_LEAD, scope="gauges"),
    "change_gauge": _right(QC_LEAD, scope="gauges"),
    "record_calibration": _right(QC_LEAD, scope="gauges"),
    "withdraw_gauge": _right(WORKER, QC_LEAD, scope="gauges"),
    "return_gauge": _right(QC_LEAD, scope="gauges"),
    "publish_route": _right(QC_LEAD, ENGINEER),
    "publish_plan": _right(QC_LEAD, ENGINEER),
    # the office
    "place_order": _right(OWNER, QC_LEAD, scope="orders", key_alone=True),
    "cancel_housing": _right(OWNER, QC_LEAD, scope="orders", key_alone=True),
    "add_customer": _right(OWNER, QC_LEAD),
    "add_person": _right(OWNER),
    "change_person": _right(OWNER),
    "register_device": _right(QC_LEAD, OWNER),
    "revoke_device": _right(QC_LEAD, OWNER),
    "make_api_key": _right(OWNER),
    "revoke_api_key": _right(OWNER),
    "change_shop": _right(OWNER),
    "switch_rule": _right(OWNER),
    # anybody with the right secret; the program itself
    "sign_in": _right(),
    "issue_certificate": _right(),
    "set_up_shop": _right(),
}

# What may be read over the API: the scope a key needs for it, None = any key. A key for one customer sees
# what that customer has ordered and nothing else (`housings.queries`); people see everything.
MAY_READ: Mapping[str, str | None] = {
    "orders": None,
    "housings": None,
    "traveler": None,
    "readings": None,
    "nonconformances": None,
    "gauges": "gauges",
    "heats": "floor",
    "materials": None,
    "procedures": "floor",
    "qualifications": "floor",
    "certificates": None,
    "certificate_facts": "certificates",
    "certificate_file": "certificates",
}


@dataclass(frozen=True)
class Actor:
    """Who runs an operation.

    Parameters
    ----------
    owner : str
        To whom idempotency keys belong, such as ``person:7``.
    stamp : str
        Under which the actor appears in the record book.
    roles : frozenset of str
    scopes : frozenset of str or None
        ``None`` for a person at a page; the key's scopes when an API key asks.
    person : int or None
        Primary key of the person, if it is one.
    customer : int or None
        The only customer an API key may see; ``None`` = all.
    is_program : bool
        The worker process and the set-up commands act as the program.
    """

    owner: str
    stamp: str
    roles: frozenset[str] = frozenset()
    scopes: frozenset[str] | None = None
    person: int | None = None
    customer: int | None = None
    is_program: bool = False

    def in_record(self) -> dict[str, object]:
        """How a line of the record book names the actor: by stamp and role, never by name."""
        return {"stamp": self.stamp, "roles": sorted(self.roles)}

    def reasons_against(self, operation: str) -> tuple[Reason, ...]:
        """Why the actor may not run an operation; empty if it may."""
        right = MAY[operation]
        if self.is_program:
            return ()
        if self.scopes is not None:
            if right.scope is None or right.scope not in self.scopes:
                return (Reason("key_without_scope", {"scope": right.scope or _("of a person at a page")}),)
            if self.person is None and right.key_alone:
                return ()
        if self.roles & right.roles:
            return ()
        return (Reason("not_allowed", {"operation": operation, "roles": role_words(right.roles)}),)

    def check_may(self, operation: str) -> None:
        """Raise ``Refused`` if the actor may not run an operation."""
        if reasons := self.reasons_against(operation):
            raise Refused(*reasons)

    def check_may_read(self, what: str) -> None:
        """Raise ``Refused`` if the actor is a key without the scope that reading this needs."""
        scope = MAY_READ[what]
        if self.scopes is not None and scope is not None and scope not in self.scopes:
            raise Refused(Reason("key_without_scope", {"scope": scope}))


PROGRAM = Actor(owner="program", stamp="program", is_program=True)


def role_words(roles: Iterable[str]) -> str:
    """Roles as words: "QC lead or owner"."""
    return str(_(" or ")).join(str(ROLES[role]) for role in ROLES if role in set(roles)) or str(
        _("the program")
    )


def actor_of(person: Person) -> Actor:
    """A signed-in person as actor."""
    return Actor(
        owner=f"person:{person.pk}", stamp=person.stamp, roles=frozenset(person.roles), person=person.pk
    )


def actor_of_key(key: ApiKey) -> Actor:
    """An API key as actor: for itself, or for the person it stands for."""
    person = key.person
    return Actor(
        owner=f"key:{key.prefix}",
        stamp=person.stamp if person else f"key {key.prefix}",
        roles=frozenset(person.roles) if person else frozenset(),
        scopes=frozenset(key.scopes),
        person=person.pk if person else None,
        customer=key.customer_id,
    )
