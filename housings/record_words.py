"""What the operations of this app look like in the record book."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from housings import states
from housings.engineering.procedures import PROCESSES
from housings.engineering.qualifications import METHODS
from housings.engineering.serials import grouped
from housings.engineering.stations import STATIONS
from housings.steel_words import KINDS, part_name
from shopqc.record_book import plainly, says

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


@says("receive_heat")
def _receive_heat(data: Data) -> str:
    if "description" not in data:
        return _("Heat %(heat)s came on file.") % data
    about = data["description"]
    return _("Received as %(kind)s, %(grade)s.") % {
        "kind": KINDS.get(about["kind"], about["kind"]),
        "grade": " ".join(part for part in (about["grade"], about["condition"], about["size"]) if part),
    }


@says("change_heat")
def _change_heat(data: Data) -> str:
    return _("Changed: %(before)s → %(after)s.") % {
        "before": plainly(data["before"]),
        "after": plainly(data["after"]),
    }


@says("cut_piece")
def _cut_piece(data: Data) -> str:
    if data["cut_from"]:
        return _("Piece %(piece)s was cut from %(cut_from)s: %(what)s.") % data
    return _("Piece %(piece)s was cut: %(what)s.") % data


@says("use_material")
def _use_material(data: Data) -> str:
    said = []
    for one in data["materials"]:
        words = _("%(part)s is of heat %(heat)s") % {"part": part_name(one["part"]), "heat": one["heat"]}
        if one["piece"]:
            words += " " + _("(piece %(piece)s)") % one
        said.append(words + (f", {one['why']}" if one["why"] else ""))
    return "; ".join(said) + "."


@says("recall_heat")
def _recall_heat(data: Data) -> str:
    if "housings" in data:
        count = len(data["housings"])
        said = ngettext(
            "Recalled: %(why)s It is in %(count)d housing; held: %(held)d, "
            "certificates under question: %(questioned)d.",
            "Recalled: %(why)s It is in %(count)d housings; held: %(held)d, "
            "certificates under question: %(questioned)d.",
            count,
        )
        numbers = {"count": count, "held": len(data["held"]), "questioned": len(data["questioned"])}
        return said % {"why": data["why"], **numbers}
    said = _("Hold %(hold)s was placed: %(why)s") % data if "hold" in data else ""
    if "certificate" in data:
        questioned = (
            _("Certificate %(certificate)s was put under question; a heat in it was recalled.") % data
        )
        said = f"{said} {questioned}".strip()
    return said


@says("clear_heat")
def _clear_heat(data: Data) -> str:
    return _("Taken back as a mistake, it may be used again: %(why)s") % data


@says("record_fit_up")
def _fit_up(data: Data) -> str:
    if data["accepted"]:
        return _("The fit-up of %(name)s was accepted.") % data
    return _("The fit-up of %(name)s was not accepted.") % data


@says("record_joint_settings")
def _joint_settings(data: Data) -> str:
    return _("The machine was set for %(name)s.") % data


@says("ask_each_pass")
def _each_pass(data: Data) -> str:
    if not data["each_pass"]:
        return _("Passes of %(name)s are recorded by one tap again.") % data
    return _("Every pass of %(name)s is recorded with all its numbers: %(each_pass)s.") % data


@says("record_joint_temperature")
def _joint_temperature(data: Data) -> str:
    return _("%(name)s was read: %(read)s.") % {**data, "read": ", ".join(data["read"])}


@says("begin_pass")
def _begun(data: Data) -> str:
    return _("Pass %(number)s of %(name)s was begun by stamp %(welder)s.") % data


@says("drop_arc")
def _arc_dropped(data: Data) -> str:
    return _("The arc at %(name)s was taken back; it was begun by mistake.") % data


@says("record_pass")
def _pass_done(data: Data) -> str:
    numbers = data["passes"]
    said = ngettext(
        "Pass %(numbers)s of %(name)s was welded by stamp %(welder)s.",
        "Passes %(numbers)s of %(name)s were welded by stamp %(welder)s.",
        len(numbers),
    ) % {**data, "numbers": ", ".join(map(str, numbers))}
    if data["repair"]:
        said += " " + _("It belongs to repair %(repair)s.") % data
    if data["outside"]:
        said += " " + _("It was outside its procedure: nonconformance %(nonconformance)s.") % data
    return said


@says("take_back_pass")
def _pass_taken_back(data: Data) -> str:
    return _("Pass %(number)s of %(name)s was taken back: %(why)s") % data


@says("end_fire_watch")
def _fire_watch(data: Data) -> str:
    if not data["found"]:
        return _("The fire watch after the last arc ended; nothing was found.")
    return _("The fire watch after the last arc ended: %(found)s") % data


@says("publish_procedure")
def _publish_procedure(data: Data) -> str:
    said = _("Published procedure %(procedure)s: %(title)s.") % data
    return f"{said} {_('Its record is filed.')}" if data["document"] else said


@says("assign_procedure")
def _assign_procedure(data: Data) -> str:
    if data["procedure"] is None:
        return _("%(name)s is welded by no procedure from here on: %(why)s") % data
    return _("%(name)s is welded by procedure %(procedure)s from here on: %(why)s") % data


def _process_name(code: str) -> str:
    return _(PROCESSES[code]) if code in PROCESSES else code


@says("add_qualification")
def _add_qualification(data: Data) -> str:
    ranges = data["ranges"]
    what = _process_name(ranges["process"]) if "process" in ranges else METHODS.get(ranges["method"], "")
    said = {**data, "what": what, "until": data["valid_until"] or _("no end is set")}
    return _("Qualified for %(what)s by %(reference)s, tested on %(tested_on)s; until: %(until)s.") % said


@says("end_qualification")
def _end_qualification(data: Data) -> str:
    return _("The qualification %(reference)s was withdrawn: %(why)s") % data


@says("confirm_process_use")
def _confirm_process_use(data: Data) -> str:
    said = {**data, "process": _process_name(data["process"])}
    return _("Use of %(process)s on %(used_on)s was confirmed: %(what)s") % said


@says("doubt_welder")
def _doubt_welder(data: Data) -> str:
    if data["process"]:
        said = {**data, "process": _process_name(data["process"])}
        return _("The welding was put in doubt, in %(process)s: %(why)s") % said
    return _("The welding was put in doubt, in every process: %(why)s") % data


@says("answer_welder_doubt")
def _answer_welder_doubt(data: Data) -> str:
    return _("The doubt was answered: %(answer)s") % data
