"""From a heat to all that has it: housings, the places in them, orders, customers, certificates."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from housings import states as housing_states
from housings.engineering.stations import STATIONS
from housings.material_queries import Place, places_of
from housings.models import Heat, Housing
from housings.whereabouts import Whereabouts, whereabouts
from inspections import states
from inspections.models import Certificate
from inspections.queries import status_of
from shopqc.canonical import moment


@dataclass(frozen=True)
class Traced:
    """One housing that has a heat, with all that the list says of it."""

    housing: Housing
    places: Sequence[Place]
    where: Whereabouts
    certificates: Sequence[Certificate]

    @property
    def certificate_words(self) -> list[tuple[Certificate, str, str]]:
        """Each certificate with its status as a code and in words."""
        found = [(one, status_of(one)) for one in self.certificates]
        return [(one, status, str(states.CERTIFICATE_WORDS[status])) for one, status in found]


def traced(heat: Heat, housings: Sequence[Housing]) -> list[Traced]:
    """What there is to say of housings that have a heat; a fixed number of queries for however many.

    They were loaded by `housings.queries.with_progress`.
    """
    places = places_of(heat, housings)
    certificates = _certificates_of(housings)
    return [
        Traced(
            housing,
            places.get(housing.pk, ()),
            whereabouts(housing, housing.all_visits, housing.open_holds),  # type: ignore[attr-defined]
            certificates.get(housing.pk, ()),
        )
        for housing in housings
    ]


def _certificates_of(housings: Iterable[Housing]) -> Mapping[int, list[Certificate]]:
    found: dict[int, list[Certificate]] = {}
    rows = Certificate.objects.filter(housing__in=[one.pk for one in housings]).prefetch_related("events")
    for certificate in rows.order_by("pk"):
        found.setdefault(certificate.housing_id, []).append(certificate)
    return found


HEAD = (
    "heat",
    "housing",
    "customer",
    "customer_name",
    "order",
    "reference",
    "state",
    "held",
    "part",
    "station",
    "piece",
    "recorded_at",
    "recorded_by",
    "certificates",
)


def as_csv(heat: Heat, found: Iterable[Traced]) -> str:
    """One line for each place where a heat is, for a spreadsheet (RFC 4180)."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEAD)
    for one in found:
        writer.writerows([_plain(cell) for cell in line] for line in _lines(heat, one))
    return text.getvalue()


def _lines(heat: Heat, one: Traced) -> Iterator[list[str]]:
    housing, order = one.housing, one.housing.order
    certificates = "; ".join(
        f"{certificate.number} ({word})" for certificate, _status, word in one.certificate_words
    )
    for place in one.places:
        use = place.use
        yield [
            heat.number,
            housing.serial,
            order.customer.code,
            order.customer.name,
            order.number,
            order.reference,
            str(housing_states.HOUSING_WORDS[housing.state]),
            _("yes") if housing.open_holds else _("no"),  # type: ignore[attr-defined]
            place.words,
            _(STATIONS[place.station].name),
            use.piece.code if use is not None and use.piece else "",
            moment(use.at) if use is not None else "",
            use.by_stamp if use is not None else "",
            certificates,
        ]


def _plain(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    return f"'{cell}" if cell.startswith(("=", "+", "-", "@", "\t", "\r")) else cell
