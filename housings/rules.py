"""What the housings themselves say against a step, apart from anything measured."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.utils.translation import gettext_lazy as _

from housings import states
from housings.engineering.stations import STATIONS, StationKind
from housings.engineering.work_details import fields_of
from housings.models import Away, Hold, Housing, Visit, WeldPass, WorkDone
from housings.queries import away_at, next_visits, visit_here
from shopqc.people import QC_LEAD, Actor
from shopqc.refusals import Reason, register
from shopqc.rules import Rule
from shopqc.rules import register as register_rules

WORK_DONE_RECORDED, WORK_DESCRIBED, CONFORMITY_FILED = (
    "work_done_recorded",
    "work_described",
    "conformity_filed",
)

register_rules(
    Rule(
        WORK_DONE_RECORDED,
        _("A station whose work moves metal is left only after its work was recorded as done."),
        _("When the work of each station was done was not recorded at every station."),
    ),
    Rule(
        WORK_DESCRIBED,
        _("Straightening says where and how far, a furnace how hot, armor when its dummy plate came off."),
        _("Where and how far was straightened, and how hot a furnace was, was not recorded throughout."),
        from_start=False,
    ),
    Rule(
        CONFORMITY_FILED,
        _("What was at a supplier goes on only once the supplier's certificate of conformity is filed."),
        _("Certificates of conformity of suppliers were not filed throughout."),
    ),
)
register(
    409,
    {
        "housing_ended": _("This housing is %(state)s; nothing more is done to it."),
        "housing_signed_off": _(
            "This housing is signed off. To work on it again, the QC lead revokes its certificate first."
        ),
        "not_signed_off": _("%(station)s comes after the sign-off, and nobody has signed yet."),
        "held": _("Held: %(why)s (by %(stamp)s). The QC lead can release it."),
        "is_elsewhere": _("The housing is at %(station)s and has not left there."),
        "is_here_already": _("The housing has arrived at %(station)s already."),
        "not_next": _("%(station)s is not next. Next is: %(next)s."),
        "nothing_ahead": _("No visit is ahead: every station of the route is done."),
        "not_here": _("The housing is not at %(station)s now."),
        "work_not_recorded": _("The work of %(station)s is not recorded as done."),
        "visits_ahead": _("Not done yet: %(stations)s."),
        "route_refused": _("%(why)s"),
        "away_at_supplier": _("It is away at %(supplier)s; record first that it came back."),
        "not_away": _("It is not away at a supplier now."),
        "no_supplier_here": _("%(station)s is not done at a supplier."),
        "conformity_missing": _("The certificate of conformity of %(supplier)s is not filed."),
        "work_not_described": _("Say what the work of %(station)s was: %(fields)s."),
        "visit_not_empty": _("Something was recorded at %(station)s since, so it stays arrived."),
        "recorded_since": _("Something was recorded after it left %(station)s, so it stays left."),
        "not_left_last": _("%(station)s is not where it left last."),
        "only_optional": _(
            "%(station)s belongs to every route; only what a route may do without is changed."
        ),
        "not_ahead": _("Visit %(visit)s is not ahead any more."),
        "rework_stays": _("Visit %(visit)s belongs to a decision about a nonconformance and stays."),
    },
)
register(
    422,
    {
        "serial_wrong": _("%(serial)s is no serial of ours: %(why)s"),
        "spec_does_not_fit": _("%(why)s"),
        "route_unknown": _("There is no published route %(name)s."),
        "order_known": _(
            "The customer %(customer)s has an order with the reference %(reference)s already: %(number)s."
        ),
        "station_unknown": _("There is no station %(station)s."),
        "reason_needed": _("Say why."),
        "detail_wrong": _("%(why)s"),
        "document_not_filed": _("This document is not filed here; file it first."),
    },
)
register(
    403,
    {"not_who_did_it": _("Stamp %(stamp)s recorded this; only they or the QC lead take it back.")},
)


def _name(station: str) -> str:
    return STATIONS[station].name


def reasons_of_state(housing: Housing, *, after_sign_off: bool = False) -> list[Reason]:
    """Whether the housing's state lets anything happen to it."""
    if housing.state in {states.SCRAPPED, states.CANCELLED}:
        return [Reason("housing_ended", {"state": states.HOUSING_WORDS[housing.state]})]
    if housing.state == states.SIGNED_OFF and not after_sign_off:
        return [Reason("housing_signed_off")]
    return []


def reasons_of_holds(holds: Sequence[Hold]) -> list[Reason]:
    """One reason for each hold."""
    return [Reason("held", {"why": hold.why, "stamp": hold.placed_by}) for hold in holds]


def reasons_of_away(visits: Sequence[Visit]) -> list[Reason]:
    """Whether the housing is not in the house: then nothing is done to it, measured or left here."""
    here = visit_here(visits)
    supplier = away_at(here) if here else None
    return [Reason("away_at_supplier", {"supplier": supplier})] if supplier else []


def reasons_of_conformity(stays: Sequence[Away], visit: Visit, in_use: frozenset[str]) -> list[Reason]:
    """Stays of a visit that ended without the supplier's certificate."""
    if CONFORMITY_FILED not in in_use:
        return []
    return [
        Reason("conformity_missing", {"supplier": stay.supplier})
        for stay in stays
        if stay.visit_id == visit.pk and stay.back_at and not stay.conformity and not stay.recalled_why
    ]


def reasons_of_description(station: str, details: Mapping[str, str], in_use: frozenset[str]) -> list[Reason]:
    """Whether the work of a station is described as far as the shop asks for it."""
    asked = [field for field in fields_of(station) if field.required]
    if WORK_DESCRIBED not in in_use or details or not asked:
        return []
    words = ", ".join(str(_(field.label)) for field in asked if field.only_if is None)
    return [Reason("work_not_described", {"station": _name(station), "fields": words}, "/details")]


def reasons_not_to_take_back(
    by: Actor, stamp: str, visit: Visit, moves: Sequence[WorkDone | WeldPass], stays: Sequence[Away]
) -> list[Reason]:
    """Why an arrival that ``stamp`` recorded stays, as far as stations go."""
    reasons = reasons_of_person(by, stamp)
    recorded = [*(entry.visit_id for entry in moves), *(stay.visit_id for stay in stays)]
    if visit.pk in recorded:
        reasons.append(Reason("visit_not_empty", {"station": visit.at.name}))
    return reasons


def reasons_not_to_return(by: Actor, housing: Housing, visit: Visit) -> list[Reason]:
    """Why a leaving that somebody recorded by mistake stays: anything that came after it in the record."""
    reasons = reasons_of_person(by, visit.left_by)
    if visit.left_position != housing.record_position:
        reasons.append(Reason("recorded_since", {"station": visit.at.name}))
    return reasons


def reasons_of_person(by: Actor, stamp: str) -> list[Reason]:
    """A slip is taken back by whoever made it, or by the QC lead."""
    if by.is_program or by.stamp == stamp or QC_LEAD in by.roles:
        return []
    return [Reason("not_who_did_it", {"stamp": stamp})]


def reasons_not_to_start(
    housing: Housing, station: str, visits: Sequence[Visit], holds: Sequence[Hold]
) -> list[Reason]:
    """Why work at a station may not begin."""
    after = STATIONS[station].after_sign_off
    reasons = reasons_of_state(housing, after_sign_off=after) + reasons_of_holds(holds)
    if after and housing.state != states.SIGNED_OFF:
        reasons.append(Reason("not_signed_off", {"station": _name(station)}))
    if here := visit_here(visits):
        code = "is_here_already" if here.station == station else "is_elsewhere"
        return [*reasons, Reason(code, {"station": _name(here.station)})]
    following = next_visits(visits)
    if not following:
        reasons.append(Reason("nothing_ahead"))
    elif station not in {visit.station for visit in following}:
        names = str(_(" or ")).join(_name(visit.station) for visit in following)
        reasons.append(Reason("not_next", {"station": _name(station), "next": names}))
    return reasons


def has_work(visit: Visit) -> bool:
    """Whether a visit has work of its own that changes what is measured.

    A coat or a cleaning bends nothing and still changes it. A visit that only measures again has none.
    """
    changes = visit.at.moves_metal or visit.at.kind is StationKind.TREAT
    return changes and visit.kind != Visit.MEASURE


def reasons_not_to_leave(
    housing: Housing,
    visit: Visit,
    holds: Sequence[Hold],
    work_done: Sequence[WorkDone],
    in_use: frozenset[str],
    stays: Sequence[Away] = (),
) -> list[Reason]:
    """Why a visit may not end; ``stays`` are those at suppliers."""
    reasons = reasons_of_state(housing, after_sign_off=visit.at.after_sign_off) + reasons_of_holds(holds)
    if visit.state != states.HERE:
        return [*reasons, Reason("not_here", {"station": visit.at.name})]
    recorded = any(entry.visit_id == visit.pk for entry in work_done)
    if WORK_DONE_RECORDED in in_use and has_work(visit) and not recorded:
        reasons.append(Reason("work_not_recorded", {"station": visit.at.name}))
    return [*reasons, *reasons_of_away([visit]), *reasons_of_conformity(stays, visit, in_use)]


def reasons_not_to_sign(housing: Housing, visits: Sequence[Visit], holds: Sequence[Hold]) -> list[Reason]:
    """Why nobody may sign for the housing yet, as far as stations and holds go."""
    reasons = reasons_of_state(housing) + reasons_of_holds(holds)
    open_visits = [
        visit
        for visit in visits
        if visit.state in {states.AHEAD, states.HERE} and not visit.at.after_sign_off
    ]
    if open_visits:
        names = ", ".join(visit.at.name for visit in open_visits)
        reasons.append(Reason("visits_ahead", {"stations": names}))
    return reasons
