"""The forms of the first hour: as few fields as each question can do with."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.engineering.ready_specs import READY
from housings.engineering.stations import STATIONS
from housings.models import RouteRevision
from shopqc.forms import KeyedForm
from shopqc.models import Customer, Person, Shop
from shopqc.page_forms.people import PersonForm
from shopqc.page_forms.shop import ShopForm
from shopqc.people import WORKER


class FirstShopForm(KeyedForm):
    """Name and address."""

    name = ShopForm.base_fields["name"]
    address = ShopForm.base_fields["address"]


class FirstPaperForm(KeyedForm):
    """Paper, and the units that fields begin with."""

    paper = ShopForm.base_fields["paper"]
    length_unit = forms.ChoiceField(
        label=gettext_lazy("Lengths are typed in"),
        widget=forms.RadioSelect,
        choices=[("in", gettext_lazy("inches")), ("mm", gettext_lazy("millimeters"))],
    )
    temperature_unit = forms.ChoiceField(
        label=gettext_lazy("Temperatures are typed in"),
        widget=forms.RadioSelect,
        choices=[("F", "°F"), ("C", "°C")],
    )


class FirstPersonForm(PersonForm):
    """Somebody new: name, PIN and roles; badge and stamp are proposed."""

    @classmethod
    def proposing(cls) -> FirstPersonForm:
        """The form with the next free stamp number, which is the badge as well."""
        taken = set(Person.objects.values_list("stamp", flat=True))
        taken |= set(Person.objects.values_list("badge", flat=True))
        number = next(str(n) for n in range(1, len(taken) + 2) if str(n) not in taken)
        return cls(initial={"stamp": number, "badge": number, "roles": [WORKER]})

    @property
    def asked(self) -> list[forms.BoundField]:
        """What is asked of everybody."""
        return [self["name"], self["pin"], self["roles"]]

    @property
    def proposed(self) -> list[forms.BoundField]:
        """What is proposed, or only for the desk."""
        return [self["badge"], self["stamp"], self["password"], self["credential"]]


class FirstStationsForm(KeyedForm):
    """The optional stations; the others every housing goes through."""

    stations = forms.MultipleChoiceField(
        label=gettext_lazy("Besides the stations that every housing needs"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        choices=[(code, gettext_lazy(one.name)) for code, one in STATIONS.items() if one.optional],
    )

    @classmethod
    def of(cls, route: RouteRevision | None) -> FirstStationsForm:
        """The form as the route stands."""
        chosen = [entry.station for entry in route.stations_for(links=True)] if route else []
        return cls(initial={"stations": [code for code in chosen if STATIONS[code].optional]})

    @property
    def route(self) -> list[str]:
        """The route: what is needed and what was chosen, in the order of a long route."""
        chosen = set(self.cleaned_data["stations"])
        return [code for code, one in STATIONS.items() if not one.optional or code in chosen]


class FirstCustomerForm(KeyedForm):
    """For whom the first housing is built."""

    name = forms.CharField(label=gettext_lazy("For whom is it?"), max_length=120)


class FirstOrderForm(KeyedForm):
    """A first order out of a ready spec."""

    customer = forms.ChoiceField(label=gettext_lazy("Customer"))
    reference = forms.CharField(label=gettext_lazy("Their reference"), max_length=60, initial="1")
    ready = forms.ChoiceField(label=gettext_lazy("Built as"), widget=forms.RadioSelect)
    width = forms.CharField(
        label=gettext_lazy("Housing width"),
        required=False,
        max_length=20,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
        help_text=gettext_lazy("Empty: the width of the ready spec."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        customers = [(one.code, one.name) for one in Customer.objects.order_by("name")]
        for name, choices in (
            ("customer", customers),
            ("ready", [(one.code, f"{_(one.name)}. {_(one.what)}") for one in READY.values()]),
        ):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = choices
        self.fields["ready"].initial = next(iter(READY))

    @property
    def inputs(self) -> dict[str, Any]:
        """The order as the operation takes it."""
        data = self.cleaned_data
        spec = dict(READY[data["ready"]].spec)
        if data["width"]:
            spec["width"] = data["width"]
        return {
            "customer": data["customer"],
            "reference": data["reference"],
            "lines": [{"quantity": 1, "spec": spec}],
        }


def changes_of(form: KeyedForm, shop: Shop) -> dict[str, str]:
    """What a form about the shop says other than the shop has it."""
    said = {name: value for name, value in form.cleaned_data.items() if name != "sent_key"}
    return {name: value for name, value in said.items() if value != getattr(shop, name)}
