"""What the operations of this app look like in the record book."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from housings.engineering.serials import grouped
from housings.record_words import station_name
from inspections.models.nonconformances import DECISIONS
from inspections.weld_words import STAGE_WORDS
from shopqc.record_book import says

Data = Mapping[str, Any]


@says("record_readings")
def _readings(data: Data) -> str:
    count = data["readings"]
    said = ngettext("%(count)s reading was recorded.", "%(count)s readings were recorded.", count) % {
        "count": count
    }
    if data["nonconformances"]:
        numbers = ", ".join(map(str, data["nonconformances"]))
        said += " " + _("Found wrong: nonconformance %(numbers)s of this housing.") % {"numbers": numbers}
    return said


@says("raise_nonconformance")
def _raise(data: Data) -> str:
    said = _("Nonconformance %(nonconformance)s of this housing was raised.") % data
    if "hold" in data:
        said += " " + _("Hold %(hold)s was placed: %(why)s") % data
    return said


@says("dispose")
def _dispose(data: Data) -> str:
    said = _("Nonconformance %(nonconformance)s of this housing was decided: %(decision)s.") % {
        "nonconformance": data["nonconformance"],
        "decision": DECISIONS.get(data["decision"], data["decision"]),
    }
    if data.get("inserted"):
        stations = ", ".join(station_name(visit["station"]) for visit in data["inserted"])
        said += " " + _("It goes to: %(stations)s.") % {"stations": stations}
    return said


@says("sign_off")
def _sign(data: Data) -> str:
    if "signing" not in data:
        return _("Signed off with certificate %(certificate)s; its facts are frozen.") % data
    serial = grouped(data["signing"])
    if data["right"]:
        return _("Signed off %(serial)s with certificate %(certificate)s.") % {**data, "serial": serial}
    return _("A wrong secret was typed to sign off %(serial)s.") % {"serial": serial}


@says("issue_certificate")
def _issue(data: Data) -> str:
    return _("Certificate %(certificate)s was issued.") % data


@says("revoke_certificate")
def _revoke(data: Data) -> str:
    return _("Certificate %(certificate)s was revoked; the housing is in work again.") % data


@says("reissue_certificate")
def _reissue(data: Data) -> str:
    return _("Making certificate %(certificate)s was tried again.") % data


@says("add_gauge")
def _gauge(data: Data) -> str:
    if "gauge" in data:
        return _("The gauge %(gauge)s was added.") % data
    return _("Added as %(name)s; next check due: %(due)s.") % {
        "name": data["name"],
        "due": data["due"] or _("not known"),
    }


@says("record_calibration")
def _calibration(data: Data) -> str:
    if "doubted" in data:
        said = ngettext(
            "The gauge %(gauge)s was found wrong: one verdict is another one.",
            "The gauge %(gauge)s was found wrong: %(doubted)s verdicts are others.",
            data["doubted"],
        )
        if "hold" in data:
            said += " " + _("Hold %(hold)s was placed: %(why)s")
        if "certificate" in data:
            said += " " + _("Certificate %(certificate)s was put under question.")
        return said % data
    if "examined" in data:
        return (
            _("Found wrong; %(examined)s readings were judged again and %(changed)s verdicts changed.") % data
        )
    due = data["due"] or _("not known")
    return _("Checked; good until %(due)s, uncertainty %(uncertainty)s.") % {**data, "due": due}


@says("change_gauge")
def _changed(data: Data) -> str:
    return _("Its description was changed: %(fields)s.") % {"fields": ", ".join(sorted(data["after"]))}


@says("withdraw_gauge")
def _withdrawn(data: Data) -> str:
    return _("Withdrawn: %(why)s") % data


@says("return_gauge")
def _returned(data: Data) -> str:
    return _("Taken into use again: %(why)s") % data


@says("answer_question")
def _answered(data: Data) -> str:
    return _("Certificate %(certificate)s is no longer under question.") % data


@says("publish_plan")
def _plan(data: Data) -> str:
    count = len(data["characteristics"])
    said = ngettext(
        "Published plan %(plan)s with %(count)s characteristic.",
        "Published plan %(plan)s with %(count)s characteristics.",
        count,
    )
    return said % {"plan": data["plan"], "count": count}


@says("add_visit")
def _add_visit(data: Data) -> str:
    stations = ", ".join(station_name(visit["station"]) for visit in data["inserted"])
    return _("Put into its way: %(stations)s. %(why)s") % {"stations": stations, "why": data["why"]}


@says("drop_visit")
def _drop_visit(data: Data) -> str:
    stations = ", ".join(station_name(visit["station"]) for visit in data["dropped"])
    return _("Taken out of its way: %(stations)s. %(why)s") % {"stations": stations, "why": data["why"]}


def _judged(data: Data, said: str) -> str:
    if data["accepted"]:
        return said + " " + _("Accepted.")
    return said + " " + _("Refused: nonconformance %(nonconformance)s of this housing.") % data


@says("look_at_weld")
def _look_at_weld(data: Data) -> str:
    stage = STAGE_WORDS.get(data["stage"], data["stage"])
    said = _judged(data, _("Looked at %(joint)s: %(stage)s.") % {"joint": data["joint"], "stage": stage})
    if "hold" in data:
        said += " " + _("Hold %(hold)s was placed: %(why)s") % data
    return said


@says("test_weld")
def _test_weld(data: Data) -> str:
    return _judged(data, _("Tested %(joint)s by %(method)s.") % data)


@says("begin_repair")
def _begin_repair(data: Data) -> str:
    return (
        _("Repair %(repair)s of %(joint)s was begun, for nonconformance %(nonconformance)s of this housing.")
        % data
    )
