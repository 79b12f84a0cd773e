"""What the operations of the shop as a whole look like in the record book."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from shopqc.people import ROLES
from shopqc.record_book import plainly, says
from shopqc.rules import RULES

Data = Mapping[str, Any]


def _roles(codes: list[str]) -> str:
    return ", ".join(str(ROLES.get(code, code)) for code in codes) or _("none")


@says("set_up_shop")
def _set_up(data: Data) -> str:
    return _("The shop was set up as %(name)s.") % data


@says("change_shop")
def _change_shop(data: Data) -> str:
    return _("The shop was changed: %(before)s → %(after)s.") % {
        "before": plainly(data["before"]),
        "after": plainly(data["after"]),
    }


@says("switch_rule")
def _switch_rule(data: Data) -> str:
    rule = RULES.get(data["rule"])
    asks = rule.asks if rule else data["rule"]
    said = _("Put into use: %(rule)s") if data["in_use"] else _("Taken out of use: %(rule)s")
    return said % {"rule": asks}


@says("add_customer")
def _add_customer(data: Data) -> str:
    return _("The customer %(name)s (%(customer)s) was added.") % data


@says("add_person")
def _add_person(data: Data) -> str:
    if "person" in data:
        return _("Somebody was added with stamp %(person)s.") % data
    return _("Added with badge %(badge)s and the roles: %(roles)s.") % {
        "badge": data["badge"],
        "roles": _roles(data["roles"]),
    }


@says("change_person")
def _change_person(data: Data) -> str:
    return _("Changed: %(changed)s. Roles: %(roles)s.") % {
        "changed": plainly(data["changed"]),
        "roles": _roles(data["after"]["roles"]),
    }


@says("sign_in")
def _sign_in(data: Data) -> str:
    if data["right"]:
        return _("Signed in with the %(how)s.") % data
    return _("A wrong %(how)s was typed.") % data


@says("register_device")
def _register_device(data: Data) -> str:
    return _("The device %(name)s was registered.") % data


@says("revoke_device")
def _revoke_device(data: Data) -> str:
    return _("Device %(device)s was taken out of use.") % data


@says("make_api_key")
def _make_key(data: Data) -> str:
    return _("The API key %(name)s (%(key)s…) was made.") % data


@says("revoke_api_key")
def _revoke_key(data: Data) -> str:
    return _("The API key %(key)s… was revoked.") % data
