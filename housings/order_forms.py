"""The order form: a head and one or more lines, each made from the description of a build spec.

A form says by itself only what it can know (a date that is none, a number that is none); what fits with what
is said by the operation, and put beside the fields. Where the form stops before the operation, the same pure
rules are asked here, so that every reason comes at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.engineering.fit_catalogue import DEMO
from housings.engineering.fit_rules import reasons_against
from housings.engineering.spec import SpecErrors, spec_from
from housings.engineering.spec_fields import FIELDS, FieldKind, SpecField
from shopqc.forms import KeyedForm
from shopqc.models import Customer
from shopqc.refusals import Reason

MOST_LINES = 20
YES, NO = "yes", "no"


class OrderHead(KeyedForm):
    """For whom, under which name of theirs, by when."""

    customer = forms.ChoiceField(label=gettext_lazy("Customer"))
    reference = forms.CharField(
        label=gettext_lazy("Their reference"),
        help_text=gettext_lazy("What the customer calls this order; each reference is one order."),
        max_length=60,
    )
    due_on = forms.DateField(
        label=gettext_lazy("Due"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    note = forms.CharField(
        label=gettext_lazy("Note"), required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        customers = [(c.code, f"{c.name} ({c.code})") for c in Customer.objects.order_by("name")]
        field = self.fields["customer"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = customers if len(customers) == 1 else [("", _("Choose")), *customers]


class LineForm(forms.Form):
    """How many, and the build spec. Nothing is required here, so that every reason comes at once."""

    quantity = forms.IntegerField(
        label=gettext_lazy("How many"),
        initial=1,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for description in FIELDS.values():
            self.fields[description.name] = _field(description)

    @property
    def rows(self) -> list[tuple[forms.BoundField, str]]:
        """Each field of the spec with its unit, as the template shows them."""
        return [(self[name], description.unit) for name, description in FIELDS.items()]

    @property
    def inputs(self) -> dict[str, Any]:
        """The line as the operation takes it; what was left empty is left out."""
        return {"quantity": self.cleaned_data["quantity"], "spec": self.spec}

    @property
    def spec(self) -> dict[str, Any]:
        """The build spec as it was typed, as far as it can be read."""
        read = {name: self.cleaned_data.get(name) for name in FIELDS}
        return {
            name: value == YES if FIELDS[name].kind is FieldKind.YES_NO else value
            for name, value in read.items()
            if value
        }

    def say_what_does_not_fit(self) -> None:
        """Say beside its field what the operation would refuse, where nothing is said yet."""
        try:
            problems = reasons_against(spec_from(self.spec))
        except SpecErrors as error:
            problems = error.problems
        unsaid = self.fields.keys() - self.errors.keys()
        for problem in problems:
            if problem.field in unsaid:
                self.add_error(problem.field, problem.sentence)


def _field(description: SpecField) -> forms.Field:
    label = _(description.label)
    hint = _hint(description)
    match description.kind:
        case FieldKind.YES_NO:
            chosen = None if description.default is None else YES if description.default else NO
            return forms.ChoiceField(
                label=label,
                required=False,
                initial=chosen,
                choices=[(YES, _("yes")), (NO, _("no"))],
                widget=forms.RadioSelect,
            )
        case FieldKind.CHOICE:
            choices = [("", _("Choose")), *((choice, _(choice)) for choice in description.choices)]
            return forms.ChoiceField(
                label=label, required=False, initial=description.default, choices=choices
            )
        case FieldKind.MATERIAL:
            widget = forms.TextInput(attrs={"autocomplete": "off"})
        case _:
            widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
    return forms.CharField(label=label, required=False, max_length=60, help_text=hint, widget=widget)


def _hint(description: SpecField) -> str:
    """What the shop has, so that nobody has to guess."""
    known: Mapping[str, Iterable[object]] = {
        "tube_od": [tube.od for tube in DEMO.tubes],
        "tube_wall": sorted({wall for tube in DEMO.tubes for wall in tube.walls}),
        "tube_grade": DEMO.tube_grades,
        "tube_condition": DEMO.tube_conditions,
        "plate_grade": sorted({grade for tube in DEMO.tubes for grade in tube.plate_grades}),
        "armor_thickness": DEMO.armor_thicknesses,
        "snout_size": [snout.size for snout in DEMO.snouts],
        "snout_grade": DEMO.snout_grades,
    }
    words = _(" or ").join(_(str(value)) for value in known.get(description.name, ()))
    if description.required or words:
        return words
    default = description.default
    return _("%(value)s if left empty") % {"value": default} if default is not None else _("may stay empty")


@dataclass
class OrderPaper:
    """The whole form: its head and its lines."""

    head: OrderHead
    lines: list[LineForm]

    @classmethod
    def blank(cls) -> OrderPaper:
        return cls(OrderHead(), [_line(None, 0)])

    @classmethod
    def sent(cls, data: QueryDict) -> OrderPaper:
        """The form as it was sent; a count of lines that makes no sense counts as one."""
        count = data.get("line_count", "1")
        number = int(count) if count.isascii() and count.isdigit() and len(count) < 4 else 1
        return cls(OrderHead(data), [_line(data, index) for index in range(min(max(number, 1), MOST_LINES))])

    def with_another_line(self) -> OrderPaper:
        """One line more; the new one begins as a copy of the last, with one housing."""
        typed = [self._typed(index) for index in range(len(self.lines))]
        if len(typed) < MOST_LINES:
            typed.append({**typed[-1], "quantity": "1"})
        return self._again(typed)

    def without_line(self, which: str) -> OrderPaper:
        """One line less; the last one stays."""
        typed = [self._typed(index) for index in range(len(self.lines)) if str(index) != which]
        return self._again(typed or [self._typed(0)])

    def _typed(self, index: int) -> dict[str, Any]:
        line = self.lines[index]
        return {name: line[name].value() for name in line.fields}

    def _again(self, lines: list[dict[str, Any]]) -> OrderPaper:
        # Not bound: adding a line is not yet the moment to say what is missing.
        head = OrderHead(initial={name: self.head[name].value() for name in self.head.fields})
        return OrderPaper(head, [_line(None, index, typed) for index, typed in enumerate(lines)])

    def is_valid(self) -> bool:
        """Whether head and lines can be read; if not, what does not fit is said at once as well."""
        if all([self.head.is_valid(), *(line.is_valid() for line in self.lines)]):
            return True
        for line in self.lines:
            line.say_what_does_not_fit()
        return False

    @property
    def inputs(self) -> dict[str, Any]:
        """The order as the operation takes it."""
        head = self.head.cleaned_data
        return {
            "customer": head["customer"],
            "reference": head["reference"],
            "due_on": head["due_on"].isoformat() if head["due_on"] else None,
            "note": head["note"],
            "lines": [line.inputs for line in self.lines],
        }

    def say(self, reasons: Iterable[Reason]) -> None:
        """Put each reason beside its field: ``/lines/0/spec/tube_od``, ``/reference``."""
        for reason in reasons:
            match (reason.field or "").strip("/").split("/"):
                case ["lines", index, *rest] if index.isdigit() and int(index) < len(self.lines):
                    line = self.lines[int(index)]
                    name = rest[-1] if rest else None
                    line.add_error(name if name in line.fields else None, reason.sentence)
                case _:
                    self.head.say([reason])

    @property
    def problems(self) -> list[tuple[str, str, str]]:
        """Every reason with the field it leads to: (id of the field, its name, the reason)."""
        found = []
        for number, form in enumerate([self.head, *self.lines]):
            where = _("Line %(number)s, ") % {"number": number} if number else ""
            for name, errors in form.errors.items():
                bound = form[name] if name in form.fields else None
                for error in errors:
                    label = f"{where}{bound.label}" if bound else where.strip(" ,")
                    found.append((bound.id_for_label if bound else "", label, str(error)))
        return found


def _line(data: QueryDict | None, index: int, initial: Mapping[str, Any] | None = None) -> LineForm:
    return LineForm(data, prefix=f"line-{index}", initial=dict(initial) if initial else None)
