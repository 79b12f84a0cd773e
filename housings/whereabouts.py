"""Where a housing is, in words: what a list and the head of its page say of it."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from housings import states
from housings.models import Hold, Housing, Visit
from housings.queries import away_at, next_visits, visit_here

HELD, OPEN, PASS, FAIL = "held", "open", "pass", "fail"


@dataclass(frozen=True)
class Whereabouts:
    """``words`` say where it is; ``mark`` is the shape beside them, ``because`` why it is held."""

    words: str
    mark: str = OPEN
    because: str = ""

    @property
    def held(self) -> str:
        """Why it is held, with the word before it."""
        return _("held: %(why)s") % {"why": self.because}


def whereabouts(housing: Housing, visits: Sequence[Visit], holds: Sequence[Hold]) -> Whereabouts:
    """Where a housing is, from its visits and open holds."""
    words = _where(housing, visits)
    if housing.state in {states.SCRAPPED, states.CANCELLED}:
        return Whereabouts(words, FAIL if housing.state == states.SCRAPPED else OPEN)
    if holds:
        return Whereabouts(words, HELD, "; ".join(hold.why for hold in holds))
    return Whereabouts(words, PASS if housing.state == states.SIGNED_OFF else OPEN)


def _where(housing: Housing, visits: Sequence[Visit]) -> str:
    if here := visit_here(visits):
        if supplier := away_at(here):
            return _("away at %(supplier)s for %(station)s") % {
                "supplier": supplier,
                "station": _(here.at.name),
            }
        return _("at %(station)s") % {"station": _(here.at.name)}
    if housing.state in {states.SCRAPPED, states.CANCELLED}:
        return str(states.HOUSING_WORDS[housing.state])
    following = next_visits(visits)
    names = _(" or ").join(_(visit.at.name) for visit in following)
    if housing.state == states.SIGNED_OFF:
        return _("signed off, on its way to %(station)s") % {"station": names} if names else _("signed off")
    if not following or following[0].at.after_sign_off:
        return _("waits for sign-off")
    if housing.state == states.RELEASED:
        return _("not begun; first is %(station)s") % {"station": names}
    return _("on its way to %(station)s") % {"station": names}


def is_late(housing: Housing, today: datetime.date) -> bool:
    """Whether the day it is due has passed and it is not signed off."""
    due = housing.order.due_on
    return due is not None and due < today and housing.state in {states.RELEASED, states.IN_WORK}
