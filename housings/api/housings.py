"""Housings: the list of them, and each step on their way. One housing, whole: `inspections.api.housings`."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework.request import Request
from rest_framework.response import Response

from housings import queries, states, traveler
from housings.api.bodies import (
    AtStation,
    BackBody,
    ConformityBody,
    ReleaseBody,
    SendBody,
    Why,
    WorkDoneBody,
)
from housings.api.shapes import housing_line
from housings.operations.holds import hold_housing, release_hold
from housings.operations.orders import cancel_housing
from housings.operations.suppliers import (
    back_from_supplier,
    file_conformity,
    recall_from_supplier,
    send_to_supplier,
)
from housings.operations.taking_back import undo_arrival, undo_leaving
from housings.operations.visits import arrive, leave_station, record_work_done
from housings.paper_jobs import IN_THE_REQUEST
from shopqc import paper
from shopqc.api import StrictSerializer, read, run
from shopqc.api_paging import page, parameters
from shopqc.api_views import ApiView, Pdf, document
from shopqc.refusals import refuse
from shopqc.rules import the_shop


class Housings(ApiView):
    """Newest first; ``state`` and ``order`` choose some of them."""

    filters = {"state": "state", "order": "order__number"}

    def get(self, request: Request) -> Response:
        self.actor.check_may_read("housings")
        housings = queries.with_progress(queries.housings_for(self.actor))
        given = parameters(request, *self.filters, "after", "limit")
        if "state" in given and given["state"] not in states.HOUSING_WORDS:
            why = _("one of %(states)s.") % {"states": ", ".join(states.HOUSING_WORDS)}
            raise refuse("parameter_wrong", name="state", why=why)
        if "order" in given:
            queries.order_by_number(self.actor, given["order"])
        chosen = {column: given[name] for name, column in self.filters.items() if name in given}
        return Response(
            page(
                request,
                housings.filter(**chosen),
                called="housings",
                by="serial",
                shape=housing_line,
                filters=self.filters,
            )
        )


class Step(ApiView):
    """One operation on one housing; ``body`` says what is sent with it."""

    body: type[StrictSerializer]
    operation: Callable[..., dict[str, Any]]
    status = 200

    def post(self, request: Request, serial: str) -> Response:
        housing = queries.serial_of(serial)
        answer = run(request, type(self).operation, housing=housing, **read(self.body, request))
        return Response(answer, status=self.status)


class Arrive(Step):
    body, operation = AtStation, arrive


class WorkDone(Step):
    body, operation = WorkDoneBody, record_work_done


class Leave(Step):
    body, operation = AtStation, leave_station


class UndoArrival(Step):
    body, operation = AtStation, undo_arrival


class UndoLeaving(Step):
    body, operation = AtStation, undo_leaving


class SendToSupplier(Step):
    body, operation, status = SendBody, send_to_supplier, 201


class BackFromSupplier(Step):
    body, operation = BackBody, back_from_supplier


class Conformity(Step):
    body, operation = ConformityBody, file_conformity


class RecallFromSupplier(Step):
    body, operation = Why, recall_from_supplier


class Hold(Step):
    body, operation, status = Why, hold_housing, 201


class Release(Step):
    body, operation = ReleaseBody, release_hold


class Cancel(Step):
    body, operation = Why, cancel_housing


class Traveler(ApiView):
    """The traveler as PDF, printed now."""

    renderer_classes = (Pdf,)

    def get(self, request: Request, serial: str) -> Response:
        self.actor.check_may_read("traveler")
        housing = queries.housing_by_serial(self.actor, serial)
        content = traveler.render(housing, the_shop(), timezone.now())
        return document(content, f"traveler-{housing.serial}.pdf")


class Travelers(ApiView):
    """The travelers of a few housings in one file: ``?serial=…&serial=…``."""

    renderer_classes = (Pdf,)

    def get(self, request: Request) -> Response:
        self.actor.check_may_read("traveler")
        for name in request.query_params:
            if name != "serial":
                raise refuse("parameter_unknown", name=name[:60], names="serial")
        given = list(dict.fromkeys(request.query_params.getlist("serial")))
        if not 1 <= len(given) <= IN_THE_REQUEST:
            why = _("name 1 to %(most)s housings, each as serial=….") % {"most": IN_THE_REQUEST}
            raise refuse("parameter_wrong", name="serial", why=why)
        housings = [queries.housing_by_serial(self.actor, serial) for serial in given]
        printing = traveler.Printing(the_shop(), timezone.now())
        return document(paper.joined([printing.traveler(one) for one in housings]), "travelers.pdf")
