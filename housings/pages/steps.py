"""What can be done to a housing from its page: each step with its operation, its form and its words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.engineering.stations import STATIONS
from housings.forms import (
    BackForm,
    ConformityForm,
    HousingForm,
    ReleaseForm,
    SendForm,
    StationForm,
    WhyForm,
    WorkDoneForm,
)
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
from shopqc.operation import Answer
from shopqc.refusals import Reason


@dataclass(frozen=True)
class Step:
    """One thing that can be done to a housing from its page."""

    name: str
    operation: Callable[..., Answer]
    form: type[HousingForm]
    refused: str | Promise
    done: Callable[[Mapping[str, Any]], str]


@dataclass
class Typed:
    """A form that was sent and refused: shown again as it was."""

    do: str
    form: HousingForm
    reasons: Sequence[Reason]
    status: int

    def form_for(self, do: str, **which: int) -> HousingForm | None:
        """The form of a step; ``which`` tells apart those that a page has several of, such as ``hold=2``."""
        if do != self.do or any(
            str(self.form[name].value()) != str(number) for name, number in which.items()
        ):
            return None
        return self.form


def _name(station: str) -> str:
    return _(STATIONS[station].name)


def _left(answer: Mapping[str, Any]) -> str:
    following = _(" or ").join(_name(station) for station in answer["next"])
    return _("It has left. Next is %(next)s.") % {"next": following} if following else _("It has left.")


def _back(answer: Mapping[str, Any]) -> str:
    if answer["work_done"]:
        return _("It is back. What the work there moves is measured again.")
    return _("It is back.")


STEPS: Mapping[str, Step] = {
    "arrive": Step(
        "arrive",
        arrive,
        StationForm,
        gettext_lazy("It did not arrive."),
        lambda answer: _("Arrived at %(station)s.") % {"station": _name(answer["station"])},
    ),
    "work_done": Step(
        "record_work_done",
        record_work_done,
        WorkDoneForm,
        gettext_lazy("The work was not recorded."),
        lambda answer: _("Recorded: the work is done."),
    ),
    "leave": Step("leave_station", leave_station, StationForm, gettext_lazy("It may not leave yet."), _left),
    "undo_arrival": Step(
        "undo_arrival",
        undo_arrival,
        StationForm,
        gettext_lazy("The arrival stays."),
        lambda answer: _("The arrival at %(station)s is taken back.") % {"station": _name(answer["station"])},
    ),
    "undo_leaving": Step(
        "undo_leaving",
        undo_leaving,
        StationForm,
        gettext_lazy("It stays left."),
        lambda answer: _("It is at %(station)s again.") % {"station": _name(answer["station"])},
    ),
    "send": Step(
        "send_to_supplier",
        send_to_supplier,
        SendForm,
        gettext_lazy("It was not sent."),
        lambda answer: _("Sent to %(supplier)s.") % {"supplier": answer["supplier"]},
    ),
    "back": Step(
        "back_from_supplier",
        back_from_supplier,
        BackForm,
        gettext_lazy("It was not recorded as back."),
        _back,
    ),
    "conformity": Step(
        "file_conformity",
        file_conformity,
        ConformityForm,
        gettext_lazy("The certificate was not filed."),
        lambda answer: _("The supplier's certificate of conformity is filed."),
    ),
    "recall": Step(
        "recall_from_supplier",
        recall_from_supplier,
        WhyForm,
        gettext_lazy("It stays sent."),
        lambda answer: _("It was never sent; that is recorded, and it is here."),
    ),
    "hold": Step(
        "hold_housing",
        hold_housing,
        WhyForm,
        gettext_lazy("It is not held."),
        lambda answer: _("Held. Nothing goes on until the QC lead releases it."),
    ),
    "release": Step(
        "release_hold",
        release_hold,
        ReleaseForm,
        gettext_lazy("It was not released."),
        lambda answer: _("Hold %(number)s is released.") % {"number": answer["hold"]},
    ),
    "cancel": Step(
        "cancel_housing",
        cancel_housing,
        WhyForm,
        gettext_lazy("It was not cancelled."),
        lambda answer: _("This housing is cancelled; what was ahead of it is dropped."),
    ),
}
