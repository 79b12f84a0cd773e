"""What the operations of this app look like in the record book."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from housings import states
from housings.engineering.serials import grouped
from housings.engineering.stations import STATIONS
from shopqc.record_book import says

Data = Mapping[str, Any]


def station_name(code: str) -> str:
    """A station's name, or its code if the catalogue has it no more."""
    return _(STATIONS[code].name) if code in STATIONS else code


def _with_state(sentence: str, data: Data) -> str:
    """A change of the housing's state that came with the operation."""
    if "state" not in data:
        return sentence
    after = data["state"]["after"]
    return f"{sentence} " + _("The housing is %(state)s now.") % {
        "state": states.HOUSING_WORDS.get(after, after)
    }


@says("place_order")
def _place_order(data: Data) -> str:
    if "housings" in data:
        count = len(data["housings"])
        said = ngettext(
            "Ordered for %(customer)s as %(reference)s: %(count)s housing, %(serials)s.",
            "Ordered for %(customer)s as %(reference)s: %(count)s housings, %(serials)s.",
            count,
        )
        return said % {**data, "count": count, "serials": ", ".join(map(grouped, data["housings"]))}
    return _("Released to the floor for order %(order)s, by route %(route)s and plan %(plan)s.") % data


@says("publish_route")
def _publish_route(data: Data) -> str:
    return _("Published route %(route)s: %(stations)s.") % {
        "route": data["route"],
        "stations": ", ".join(map(station_name, data["stations"])),
    }


@says("arrive")
def _arrive(data: Data) -> str:
    return _("Arrived at %(station)s.") % {"station": station_name(data["station"])}


@says("record_work_done")
def _work_done(data: Data) -> str:
    return _("The work at %(station)s was done.") % {"station": station_name(data["station"])}


@says("leave_station")
def _leave(data: Data) -> str:
    return _("Left %(station)s.") % {"station": station_name(data["station"])}


@says("hold_housing")
def _hold(data: Data) -> str:
    return _("Hold %(hold)s was placed: %(why)s") % data


@says("release_hold")
def _release(data: Data) -> str:
    return _("Hold %(hold)s was released: %(why)s") % data


@says("cancel_housing")
def _cancel(data: Data) -> str:
    return _with_state(_("Cancelled: %(why)s") % data, data)


@says("undo_arrival")
def _undo_arrival(data: Data) -> str:
    return _with_state(
        _("The arrival at %(station)s was taken back; it was recorded by mistake.")
        % {"station": station_name(data["station"])},
        data,
    )


@says("undo_leaving")
def _undo_leaving(data: Data) -> str:
    return _("The leaving of %(station)s was taken back; it was recorded by mistake.") % {
        "station": station_name(data["station"])
    }


@says("send_to_supplier")
def _sent(data: Data) -> str:
    return _("Sent to %(supplier)s for %(station)s.") % {**data, "station": station_name(data["station"])}


@says("back_from_supplier")
def _back(data: Data) -> str:
    said = _("Came back from %(supplier)s: %(condition)s") % data
    if data["conformity"]:
        said += " " + _("The supplier's certificate of conformity is filed.")
    return said


@says("file_conformity")
def _conformity(data: Data) -> str:
    return _("The certificate of conformity of %(supplier)s was filed.") % data


@says("recall_from_supplier")
def _recalled(data: Data) -> str:
    return _("It never went to %(supplier)s; that was recorded by mistake: %(why)s") % data
