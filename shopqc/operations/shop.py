"""The shop itself: how it is called and which rules it has in use; customers, keys and devices."""

from __future__ import annotations

import datetime
import re
import secrets
from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext_lazy as _

from shopqc.canonical import digest, moment
from shopqc.models import ApiKey, Customer, Device, Person, Shop
from shopqc.operation import Answer, Rows, Run, operation, the_shop
from shopqc.people import SCOPES
from shopqc.refusals import Reason, Refused, refuse, register
from shopqc.rules import RULES
from shopqc.whole_numbers import whole

register(
    422,
    {
        "customer_exists": _("There is a customer %(code)s already."),
        "scope_unknown": _("%(scope)s is no scope. Scopes are: %(scopes)s."),
        "choice_unknown": _("%(value)s is not one of: %(choices)s."),
        "count_wrong": _("This is a whole number from %(least)s to %(most)s."),
        "prefix_wrong": _("The prefix of serial numbers is one to three capital letters."),
    },
)
register(409, {"shop_is_set_up": _("The shop is set up already.")})


def _the_shop(**_inputs: Any) -> list[Rows]:
    return [the_shop()]


@operation("set_up_shop")
def set_up_shop(run: Run, *, name: str) -> Answer:
    """Make the one row of the shop; before this nothing else can be written."""
    shop, made = Shop.objects.get_or_create(code="shop", defaults={"name": name})
    if not made:
        raise refuse("shop_is_set_up")
    run.write(shop, name=name)
    return {"shop": shop.name}


CHANGEABLE = (
    "name",
    "address",
    "serial_prefix",
    "certificate_series",
    "paper",
    "length_unit",
    "temperature_unit",
    "decision_rule",
    "continuity_months",
    "fire_watch_minutes",
)
# Whole numbers, from and to. Half an hour of fire watch is the least that anybody asks (OSHA 1910.252 (a)(2)
# (iii)(B), from memory); continuity of more than two years is none.
COUNTS = {"continuity_months": (1, 24), "fire_watch_minutes": (30, 480)}
CHOICES = {field.name: [key for key, _label in field.choices] for field in Shop._meta.fields if field.choices}


@operation("change_shop", locks=_the_shop)
def change_shop(run: Run, *, changes: dict[str, str | int]) -> Answer:
    """Change the shop's name, address, series, paper, units, decision rule, months or minutes."""
    shop = run.shop
    reasons = []
    for column, value in changes.items():
        if column not in CHANGEABLE:
            reasons.append(Reason("field_unknown", field=f"/{column}"))
            continue
        if column in COUNTS:
            reasons += _reasons_against_count(column, value)
            continue
        value = str(value)
        choices = CHOICES.get(column)
        if choices and value not in choices:
            facts = {"value": value, "choices": ", ".join(choices)}
            reasons.append(Reason("choice_unknown", facts, f"/{column}"))
        elif column == "serial_prefix" and not re.fullmatch("[A-Z]{1,3}", value):
            reasons.append(Reason("prefix_wrong", field="/serial_prefix"))
        elif column in {"name", "certificate_series"} and not value.strip():
            reasons.append(Reason("field_missing", field=f"/{column}"))
    if reasons:
        raise Refused(*reasons)
    before = {column: getattr(shop, column) for column in changes}
    after = {
        column: int(value) if column in COUNTS else str(value).strip() for column, value in changes.items()
    }
    for column, kept in after.items():
        setattr(shop, column, kept)
    shop.save(update_fields=list(changes))
    run.write(shop, before=before, after=after)
    return {"changed": sorted(changes)}


def _reasons_against_count(column: str, value: str | int) -> list[Reason]:
    least, most = COUNTS[column]
    number = whole(str(value))
    if number is not None and least <= number <= most and not isinstance(value, bool):
        return []
    return [Reason("count_wrong", {"least": least, "most": most}, f"/{column}")]


@operation("switch_rule", locks=_the_shop)
def switch_rule(run: Run, *, rule: str, in_use: bool) -> Answer:
    """Put a rule into use, or say that it is not in use yet; dated, and printed on certificates."""
    if rule not in RULES:
        raise refuse("not_found", "/rule", what=str(_("rule")), name=rule)
    shop = run.shop
    shop.rules[rule] = {"in_use": in_use, "since": moment(run.at), "by": run.by.stamp}
    shop.save(update_fields=["rules"])
    run.write(shop, rule=rule, in_use=in_use)
    return {"rule": rule, "in_use": in_use}


@operation("add_customer", locks=_the_shop)
def add_customer(run: Run, *, code: str, name: str, email: str = "") -> Answer:
    """Add a customer."""
    reasons = [
        Reason("field_missing", field=f"/{field}")
        for field, value in (("code", code), ("name", name))
        if not value.strip()
    ]
    if Customer.objects.filter(code=code).exists():
        reasons.append(Reason("customer_exists", {"code": code}, "/code"))
    if reasons:
        raise Refused(*reasons)
    customer = Customer.objects.create(code=code.strip(), name=name.strip(), email=email.strip())
    run.write(run.shop, customer=customer.code, name=customer.name)
    return {"customer": customer.code}


def new_device_token() -> str:
    """A new token of 256 bits for a device; only its digest is kept."""
    return secrets.token_urlsafe(32)


@operation("register_device", locks=_the_shop)
def register_device(run: Run, *, name: str, token_digest: str, station: str = "") -> Answer:
    """Register a tablet or phone; the door makes the token and gives it to the device alone."""
    if not name.strip():
        raise refuse("field_missing", "/name")
    device = Device.objects.create(
        name=name.strip(), station=station, token_digest=token_digest, registered_at=run.at
    )
    run.write(run.shop, device=device.pk, name=device.name, station=station)
    return {"device": device.pk}


@operation("revoke_device", locks=_the_shop)
def revoke_device(run: Run, *, device: int) -> Answer:
    """A PIN does not work at this device any more."""
    if Device.objects.filter(pk=device, revoked_at=None).update(revoked_at=run.at) != 1:
        raise refuse("not_found", what=str(_("device in use")), name=device)
    run.write(run.shop, device=device, revoked=True)
    return {"device": device}


def new_api_key() -> tuple[str, str, str]:
    """A new key of 256 bits: (the key, shown once; its prefix; its digest)."""
    prefix = secrets.token_hex(4)
    key = f"sq_{prefix}_{secrets.token_urlsafe(32)}"
    return key, prefix, digest(key.encode())


def _shop_and_stamp(*, stamp: str | None = None, **_inputs: Any) -> list[Rows]:
    return [the_shop(), *([Rows(Person, "stamp", [stamp], "/stamp")] if stamp else [])]


@operation("make_api_key", locks=_shop_and_stamp)
def make_api_key(
    run: Run,
    *,
    name: str,
    prefix: str,
    key_digest: str,
    scopes: Sequence[str],
    customer: str | None = None,
    stamp: str | None = None,
    expires_at: str | None = None,
) -> Answer:
    """Keep an API key's prefix and digest (made by `new_api_key`), with scopes, and for whom it stands."""
    names = ", ".join(SCOPES)
    reasons = [
        Reason("scope_unknown", {"scope": scope, "scopes": names}, "/scopes")
        for scope in scopes
        if scope not in SCOPES
    ]
    owner = Customer.objects.filter(code=customer).first() if customer else None
    if customer and not owner:
        reasons.append(Reason("not_found", {"what": str(_("customer")), "name": customer}, "/customer"))
    if not name.strip():
        reasons.append(Reason("field_missing", field="/name"))
    if reasons:
        raise Refused(*reasons)
    ApiKey.objects.create(
        name=name.strip(),
        prefix=prefix,
        key_digest=key_digest,
        scopes=sorted(set(scopes)),
        customer=owner,
        person=run.get(Person, stamp) if stamp else None,
        made_at=run.at,
        expires_at=datetime.datetime.fromisoformat(expires_at) if expires_at else None,
    )
    run.write(run.shop, key=prefix, name=name, scopes=sorted(set(scopes)), customer=customer, stamp=stamp)
    return {"prefix": prefix}


@operation("revoke_api_key", locks=_the_shop)
def revoke_api_key(run: Run, *, prefix: str) -> Answer:
    """The key opens nothing any more."""
    if ApiKey.objects.filter(prefix=prefix, revoked_at=None).update(revoked_at=run.at) != 1:
        raise refuse("not_found", what=str(_("API key in use")), name=prefix)
    run.write(run.shop, key=prefix, revoked=True)
    return {"prefix": prefix}
