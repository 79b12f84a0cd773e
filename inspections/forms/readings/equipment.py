"""The equipment on file as an entry offers it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from inspections.gauge_rules import measures_of
from inspections.measuring import Measuring
from inspections.metrology.equipment import UNITS, Measures, kind_of
from inspections.models import Gauge
from shopqc.templatetags.shop_look import day

Choices = list[tuple[str, Any]]


def label(gauge: Gauge) -> str:
    """A gauge in the list; that its check is overdue or that it was withdrawn stands there in words."""
    if gauge.withdrawn_at:
        return _("%(gauge)s, withdrawn") % {"gauge": gauge}
    if gauge.calibration_due and gauge.calibration_due < timezone.localdate():
        facts = {"gauge": gauge, "due": day(gauge.calibration_due)}
        return _("%(gauge)s, check overdue since %(due)s") % facts
    return str(gauge)


def gauge_choices(equipment: Sequence[Gauge], measuring: Measuring) -> Choices:
    """What this can be read from; what reads something else stands at the end, under a heading of its own."""
    read = [piece for piece in equipment if kind_of(piece.kind).is_read]
    wanted = measured_by(measuring)
    suited = [piece for piece in read if _measures(piece) in {wanted, Measures.ANYTHING} or wanted is None]
    others = [piece for piece in read if piece not in suited]
    choices: Choices = [(piece.code, label(piece)) for piece in suited]
    if others:
        choices.append((str(_("These read something else")), [(p.code, label(p)) for p in others]))
    return choices


def measured_by(measuring: Measuring) -> Measures | None:
    """What the gauge of this has to read; None: that is not known, and any may be meant."""
    if measuring.is_set or measuring.first.unit != measuring.unit:
        return Measures.LENGTH
    return measures_of(measuring.first)


def _measures(piece: Gauge) -> Measures:
    measures = kind_of(piece.kind).measures
    return measures if measures is Measures.ANYTHING else UNITS.get(piece.unit, measures)


def pieces(equipment: Sequence[Gauge], role: str) -> Choices:
    """Bars, masters or thermometers."""
    return [(piece.code, label(piece)) for piece in equipment if kind_of(piece.kind).role == role]
