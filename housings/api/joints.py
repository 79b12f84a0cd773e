"""The joints of a housing, and each step at one of them."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework.request import Request
from rest_framework.response import Response

from housings import gate, queries, weld_queries
from housings.api.joint_bodies import (
    BeginBody,
    FitUpBody,
    NothingBody,
    PassBody,
    SettingsBody,
    TakeBackBody,
    TemperaturesBody,
)
from housings.api.joint_shapes import joint_shape
from housings.operations.arcs import begin_pass, drop_arc
from housings.operations.fit_ups import record_fit_up
from housings.operations.joint_settings import record_joint_settings
from housings.operations.passes import record_pass, take_back_pass
from housings.operations.temperatures import record_joint_temperature
from housings.weld_rules import reasons_of_joint
from shopqc.api import StrictSerializer, read, run
from shopqc.api_views import ApiView
from shopqc.refusals import refuse

# What a code of a joint looks like (`housings.engineering.joints`).
CODE = re.compile(r"[a-z0-9_]{1,40}")


class Joints(ApiView):
    """Every joint of a housing as it stands now."""

    def get(self, request: Request, serial: str) -> Response:
        self.actor.check_may_read("housings")
        housing = queries.housing_by_serial(self.actor, serial)
        now, in_use = timezone.now(), gate.Situation(housing).in_use
        joints = [
            joint_shape(
                state, now, reasons_of_joint(state, now, in_use), for_customer=self.actor.customer is not None
            )
            for state in weld_queries.joint_states(housing)
        ]
        return Response({"housing": housing.serial, "joints": joints})


class JointStep(ApiView):
    """One operation at one joint; ``body`` says what is sent with it."""

    body: type[StrictSerializer]
    operation: Callable[..., dict[str, Any]]
    status = 200

    def post(self, request: Request, serial: str, code: str) -> Response:
        housing = queries.serial_of(serial)
        if not CODE.fullmatch(code):
            raise refuse("not_found", what=_("joint"), name=code[:40])
        inputs = read(self.body, request)
        answer = run(request, type(self).operation, housing=housing, joint=code, **inputs)
        return Response(answer, status=self.status)


class FitUp(JointStep):
    body, operation, status = FitUpBody, record_fit_up, 201


class Settings(JointStep):
    body, operation, status = SettingsBody, record_joint_settings, 201


class Temperatures(JointStep):
    body, operation, status = TemperaturesBody, record_joint_temperature, 201


class Begin(JointStep):
    body, operation = BeginBody, begin_pass


class DropArc(JointStep):
    body, operation = NothingBody, drop_arc


class Passes(JointStep):
    body, operation, status = PassBody, record_pass, 201


class TakeBack(JointStep):
    body, operation = TakeBackBody, take_back_pass
