"""Entering a measuring: one form, and a sheet for each kind of raw reading."""

from inspections.forms.readings.clock import clock_place
from inspections.forms.readings.form import ReadingForm, form_for
from inspections.forms.readings.recorded import initial_of, way_of

__all__ = ["ReadingForm", "clock_place", "form_for", "initial_of", "way_of"]
