"""The form of one measuring: how it is measured, and the sheet that its kind asks for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from inspections import setup as setups
from inspections.forms.keyed import KeyedForm, words_field
from inspections.forms.readings import how, paper, units
from inspections.forms.readings.kinds import sheet_class_of
from inspections.forms.readings.sheet import digest_of
from inspections.forms.readings.wrong import Wrong
from inspections.measuring import Measuring
from inspections.models import Gauge
from shopqc.refusals import Reason, Refused

MOST_POINT_FIELDS = 60


class ReadingForm(KeyedForm):
    """One measuring under the shop's rules ``in_use``.

    ``equipment``: what is on file and in service. ``points``: how many points of a face are typed one by one;
    with 0 they are pasted. ``way``: the other way to measure it, where its sheet has one. ``page``: what
    the reading before was copied from, if it was.
    """

    seen_position = forms.IntegerField(min_value=0, max_value=2**31 - 1, widget=forms.HiddenInput)
    visit = forms.IntegerField(min_value=0, max_value=2**31 - 1, widget=forms.HiddenInput)
    # Where the figures come from if no hand typed them, and whether a gauge was only pretended.
    source = forms.ChoiceField(
        choices=[("", ""), *setups.SOURCES.items()], required=False, widget=forms.HiddenInput
    )
    simulated = forms.BooleanField(required=False, widget=forms.HiddenInput)
    # The digest of the figures as they were brought: what was changed by hand does not come from there.
    brought = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)

    def __init__(
        self,
        measuring: Measuring,
        equipment: Sequence[Gauge] = (),
        *,
        points: int = 0,
        way: str = "",
        in_use: frozenset[str] = frozenset(),
        page: Mapping[str, str] | None = None,
        **kwargs: Any,
    ) -> None:
        self.page = dict(page or {})
        kwargs["initial"] = paper.initial_of(self.page) | (kwargs.get("initial") or {})
        super().__init__(**kwargs)
        self.measuring, self.in_use = measuring, in_use
        self.points, self.way = min(points, MOST_POINT_FIELDS), way
        self.sheet = sheet_class_of(measuring)(measuring, points=self.points, way=way)
        self.sheet.form = self
        if measuring.replaces:
            self.fields["reason"] = words_field(_("Why is the reading before replaced?"), rows=2)
        if measuring.needs_gauge:
            self.fields.update(how.fields_of(self.sheet, equipment, in_use))
            if self.sheet.typed_in_lengths:
                self.fields["unit"] = forms.ChoiceField(
                    label=_("Typed in"),
                    required=False,
                    choices=[("in", _("in")), ("mm", _("mm"))],
                    initial=measuring.unit,
                )
        raw_fields = self.sheet.fields()
        self.fields.update(raw_fields)
        self.raw_fields = list(raw_fields)
        self.paper_fields: list[str] = []
        if not measuring.replaces:
            from_paper = paper.fields_of(self.page)
            self.fields.update(from_paper)
            self.paper_fields = list(from_paper)
        self._raws: dict[str, dict[str, Any]] = {}
        self._focus()

    # --- for the page ------------------------------------------------------------------------------
    def _focus(self) -> None:
        """Where typing goes: to the gauge while none is chosen, then to the figure."""
        if self.sheet.sends_itself:
            return
        chosen = "gauge" not in self.fields or self["gauge"].value()
        self.fields[self.raw_fields[0] if chosen else "gauge"].widget.attrs["autofocus"] = True

    def focus_quietly(self) -> None:
        """Let typing go to the same field without moving the page: a verdict stands above."""
        for field in self.fields.values():
            if field.widget.attrs.pop("autofocus", False):
                field.widget.attrs["data-focus-quietly"] = True

    def focus_nowhere(self) -> None:
        """Let no field take the focus: a question comes first."""
        for field in self.fields.values():
            field.widget.attrs.pop("autofocus", None)

    @property
    def asks_temperature(self) -> bool:
        """Whether the shop demands to know how warm the part was."""
        return bool(how.wrong_with({}, self.sheet, self.in_use))

    @property
    def how(self) -> str:
        """How it is measured, in a line, as far as that is chosen."""
        values = {
            name: self[name].value()
            for name in ("gauge", *how.REMEMBERED, "temperature")
            if name in self.fields
        }
        return how.words_of(values, self.fields)

    @property
    def how_is_open(self) -> bool:
        """Whether with what it is measured has still to be said."""
        needed = [name for name in ("gauge", "bar", "master") if name in self.fields]
        return self.held_is_open or any(self[name].errors or not self[name].value() for name in needed)

    @property
    def held_is_open(self) -> bool:
        """Whether how warm it is has still to be said, or something of how it is held is wrong."""
        names = [name for name in ("temperature", *how.REMEMBERED) if name in self.fields]
        warm = self["temperature"].value() or self["settled"].value()
        return (self.asks_temperature and not warm) or any(self[name].errors for name in names)

    @property
    def unit_shown(self) -> str:
        """The unit beside a figure, unless it is chosen."""
        return "" if "unit" in self.fields else self.measuring.unit

    # --- what was typed ----------------------------------------------------------------------------
    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        if "gauge" in self.fields:
            for field, message in how.wrong_with(data, self.sheet, self.in_use).items():
                if field not in self.errors:
                    self.add_error(field, message)
        if self.paper_fields:
            for field, message in paper.wrong_with(data, self.page).items():
                if field not in self.errors:
                    self.add_error(field, message)
        self._take_units(data)
        if not any(name in self.errors for name in (*self.raw_fields, "unit")):
            try:
                self._raws = self.sheet.read(data)
            except Wrong as wrong:
                self.add_error(wrong.field, wrong.message)
        return data

    def _take_units(self, data: dict[str, Any]) -> None:
        """Units that a gauge sent with its figures: they are taken if they fit, else asked about."""
        for field, message in units.taken(data, self).items():
            if field not in self.errors:
                self.add_error(field, message)

    def entries(self) -> list[dict[str, Any]]:
        """The readings as `record_readings` takes them, one for each figure that can be worked out.

        Also while something else of the form is missing or wrong: what can be read of the raw reading is
        there after ``is_valid()``, and nothing if it cannot be read.
        """
        shared = self._shared()
        made = []
        for characteristic in self.measuring.characteristics:
            if characteristic.code not in self._raws:
                continue
            entry = {"characteristic": characteristic.code, "raw": self._raws[characteristic.code], **shared}
            if not characteristic.needs_gauge:
                entry = {k: v for k, v in entry.items() if k not in {"gauge", "temperature", "setup"}}
            if before := self.measuring.replaces.get(characteristic.pk):
                entry |= {"replaces": str(before.pk), "reason": self.cleaned_data.get("reason", "")}
            made.append(entry)
        return made

    def _shared(self) -> dict[str, Any]:
        data = self.cleaned_data
        shared: dict[str, Any] = {"seen_position": data.get("seen_position"), "visit": data.get("visit")}
        if data.get("gauge"):
            shared["gauge"] = data["gauge"]
        if data.get("temperature") and data.get("temperature_unit"):
            shared["temperature"] = {"value": data["temperature"], "unit": data["temperature_unit"]}
        setup = how.setup_of(data)
        if data.get("source"):
            as_brought = data.get("brought") == digest_of(self._raws)
            setup["source"] = data["source"] if as_brought else "typed"
        if data.get("simulated"):
            setup["simulated"] = True
        if setup:
            shared["setup"] = setup
        return shared

    # --- copied from paper ---------------------------------------------------------------------------
    @property
    def from_paper(self) -> bool:
        """Whether it is said to be copied from paper."""
        return bool(self.paper_fields) and paper.is_used(self.cleaned_data, self.page)

    def page_said(self) -> dict[str, str]:
        """The page it is copied from, as `record_readings` takes it; its photograph was filed before."""
        return paper.said(self.cleaned_data, self.page["paper"])

    @property
    def paper_is_open(self) -> bool:
        """Whether the part for what is copied from paper has something in it."""
        used = self.is_bound and any(self[name].value() for name in self.paper_fields)
        return used or bool(self.page) or any(self[name].errors for name in self.paper_fields)

    # --- what was refused --------------------------------------------------------------------------
    def take(self, refused: Refused) -> None:
        """Put the reasons beside their fields; what holds for each figure of a measuring is said once."""
        super().take(Refused(*_once(refused.reasons)) if len(refused.reasons) > 1 else refused)

    def _place_of(self, reason: Reason) -> str | None:
        """``readings/2/setup/bar`` is said beside the bar, ``readings/0/raw`` beside the first figure."""
        parts = (reason.field or "").removeprefix("/").split("/")
        if parts[0] != "readings" or len(parts) < 3:
            return super()._place_of(reason)
        name = parts[3] if parts[2] == "setup" and len(parts) > 3 else parts[2]
        name = self.raw_fields[0] if name == "raw" else name
        return name if name in self.fields else None


def _once(reasons: Iterable[Reason]) -> list[Reason]:
    kept: dict[tuple[str, str], Reason] = {}
    for reason in reasons:
        place = (reason.field or "").split("/")
        kept.setdefault((reason.code + reason.sentence, "/".join(place[3:])), reason)
    return list(kept.values())


def form_for(
    measuring: Measuring,
    equipment: Sequence[Gauge] = (),
    *,
    in_use: frozenset[str] = frozenset(),
    **kwargs: Any,
) -> ReadingForm:
    """The form of a measuring; ``data`` and ``initial`` as every form takes them."""
    return ReadingForm(measuring, equipment, in_use=in_use, **kwargs)
