"""What doors and rules ask of the rows of this app."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from housings import gate
from housings.models import Housing, Order
from inspections import states
from inspections.models import (
    Certificate,
    CertificateEvent,
    Characteristic,
    Disposition,
    Gauge,
    IssueJob,
    Nonconformance,
    PlanRevision,
    Reading,
    ReadingDoubt,
)
from inspections.models.certificates import ANSWERED, ISSUED, QUESTIONED, REVOKED
from inspections.models.nonconformances import USE_AS_IS, WRONG_STEEL
from inspections.standing import Standing, standings
from shopqc.people import Actor
from shopqc.refusals import refuse


class Measured:
    """Everything measured on one housing, read once: five queries however much there is."""

    def __init__(self, situation: gate.Situation) -> None:
        self.situation = situation

    @property
    def housing(self) -> Housing:
        return self.situation.housing

    @cached_property
    def characteristics(self) -> list[Characteristic]:
        return list(Characteristic.objects.filter(housing=self.housing).order_by("number"))

    @cached_property
    def readings(self) -> list[Reading]:
        return list(
            Reading.objects.filter(housing=self.housing)
            .select_related("gauge")
            .order_by("record_position", "place")
        )

    @cached_property
    def nonconformances(self) -> list[Nonconformance]:
        return list(
            Nonconformance.objects.filter(housing=self.housing)
            .select_related("disposition", "characteristic")
            .order_by("number")
        )

    @cached_property
    def doubts(self) -> list[ReadingDoubt]:
        return list(ReadingDoubt.objects.filter(reading__housing=self.housing).order_by("pk"))

    @cached_property
    def standings(self) -> Mapping[int, Standing]:
        return standings(
            self.characteristics,
            self.readings,
            self.situation.moves,
            self.situation.visits,
            self.nonconformances,
            self.doubts,
        )

    @property
    def open_nonconformances(self) -> list[Nonconformance]:
        return [found for found in self.nonconformances if found.is_open]

    def due_at(self, station: str) -> list[Standing]:
        """What is due at a station, in the order of the plan, with how it stands there.

        A pass at another station was judged by the limits there: here the characteristic is due again.
        """
        return [_seen_from(station, self.standings[c.pk]) for c in self.characteristics if c.due_at(station)]


def _seen_from(station: str, standing: Standing) -> Standing:
    measured_here = standing.reading is not None and standing.reading.station == station
    if standing.state == states.PASSED and not measured_here:
        return replace(standing, state=states.DUE_AGAIN)
    return standing


def gauges_in_service() -> list[Gauge]:
    """Every gauge that was not withdrawn, by code."""
    return list(Gauge.objects.filter(withdrawn_at=None).order_by("code"))


def equipment_on_file() -> list[Gauge]:
    """Everything in the table of gauges and equipment, also what was withdrawn, by code."""
    return list(Gauge.objects.order_by("code"))


def gauges_for(actor: Actor) -> QuerySet[Gauge]:
    """The gauges an actor may know of: the shop's own matter, of which no customer's key knows."""
    return Gauge.objects.none() if actor.customer else Gauge.objects.all()


def gauge_by_code(actor: Actor, code: str) -> Gauge:
    """One gauge."""
    gauge = gauges_for(actor).filter(code=code).first()
    if gauge is None:
        raise refuse("not_found", what=_("gauge"), name=code[:40])
    return gauge


def nonconformances(actor: Actor) -> QuerySet[Nonconformance]:
    """The nonconformances an actor may know of, with what a list says of them."""
    found = Nonconformance.objects.select_related("housing", "characteristic", "visit", "disposition")
    return found.filter(housing__order__customer=actor.customer) if actor.customer else found


def wrong_steel_accepted_at(housing: Housing) -> datetime.datetime | None:
    """When wrong steel of a housing, which is always major, was last accepted (`settings.STEEL_ACCEPTED`)."""
    accepted = Disposition.objects.filter(
        nonconformance__housing=housing, nonconformance__defect=WRONG_STEEL, kind=USE_AS_IS
    )
    return accepted.order_by("record_position").values_list("at", flat=True).last()


def newest_plan(name: str = "standard") -> PlanRevision | None:
    """The newest published revision of a plan."""
    return PlanRevision.objects.filter(name=name).order_by("-number").first()


def readings_of(housing: Housing) -> QuerySet[Reading]:
    """The readings of a housing, for lists."""
    return Reading.objects.filter(housing=housing).select_related("characteristic", "visit", "gauge")


def nonconformances_of(housing: Housing) -> QuerySet[Nonconformance]:
    """The nonconformances of a housing, for lists."""
    related = ("characteristic", "visit", "disposition")
    return Nonconformance.objects.filter(housing=housing).select_related(*related)


def certificate_numbers_of(order: Order) -> Mapping[str, list[str]]:
    """The numbers of the certificates of an order's housings, by serial, oldest first."""
    found: dict[str, list[str]] = {}
    rows = Certificate.objects.filter(housing__order=order).order_by("pk")
    for serial, number in rows.values_list("housing__serial", "number"):
        found.setdefault(serial, []).append(number)
    return found


def certificates_for(actor: Actor) -> QuerySet[Certificate]:
    """The certificates an actor may know of."""
    certificates = Certificate.objects.select_related("housing__order__customer", "sign_off", "job")
    certificates = certificates.prefetch_related("events")
    return certificates.filter(housing__order__customer=actor.customer) if actor.customer else certificates


def certificate_by_number(actor: Actor, number: str) -> Certificate:
    """One certificate; 404 also for what belongs to another customer."""
    certificate = certificates_for(actor).filter(number=number).first()
    if certificate is None:
        raise refuse("not_found", what=_("certificate"), name=number)
    return certificate


def certificate_by_code(code: str) -> Certificate | None:
    """The certificate a stranger holds, by the code printed on it."""
    tidy = code.strip().lower().replace("-", "").replace(" ", "")
    return (
        Certificate.objects.select_related("housing", "sign_off")
        .prefetch_related("events")
        .filter(code=tidy)
        .first()
    )


def status_of(certificate: Certificate) -> str:
    """Status of a certificate, from its events."""
    kinds = [event.kind for event in certificate.events.all()]
    if REVOKED in kinds:
        return states.REVOKED
    if next((kind for kind in reversed(kinds) if kind in {QUESTIONED, ANSWERED}), None) == QUESTIONED:
        return states.QUESTIONED
    return states.GENUINE if ISSUED in kinds else states.WAITING


def event(certificate: Certificate, kind: str) -> CertificateEvent | None:
    """The newest event of a kind, if it happened."""
    return next((entry for entry in reversed(certificate.events.all()) if entry.kind == kind), None)


def under_question(actor: Actor) -> list[Certificate]:
    """The certificates that wait for an answer, oldest first: two queries."""
    asked = certificates_for(actor).filter(events__kind=QUESTIONED).distinct().order_by("pk")
    return [certificate for certificate in asked if status_of(certificate) == states.QUESTIONED]


def jobs_in_trouble() -> QuerySet[IssueJob]:
    """Certificates whose making failed or was set aside, for the QC lead."""
    return (
        IssueJob.objects.exclude(state=IssueJob.DONE)
        .filter(Q(state=IssueJob.ASIDE) | ~Q(last_error=""))
        .select_related("certificate__housing")
        .order_by("pk")
    )
