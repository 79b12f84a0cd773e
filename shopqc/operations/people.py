"""People, their badges, roles and secrets."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.contrib.auth.hashers import make_password
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from shopqc.models import Person
from shopqc.operation import Answer, Rows, Run, operation, the_shop
from shopqc.people import ROLES
from shopqc.refusals import Reason, Refused, refuse, register
from shopqc.secret import Secret

register(
    422,
    {
        "person_exists": _("There is somebody with the %(what)s %(name)s already."),
        "role_unknown": _("%(role)s is no role. Roles are: %(roles)s."),
        "pin_weak": _("A PIN has 4 to 8 digits, not all the same."),
        "password_weak": _("%(why)s"),
    },
)
register(409, {"last_owner": _("Nobody else is owner. Make somebody else owner first.")})


def _reasons_against_secrets(pin: str, password: str) -> list[Reason]:
    reasons = []
    if pin and not (pin.isascii() and pin.isdigit() and 4 <= len(pin) <= 8 and len(set(pin)) > 1):
        reasons.append(Reason("pin_weak", field="/pin"))
    if password:
        try:
            validate_password(password)
        except ValidationError as error:
            reasons.append(Reason("password_weak", {"why": " ".join(error.messages)}, "/password"))
    return reasons


def _reasons_against_roles(roles: Sequence[str]) -> list[Reason]:
    names = ", ".join(ROLES)
    return [
        Reason("role_unknown", {"role": role, "roles": names}, "/roles")
        for role in roles
        if role not in ROLES
    ]


def _the_shop(**_inputs: Any) -> list[Rows]:
    return [the_shop()]


@operation("add_person", locks=_the_shop)
def add_person(
    run: Run,
    *,
    badge: str,
    name: str,
    stamp: str,
    roles: Sequence[str],
    pin: Secret = Secret(""),  # noqa: B008  (a str, so it cannot change)
    password: Secret = Secret(""),  # noqa: B008
    credential: str = "",
) -> Answer:
    """Add a person. Secrets may be left out and set later; without one nobody can sign in."""
    reasons = _reasons_against_roles(roles) + _reasons_against_secrets(pin, password)
    for what, value in (("badge", badge), ("stamp", stamp)):
        if not value.strip():
            reasons.append(Reason("field_missing", field=f"/{what}"))
        elif Person.objects.filter(**{what: value}).exists():
            reasons.append(Reason("person_exists", {"what": what, "name": value}, f"/{what}"))
    if not name.strip():
        reasons.append(Reason("field_missing", field="/name"))
    if reasons:
        raise Refused(*reasons)
    person = Person(
        badge=badge,
        name=name.strip(),
        stamp=stamp,
        roles=sorted(set(roles)),
        credential=credential,
        pin=make_password(pin) if pin else "",
        password=make_password(password or None),
    )
    person.save(force_insert=True)
    run.write(person, badge=badge, roles=person.roles, has_pin=bool(pin), has_password=bool(password))
    run.write(run.shop, person=stamp)
    return {"person": person.pk, "stamp": stamp}


def _shop_and_person(*, stamp: str, **_inputs: Any) -> list[Rows]:
    return [Rows(Person, "stamp", [stamp]), the_shop()]


@operation("change_person", locks=_shop_and_person)
def change_person(
    run: Run,
    *,
    stamp: str,
    name: str | None = None,
    roles: Sequence[str] | None = None,
    pin: Secret | None = None,
    password: Secret | None = None,
    credential: str | None = None,
    is_active: bool | None = None,
) -> Answer:
    """Change what is given and leave the rest. The shop keeps at least one active owner."""
    person = run.get(Person, stamp)
    reasons = _reasons_against_roles(roles or ()) + _reasons_against_secrets(pin or "", password or "")
    if name is not None and not name.strip():
        reasons.append(Reason("field_missing", field="/name"))
    if reasons:
        raise Refused(*reasons)
    before = {"roles": person.roles, "is_active": person.is_active}
    changed: dict[str, Any] = {}
    if name is not None:
        changed["name"] = name.strip()
    if roles is not None:
        changed["roles"] = sorted(set(roles))
    if pin is not None:
        changed["pin"] = make_password(pin) if pin else ""
    if password is not None:
        changed["password"] = make_password(password or None)
    if credential is not None:
        changed["credential"] = credential
    if is_active is not None:
        changed["is_active"] = is_active
    for column, value in changed.items():
        setattr(person, column, value)
    if not any(p.has_role("owner") for p in [person, *Person.objects.exclude(pk=person.pk)] if p.is_active):
        raise refuse("last_owner")
    person.save(update_fields=list(changed))
    after = {"roles": person.roles, "is_active": person.is_active}
    run.write(person, changed=sorted(changed), before=before, after=after)
    return {"stamp": stamp}
