"""What may be sent about joints and their weld passes."""

from __future__ import annotations

from rest_framework.serializers import ListField

from housings.api.bodies import LARGEST
from housings.operations.temperatures import LONGEST_THERMOMETER, MOST_TEMPERATURES
from housings.weld_rules import MEASURED_AT
from shopqc.api import StrictSerializer, TypedNumber
from shopqc.api_fields import LONG_TEXT, Members, Moment, OneOf, Text, WholeNumber, YesNo

MOST_FIGURES, MOST_PASSES, LONGEST_STAMP, LONGEST_HEAT = 20, 1000, 12, 40


class TemperatureBody(StrictSerializer):
    """A reading; with ``crayon``, whether the crayon of that temperature melted ("above") or not."""

    value = TypedNumber()
    unit = OneOf(("F", "C"))
    crayon = OneOf(("", "above", "below"), required=False, allow_null=True)
    place = OneOf(tuple(MEASURED_AT), required=False, allow_null=True)
    thermometer = Text(LONGEST_THERMOMETER, required=False, allow_null=True)
    simulated = YesNo(required=False, allow_null=True)
    done_at = Moment(required=False, allow_null=True)


class FitUpBody(StrictSerializer):
    """``figures``: gap, land, mismatch, bevel, length_unit, clean, purged, preheated."""

    figures = Members(MOST_FIGURES)
    tacked_by = Text(LONGEST_STAMP, required=False, allow_null=True)
    note = Text(LONG_TEXT, required=False, allow_null=True)
    done_at = Moment(required=False, allow_null=True)


class SettingsBody(StrictSerializer):
    """``figures``: volts, amps, travel, travel_unit, gas_flow, purge_flow, flow_unit, position."""

    figures = Members(MOST_FIGURES)
    filler = Text(LONGEST_HEAT, required=False, allow_null=True)
    gas = Text(LONGEST_HEAT, required=False, allow_null=True)


class TemperaturesBody(StrictSerializer):
    """``sure``: the answer to the question whether the other unit was meant."""

    temperatures = TemperatureBody(many=True, max_length=MOST_TEMPERATURES)  # type: ignore[call-arg]
    sure = YesNo(required=False, allow_null=True)


class BeginBody(StrictSerializer):
    """``number``: the pass that the sender means; ``temperatures``: read just before."""

    number = WholeNumber(1, MOST_PASSES)
    # A list of its own: with ``many`` each member could be null as well.
    temperatures = ListField(
        child=TemperatureBody(), max_length=MOST_TEMPERATURES, required=False, allow_null=True
    )
    repair = WholeNumber(0, MOST_PASSES, required=False, allow_null=True)
    welder = Text(LONGEST_STAMP, required=False, allow_null=True)
    done_at = Moment(required=False, allow_null=True)
    seen_position = WholeNumber(0, LARGEST, required=False, allow_null=True)
    sure = YesNo(required=False, allow_null=True)


class PassBody(BeginBody):
    """``figures`` as in `SettingsBody`, where they differ from the joint's settings; ``done_at``: when the
    arc ended.
    """

    passes = WholeNumber(1, MOST_PASSES, required=False, allow_null=True)
    figures = Members(MOST_FIGURES, required=False, allow_null=True)
    filler = Text(LONGEST_HEAT, required=False, allow_null=True)
    gas = Text(LONGEST_HEAT, required=False, allow_null=True)
    stop_at = Text(2, required=False, allow_null=True)
    note = Text(LONG_TEXT, required=False, allow_null=True)


class NothingBody(StrictSerializer):
    """An object without members."""


class TakeBackBody(StrictSerializer):
    number = WholeNumber(1, MOST_PASSES)
    why = Text(LONG_TEXT)
