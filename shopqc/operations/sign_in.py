"""Signing in: a badge and a PIN at a registered device, or a password at a desk."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from shopqc.models import Device, Person
from shopqc.operation import Answer, Rows, Run, operation
from shopqc.people import ENGINEER, OWNER, QC_LEAD
from shopqc.refusals import refuse, register
from shopqc.secret import Secret
from shopqc.secret_tries import check_secret

DESK_ROLES = (QC_LEAD, ENGINEER, OWNER)
DESK = "desk"

register(
    409,
    {
        "device_unknown": _(
            "This device is not registered, so a PIN does not work here. "
            "Ask the QC lead to register it, or sign in with a password."
        )
    },
)


def _person_if_known(*, badge: str, **_inputs: Any) -> list[Rows]:
    return [Rows(Person, "badge", [badge])] if Person.objects.filter(badge=badge).exists() else []


@operation("sign_in", locks=_person_if_known)
def sign_in(run: Run, *, badge: str, secret: Secret, device: int | None) -> Answer:
    """Check a badge and its secret.

    ``device`` is the primary key of the registered device for a PIN, ``None``
    for a password. Answers ``{"person": pk}``, or ``{"person": None,
    "wait_seconds": n}`` after a wrong secret, which is counted.
    """
    by_pin = device is not None
    if device is not None and not Device.objects.filter(pk=device, revoked_at=None).exists():
        raise refuse("device_unknown")
    person = run.rows.get((Person, badge))
    assert person is None or isinstance(person, Person)
    if person and not by_pin and not person.has_role(*DESK_ROLES):
        person = None  # a station worker's password, if one was ever set, opens nothing
    checked = check_secret(
        person, badge, secret, by_pin=by_pin, device=str(device) if by_pin else DESK, at=run.at
    )
    if person:
        run.write(person, how="PIN" if by_pin else "password", right=checked.right, device=device)
    if not checked.right:
        return {"person": None, "wait_seconds": checked.wait_seconds}
    assert person is not None
    return {"person": person.pk}
