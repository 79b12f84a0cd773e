"""Forms in which a plan of measuring is written: its head, and one characteristic with all it asks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.engineering.spec_fields import FIELDS, FieldKind
from housings.engineering.stations import STATIONS
from inspections import wording
from inspections.forms.keyed import KeyedForm
from inspections.forms.numbers import parse_rows, typed_number
from inspections.plan_changes import WORKED_OUT
from inspections.plan_data import from_data, to_data
from inspections.planning.bolt_circle import hole_centers
from inspections.planning.terms import Kind, Part, Severity
from shopqc.whole_numbers import whole

QUANTITIES = (
    "distance",
    "parallelism",
    "pitch",
    "camber_left",
    "toe_left",
    "camber_right",
    "toe_right",
)
UNITS = ("in", "mm", "°", "psi", "turns")
SPARE_DUES, SPARE_CONSTANTS, MOST_ROWS = 2, 1, 40
MOST_HOLES = 60
NUMBER_FIELDS = [
    *((n, f.label) for n, f in FIELDS.items() if f.kind in {FieldKind.LENGTH, FieldKind.ANGLE}),
    *WORKED_OUT.items(),
]
YES_NO_FIELDS = [(n, f.label) for n, f in FIELDS.items() if f.kind is FieldKind.YES_NO]


def stations_choice(*, empty: str) -> list[tuple[str, str]]:
    """The stations before the sign-off, after a choice of none."""
    return [("", empty), *((c, _(s.name)) for c, s in STATIONS.items() if not s.after_sign_off)]


class DraftForm(KeyedForm):
    """The head of the sheet: its name, and why it changes."""

    version = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
    name = forms.CharField(
        label=gettext_lazy("Name of the plan"),
        help_text=gettext_lazy("Orders are measured by the plan “standard”."),
        max_length=40,
    )
    note = forms.CharField(
        label=gettext_lazy("Why this revision"),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class ExactField(forms.CharField):
    """A figure of the plan as exact decimal text; empty if it is free."""

    def __init__(self, label: Any, **kwargs: Any) -> None:
        attrs = {"inputmode": "text", "autocomplete": "off", "class": "input-number"}
        super().__init__(
            label=label,
            required=False,
            max_length=30,
            widget=forms.TextInput(attrs=attrs),
            **kwargs,
        )

    def clean(self, value: Any) -> str:
        text = str(super().clean(value)).strip()
        if not text:
            return ""
        number = typed_number(text)
        if number.unit:
            raise ValidationError(_("Write the number without its unit."))
        return str(number)


def _choice(label: Any, choices: Any, **kwargs: Any) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=choices, required=False, **kwargs)


class CharacteristicForm(KeyedForm):
    """One characteristic of a plan: what, how it is judged, where it is due, what moves and hides it.

    ``was``: the digest of the characteristic when the page was made, so that two people who change two
    characteristics do not stand in each other's way.
    """

    version = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
    was = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)
    due_count = forms.IntegerField(widget=forms.HiddenInput, min_value=0, max_value=MOST_ROWS)
    constant_count = forms.IntegerField(widget=forms.HiddenInput, min_value=0, max_value=MOST_ROWS)
    name = forms.CharField(label=gettext_lazy("What is measured"), max_length=120)
    code = forms.RegexField(
        label=gettext_lazy("Code"),
        regex=r"^[a-z][a-z0-9_]{0,59}$",
        help_text=gettext_lazy("Small letters, digits and _; other programs name it so."),
        error_messages={"invalid": gettext_lazy("Small letters, digits and _, a letter first.")},
        widget=forms.TextInput(attrs={"class": "input-code", "autocapitalize": "off"}),
    )
    unit = forms.CharField(label=gettext_lazy("Unit"), required=False, max_length=20)
    is_datum = forms.BooleanField(label=gettext_lazy("It makes the axis A-B"), required=False)
    limits_from_nominal = forms.BooleanField(
        label=gettext_lazy("The limits are counted from the nominal, such as -0.005 and 0.005"),
        required=False,
    )
    points_at_least = forms.IntegerField(
        label=gettext_lazy("Points or readings of one measuring, at least"),
        min_value=1,
        max_value=2000,
        initial=1,
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        required=False,
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    centers_list = forms.CharField(
        label=gettext_lazy("Centers of the holes, x and y, one hole a line"),
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def __init__(self, *args: Any, entry: Mapping[str, Any] | None = None, **kwargs: Any) -> None:
        if entry is not None:
            kwargs["initial"] = {**_initial(entry), **kwargs.get("initial", {})}
        super().__init__(*args, **kwargs)
        none = _("none")
        self.fields["kind"] = forms.ChoiceField(
            label=_("Kind"), choices=[(str(k), wording.KINDS.get(str(k), str(k))) for k in Kind]
        )
        self.fields["part"] = forms.ChoiceField(
            label=_("Part"), choices=[(str(p), wording.PARTS.get(str(p), str(p))) for p in Part]
        )
        self.fields["severity"] = forms.ChoiceField(
            label=_("If it fails"),
            choices=[
                (str(Severity.MINOR), _("minor: the QC lead decides")),
                (str(Severity.MAJOR), _("major: an engineer and the customer decide")),
            ],
        )
        self.fields["measured_from"] = _choice(_("Measured from"), [("", none), ("A-B", "A-B")])
        self.fields["hidden_by"] = _choice(_("Hidden for good by"), stations_choice(empty=_("nothing")))
        self.fields["movable_by"] = forms.MultipleChoiceField(
            label=_("Its work can move it"),
            choices=stations_choice(empty="")[1:],
            required=False,
            widget=forms.CheckboxSelectMultiple,
        )
        self.fields["only_if"] = _choice(_("Asked only with"), [("", _("every housing")), *YES_NO_FIELDS])
        self.fields["quantity"] = _choice(
            _("Which figure of its measuring"),
            [("", _("the only one")), *((q, q.replace("_", " ")) for q in QUANTITIES)],
        )
        self.fields["taken_with"] = forms.CharField(
            label=_("Measured together with"),
            help_text=_("Characteristics with the same word here are entered on one page."),
            required=False,
            max_length=30,
        )
        self._figures()
        self.dues = self._count("due_count")
        self.constants = self._count("constant_count")
        for row in range(self.dues):
            self._due_row(row)
        for row in range(self.constants):
            self._constant_row(row)

    def _count(self, name: str) -> int:
        return min(whole(str(self[name].value() or "0")) or 0, MOST_ROWS)

    def _figures(self) -> None:
        self.fields["nominal_plus"] = ExactField(_("Nominal"))
        for number in (1, 2):
            self.fields[f"nominal_field_{number}"] = _choice(
                _("and from the build spec"), [("", "—"), *NUMBER_FIELDS]
            )
            self.fields[f"nominal_times_{number}"] = ExactField(_("times"))
        self.fields["center_x"], self.fields["center_y"] = ExactField("x"), ExactField("y")
        self.fields["circle_count"] = forms.IntegerField(
            label=_("Holes on a bolt circle"), required=False, min_value=1, max_value=MOST_HOLES
        )
        self.fields["circle_diameter"] = ExactField(_("Its diameter"))
        self.fields["circle_first"] = ExactField(_("Angle of the first hole, from x towards y"))

    def _due_row(self, row: int) -> None:
        prefix = f"due_{row}"
        self.fields[f"{prefix}_station"] = _choice(_("Due at"), stations_choice(empty="—"))
        self.fields[f"{prefix}_lower"] = ExactField(_("From"))
        self.fields[f"{prefix}_upper"] = ExactField(_("To"))
        self.fields[f"{prefix}_with"] = _choice(
            _("Only on routes with"), stations_choice(empty=_("any route"))
        )
        self.fields[f"{prefix}_without"] = _choice(
            _("Only on routes without"), stations_choice(empty=_("any route"))
        )

    def _constant_row(self, row: int) -> None:
        prefix = f"constant_{row}"
        self.fields[f"{prefix}_name"] = forms.RegexField(
            label=_("Constant"),
            regex=r"^[a-z][a-z0-9_]{0,39}$",
            required=False,
            error_messages={"invalid": _("Small letters, digits and _, a letter first.")},
        )
        self.fields[f"{prefix}_plus"] = ExactField(_("Figure"))
        self.fields[f"{prefix}_field"] = _choice(_("and from the build spec"), [("", "—"), *NUMBER_FIELDS])
        self.fields[f"{prefix}_times"] = ExactField(_("times"))

    @property
    def due_rows(self) -> list[list[Any]]:
        """The bound fields of each row of limits."""
        names = ("station", "lower", "upper", "with", "without")
        return [[self[f"due_{row}_{name}"] for name in names] for row in range(self.dues)]

    @property
    def constant_rows(self) -> list[list[Any]]:
        """The bound fields of each row of constants."""
        names = ("name", "plus", "field", "times")
        return [[self[f"constant_{row}_{name}"] for name in names] for row in range(self.constants)]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        for row in range(self.dues):
            if not data.get(f"due_{row}_station") and any(
                data.get(f"due_{row}_{side}") for side in ("lower", "upper")
            ):
                self.add_error(f"due_{row}_station", _("Say at which station this limit holds."))
        for row in range(self.constants):
            named, figure = data.get(f"constant_{row}_name"), data.get(f"constant_{row}_plus")
            if not named and (figure or data.get(f"constant_{row}_field")):
                self.add_error(f"constant_{row}_name", _("Say how this constant is called."))
            if named and not figure and not data.get(f"constant_{row}_field"):
                self.add_error(f"constant_{row}_plus", _("Say its figure."))
        if bool(data.get("center_x")) != bool(data.get("center_y")):
            self.add_error("center_y", _("A center has x and y."))
        self._clean_centers(data)
        return data

    def _clean_centers(self, data: dict[str, Any]) -> None:
        """The holes of a pattern: as listed, or worked out of a bolt circle."""
        circle = [data.get(name) for name in ("circle_count", "circle_diameter", "circle_first")]
        try:
            if any(part not in (None, "") for part in circle):
                if not all(part not in (None, "") for part in circle):
                    self.add_error("circle_count", _("A bolt circle needs count, diameter and first angle."))
                    return
                data["centers"] = hole_centers(int(circle[0] or 0), str(circle[1]), float(str(circle[2])))
            else:
                listed = parse_rows(data.get("centers_list") or "", ("x", "y"))
                data["centers"] = tuple((str(x), str(y)) for x, y in listed)
        except ValidationError as error:
            self.add_error("centers_list", error)
        except (ValueError, ArithmeticError) as error:
            self.add_error("circle_diameter", str(error))

    def entry(self) -> dict[str, Any]:
        """The characteristic as plain data, as a published plan keeps it."""
        data = self.cleaned_data
        raw: dict[str, Any] = {
            name: data[name]
            for name in (
                "code",
                "name",
                "kind",
                "part",
                "unit",
                "severity",
                "is_datum",
                "limits_from_nominal",
                "points_at_least",
                "quantity",
                "taken_with",
                "note",
            )
        }
        raw |= {
            "due": list(self._dues()),
            "movable_by": tuple(code for code in STATIONS if code in data["movable_by"]),
            "hidden_by": data["hidden_by"] or None,
            "measured_from": data["measured_from"] or None,
            "only_if": data["only_if"] or None,
            "nominal": self._nominal(),
            "center": [data["center_x"], data["center_y"]] if data["center_x"] else None,
            "centers": data["centers"],
            "constants": dict(self._constants()),
        }
        (written,) = to_data(from_data([raw]))
        return _as_json(written)

    def _dues(self) -> Iterator[dict[str, Any]]:
        data = self.cleaned_data
        for row in range(self.dues):
            if station := data[f"due_{row}_station"]:
                yield {
                    "station": station,
                    "lower": data[f"due_{row}_lower"] or None,
                    "upper": data[f"due_{row}_upper"] or None,
                    "with_station": data[f"due_{row}_with"] or None,
                    "without_station": data[f"due_{row}_without"] or None,
                }

    def _nominal(self) -> dict[str, Any] | None:
        data = self.cleaned_data
        terms = [
            {"field": data[f"nominal_field_{n}"], "times": data[f"nominal_times_{n}"] or "1"}
            for n in (1, 2)
            if data[f"nominal_field_{n}"]
        ]
        if not terms and not data["nominal_plus"]:
            return None
        return {"plus": data["nominal_plus"] or "0", "terms": terms}

    def _constants(self) -> Iterator[tuple[str, Any]]:
        data = self.cleaned_data
        for row in range(self.constants):
            if named := data[f"constant_{row}_name"]:
                plus, field = data[f"constant_{row}_plus"], data[f"constant_{row}_field"]
                term = {"field": field, "times": data[f"constant_{row}_times"] or "1"}
                yield named, {"plus": plus or "0", "terms": [term]} if field else plus


def _as_json(value: Any) -> Any:
    """Tuples as the lists they become in a JSON column, so that what is kept compares equal."""
    match value:
        case dict():
            return {name: _as_json(inner) for name, inner in value.items()}
        case list() | tuple():
            return [_as_json(inner) for inner in value]
    return str(value) if isinstance(value, str) else value


def _initial(entry: Mapping[str, Any]) -> dict[str, Any]:
    """What the form begins with for a characteristic as data; an empty one for a new characteristic."""
    simple = {
        name: value
        for name, value in entry.items()
        if name not in {"due", "nominal", "center", "centers", "constants"}
    }
    dues: Sequence[Mapping[str, Any]] = entry.get("due", ())
    constants: Mapping[str, Any] = entry.get("constants", {})
    initial = {
        "points_at_least": 1,
        "unit": "in",
        "severity": str(Severity.MAJOR),
        **simple,
        "due_count": len(dues) + SPARE_DUES,
        "constant_count": len(constants) + SPARE_CONSTANTS,
        "centers_list": "\n".join(f"{x} {y}" for x, y in entry.get("centers", ())),
    }
    initial["center_x"], initial["center_y"] = entry.get("center") or ("", "")
    initial |= _nominal_initial("nominal", entry.get("nominal"), numbered=True)
    for row, due in enumerate(dues):
        initial |= {
            f"due_{row}_station": due["station"],
            f"due_{row}_lower": due.get("lower"),
            f"due_{row}_upper": due.get("upper"),
            f"due_{row}_with": due.get("with_station"),
            f"due_{row}_without": due.get("without_station"),
        }
    for row, (name, value) in enumerate(constants.items()):
        initial[f"constant_{row}_name"] = name
        if isinstance(value, Mapping):
            initial |= _nominal_initial(f"constant_{row}", value, numbered=False)
        else:
            initial[f"constant_{row}_plus"] = value
    return initial


def _nominal_initial(prefix: str, nominal: Mapping[str, Any] | None, *, numbered: bool) -> dict[str, Any]:
    if not nominal:
        return {}
    terms = nominal.get("terms", ())
    plus = nominal.get("plus", "0")
    found = {f"{prefix}_plus": "" if plus == "0" and terms else plus}
    for number, term in enumerate(terms, start=1):
        end = f"_{number}" if numbered else ""
        times = term.get("times", "1")
        found |= {
            f"{prefix}_field{end}": term["field"],
            f"{prefix}_times{end}": "" if times == "1" else times,
        }
    return found
