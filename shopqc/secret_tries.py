"""Checking secrets that people type, and slowing down who types wrong ones."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.contrib.auth.hashers import check_password

from shopqc.models import Person, SecretTries
from shopqc.refusals import refuse

FREE_TRIES = 3
LONGEST_WAIT = 300


@dataclass(frozen=True)
class Checked:
    """Whether a secret was right; if not, after how many seconds another try is taken."""

    right: bool
    wait_seconds: int = 0


def check_secret(
    person: Person | None, badge: str, secret: str, *, by_pin: bool, device: str, at: datetime.datetime
) -> Checked:
    """Check a PIN or a password and count the wrong ones.

    Counted by (badge, device): somebody who tries at one tablet slows down
    that badge there and nobody else. The count must be committed, so a wrong
    secret is an answer of its operation, not a refusal.

    Raises
    ------
    Refused
        ``wait`` while the wrong tries before have not been waited out.
    """
    tries, _ = SecretTries.objects.select_for_update(no_key=True).get_or_create(badge=badge, device=device)
    if tries.free_at and tries.free_at > at:
        raise refuse("wait", seconds=max(1, round((tries.free_at - at).total_seconds())))
    stored = (person.pin if by_pin else person.password) if person and person.is_active else ""
    if stored and check_password(secret, stored):
        if tries.wrong:
            SecretTries.objects.filter(pk=tries.pk).update(wrong=0, free_at=None)
        return Checked(right=True)
    wrong = tries.wrong + 1
    wait = 0 if wrong < FREE_TRIES else min(LONGEST_WAIT, 5 * 2 ** (wrong - FREE_TRIES))
    SecretTries.objects.filter(pk=tries.pk).update(wrong=wrong, free_at=at + datetime.timedelta(seconds=wait))
    return Checked(right=False, wait_seconds=wait)
