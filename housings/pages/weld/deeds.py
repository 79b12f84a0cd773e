"""What can be done at a joint from its page: each with its operation, its form and its words."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.operations.arcs import begin_pass, drop_arc
from housings.operations.fit_ups import record_fit_up
from housings.operations.joint_settings import ask_each_pass, record_joint_settings
from housings.operations.passes import record_pass, take_back_pass
from housings.operations.temperatures import record_joint_temperature
from housings.pages.weld import taps
from housings.simulated_thermometer import simulated_temperature
from housings.weld_forms import (
    EachPassForm,
    FitUpForm,
    JointForm,
    PassForm,
    SettingsForm,
    TakeBackForm,
    moment_ago,
)
from housings.weld_queries import JointState
from shopqc.operation import Answer

Inputs = Callable[[Any, JointState, datetime.datetime], dict[str, Any]]


@dataclass(frozen=True)
class Deed:
    """One thing that can be done at a joint; ``part`` is the form of the page in which its button stands."""

    name: str
    part: str
    operation: Callable[..., Answer]
    form: type[JointForm]
    inputs: Inputs
    said: Callable[[Mapping[str, Any]], str]
    refused: str | Promise


def _pass(form: PassForm, state: JointState, now: datetime.datetime, **more: Any) -> dict[str, Any]:
    said = form.cleaned_data
    return {
        "number": said["number"] or state.next_number,
        "temperatures": form.temperatures(now),
        "figures": form.figures,
        "stop_at": said["stop_at"],
        "repair": said["repair"] or 0,
        "welder": said["welder"].strip() or None,
        "note": said["note"],
        "done_at": moment_ago(said["ended_minutes_ago"], now),
        "seen_position": said["seen_position"],
        "sure": said["sure"],
        **form.supplies,
        **more,
    }


def _by_crayons(form: PassForm, state: JointState, now: datetime.datetime) -> dict[str, Any]:
    # By the number that the page had: the same sending once more says the same.
    return _pass(form, state, now, temperatures=taps.crayons(state, form.cleaned_data["number"]))


def _all(form: PassForm, state: JointState, now: datetime.datetime) -> dict[str, Any]:
    number = form.cleaned_data["number"] or state.next_number
    return _pass(form, state, now, passes=max(1, state.joint.count - number + 1))


def _all_by_crayons(form: PassForm, state: JointState, now: datetime.datetime) -> dict[str, Any]:
    return {**_all(form, state, now), "temperatures": taps.crayons(state, form.cleaned_data["number"])}


def _begin(form: PassForm, state: JointState, now: datetime.datetime) -> dict[str, Any]:
    names = ("number", "temperatures", "repair", "welder", "seen_position", "sure")
    every = _pass(form, state, now)
    return {name: every[name] for name in names}


def _read(form: PassForm, _state: JointState, now: datetime.datetime) -> dict[str, Any]:
    return {"temperatures": form.temperatures(now), "sure": form.cleaned_data["sure"]}


def _crayon(side: str) -> Inputs:
    return lambda _form, state, _now: {"temperatures": taps.one_crayon(state, side)}


def _simulated(_form: PassForm, state: JointState, now: datetime.datetime) -> dict[str, Any]:
    return {"temperatures": [simulated_temperature(state, now)]}


def _nothing(_form: JointForm, _state: JointState, _now: datetime.datetime) -> dict[str, Any]:
    return {}


def _set(form: SettingsForm, _state: JointState, _now: datetime.datetime) -> dict[str, Any]:
    return {"figures": form.figures, **form.supplies}


def _fitted(form: FitUpForm, _state: JointState, _now: datetime.datetime) -> dict[str, Any]:
    said = form.cleaned_data
    return {"figures": form.figures, "tacked_by": said["tacked_by"], "note": said["note"]}


def _back(form: TakeBackForm, _state: JointState, _now: datetime.datetime) -> dict[str, Any]:
    return {"number": form.cleaned_data["number"], "why": form.cleaned_data["why"]}


def _passes_said(answer: Mapping[str, Any]) -> str:
    numbers = answer["passes"]
    if len(numbers) > 1:
        return _("Passes %(first)s to %(last)s are recorded.") % {"first": numbers[0], "last": numbers[-1]}
    return _("Pass %(number)s is recorded.") % {"number": numbers[0]}


def _fit_up_said(answer: Mapping[str, Any]) -> str:
    if answer["accepted"]:
        return _("The fit-up is accepted.")
    return _("Recorded: the fit-up is not accepted. %(why)s") % {
        "why": " ".join(one["what"] for one in answer["outside"])
    }


def _settings_said(answer: Mapping[str, Any]) -> str:
    if not answer["outside"]:
        return _("The settings are recorded.")
    why = " ".join(one["what"] for one in answer["outside"])
    return _("The settings are recorded, and are outside the procedure. %(why)s") % {"why": why}


_NO_PASS = gettext_lazy("The pass was not recorded.")
_NO_READING = gettext_lazy("The temperature was not recorded.")


def _read_said(_answer: Mapping[str, Any]) -> str:
    return _("The temperature is recorded.")


def _deed(name: str, inputs: Inputs) -> Deed:
    return Deed(name, "tap", record_pass, PassForm, inputs, _passes_said, _NO_PASS)


DEEDS: Mapping[str, Deed] = {
    taps.PASS: _deed("record_pass", _pass),
    taps.CRAYONS: _deed("record_pass", _by_crayons),
    taps.ALL: _deed("record_pass", _all),
    taps.ALL_CRAYONS: _deed("record_pass", _all_by_crayons),
    "pass_read": Deed("record_pass", "read", record_pass, PassForm, _pass, _passes_said, _NO_PASS),
    "temperature": Deed(
        "record_joint_temperature",
        "read",
        record_joint_temperature,
        PassForm,
        _read,
        _read_said,
        _NO_READING,
    ),
    "too_hot": Deed(
        "record_joint_temperature",
        "tap",
        record_joint_temperature,
        PassForm,
        _crayon("above"),
        _read_said,
        _NO_READING,
    ),
    "too_cold": Deed(
        "record_joint_temperature",
        "tap",
        record_joint_temperature,
        PassForm,
        _crayon("below"),
        _read_said,
        _NO_READING,
    ),
    "simulate": Deed(
        "record_joint_temperature",
        "read",
        record_joint_temperature,
        PassForm,
        _simulated,
        _read_said,
        _NO_READING,
    ),
    "begin": Deed(
        "begin_pass",
        "read",
        begin_pass,
        PassForm,
        _begin,
        lambda answer: _("Arc on: pass %(number)s.") % {"number": answer["number"]},
        gettext_lazy("The arc was not started."),
    ),
    "drop_arc": Deed(
        "drop_arc",
        "drop_arc",
        drop_arc,
        JointForm,
        _nothing,
        lambda _answer: _("The arc is taken back; no pass came of it."),
        gettext_lazy("The arc stays on."),
    ),
    "settings": Deed(
        "record_joint_settings",
        "settings",
        record_joint_settings,
        SettingsForm,
        _set,
        _settings_said,
        gettext_lazy("The settings were not recorded."),
    ),
    "fit_up": Deed(
        "record_fit_up",
        "fit_up",
        record_fit_up,
        FitUpForm,
        _fitted,
        _fit_up_said,
        gettext_lazy("The fit-up was not recorded."),
    ),
    "take_back": Deed(
        "take_back_pass",
        "take_back",
        take_back_pass,
        TakeBackForm,
        _back,
        lambda answer: _("Pass %(number)s is taken back; it stays on record as taken back.") % answer,
        gettext_lazy("The pass stays."),
    ),
    "each_pass": Deed(
        "ask_each_pass",
        "each_pass",
        ask_each_pass,
        EachPassForm,
        lambda form, _state, _now: {"why": form.cleaned_data["why"]},
        lambda answer: (
            _("From now on every pass says all its numbers.")
            if answer["each_pass"]
            else _("One tap is enough again.")
        ),
        gettext_lazy("Nothing was changed."),
    ),
}
