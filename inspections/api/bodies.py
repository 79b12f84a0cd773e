"""What may be sent about readings, nonconformances and certificates."""

from __future__ import annotations

from rest_framework.serializers import ListField

from housings.api.bodies import LARGEST, STATION, Why
from inspections import setup
from inspections.metrology.equipment import KINDS
from inspections.models.nonconformances import DECISIONS, DEFECTS
from inspections.operations.readings import MOST_AT_ONCE
from shopqc.api import StrictSerializer, TypedNumber
from shopqc.api_fields import LONG_TEXT, Day, Identifier, Members, Moment, OneOf, Text, WholeNumber, YesNo

__all__ = [
    "CheckBody",
    "DispositionBody",
    "GaugeBody",
    "GaugeChangeBody",
    "NonconformanceBody",
    "ReadingsBody",
    "SignOffBody",
    "Why",
]

CODE, GAUGE, STAMP, MOST_RAW = 60, 20, 12, 12
MOST_STATIONS = 30
MOST_CONSTANTS = 12


class Temperature(StrictSerializer):
    """How warm the part was: ``{"value": "68", "unit": "F"}``."""

    value = TypedNumber()
    unit = OneOf(("F", "C"))


class SetUp(StrictSerializer):
    """How the part was held and what took part, as `inspections.setup` describes it."""

    support = OneOf(tuple(setup.SUPPORTS), required=False)
    section = OneOf(tuple(setup.SECTIONS), required=False)
    source = OneOf(tuple(setup.SOURCES), required=False)  # type: ignore[assignment]  # a field's name, not DRF's
    v_angle = TypedNumber(required=False)
    bar = Text(GAUGE, required=False)
    master = Text(GAUGE, required=False)
    thermometer = Text(GAUGE, required=False)
    air = Temperature(required=False)
    settled = YesNo(required=False)
    simulated = YesNo(required=False)


class ReadingBody(StrictSerializer):
    """One reading, as `inspections.operations.readings.record_readings` describes it."""

    characteristic = Text(CODE)
    raw = Members(MOST_RAW)
    seen_position = WholeNumber(0, LARGEST)
    id = Identifier(required=False, allow_null=True)
    visit = WholeNumber(1, LARGEST, required=False, allow_null=True)
    gauge = Text(GAUGE, required=False, allow_null=True)
    temperature = Temperature(required=False, allow_null=True)
    setup = SetUp(required=False, allow_null=True)
    paper = Text(64, required=False, allow_null=True)
    measured_by = Text(STAMP, required=False, allow_null=True)
    done_at = Moment(required=False, allow_null=True)
    measured = OneOf(("before", "after"), required=False, allow_null=True)
    replaces = Identifier(required=False, allow_null=True)
    reason = Text(LONG_TEXT, required=False, allow_null=True)


class ReadingsBody(StrictSerializer):
    readings = ReadingBody(many=True, max_length=MOST_AT_ONCE)  # type: ignore[call-arg]  # many takes it


class GaugeDescription(StrictSerializer):
    """How a gauge is described; ``constants``: figures of a bar, a master or V-blocks, by name."""

    name = Text(80, required=False, allow_null=True)
    kind = OneOf(tuple(KINDS), required=False, allow_null=True)
    unit = Text(10, required=False, allow_null=True)
    uncertainty = TypedNumber(required=False, allow_null=True)
    lowest = TypedNumber(required=False, allow_null=True)
    highest = TypedNumber(required=False, allow_null=True)
    constants = Members(MOST_CONSTANTS, required=False, allow_null=True)
    place = Text(80, required=False, allow_null=True)
    calibration_due = Day(required=False, allow_null=True)


class GaugeBody(GaugeDescription):
    """What is left out is as usual for its kind."""

    code = Text(GAUGE)


class GaugeChangeBody(StrictSerializer):
    """``seen_position``: the last place in the gauge's record that the sender had loaded."""

    changes = GaugeDescription()
    seen_position = WholeNumber(0, LARGEST, required=False, allow_null=True)


class CheckBody(StrictSerializer):
    """A check, as `inspections.operations.gauges.record_calibration` describes it."""

    done_on = Day()
    done_at = Moment(required=False, allow_null=True)
    due_on = Day(required=False, allow_null=True)
    uncertainty = TypedNumber(required=False, allow_null=True)
    reference = Text(80, required=False, allow_null=True)
    note = Text(LONG_TEXT, required=False, allow_null=True)
    document = Text(64, required=False, allow_null=True)
    found_right = YesNo(required=False, allow_null=True)
    error_offset = TypedNumber(required=False, allow_null=True)
    error_scale = TypedNumber(required=False, allow_null=True)
    constants = Members(MOST_CONSTANTS, required=False, allow_null=True)


class NonconformanceBody(StrictSerializer):
    """``characteristic``: its reading that counts now is meant; ``hold``: the housing stays where it is."""

    what = Text(LONG_TEXT)
    defect = OneOf(tuple(DEFECTS), required=False, allow_null=True)
    characteristic = Text(CODE, required=False, allow_null=True)
    hold = YesNo(required=False, allow_null=True)


class DispositionBody(StrictSerializer):
    """``concession``: SHA-256 of the customer's document, filed by ``POST /api/v1/files``."""

    decision = OneOf(tuple(DECISIONS))
    reason = Text(LONG_TEXT)
    stations = ListField(child=Text(STATION), required=False, allow_null=True, max_length=MOST_STATIONS)
    replaced_by = Identifier(required=False, allow_null=True)
    concession = Text(64, required=False, allow_null=True)


class SignOffBody(StrictSerializer):
    """The password of whoever signs, asked for once more."""

    secret = Text(200, trim_whitespace=False)
