"""Holding a housing where it is, and letting it go on."""

from __future__ import annotations

from django.db.models import Max
from django.utils.translation import gettext as _

from housings import rules
from housings.models import Hold, Housing
from housings.operations.visits import the_housing
from shopqc.operation import Answer, Run, operation
from shopqc.refusals import Refused, refuse


@operation("hold_housing", locks=the_housing)
def hold_housing(run: Run, *, housing: str, why: str) -> Answer:
    """Hold a housing: it neither starts nor leaves anything until the hold is released."""
    return place_hold(run, run.get(Housing, housing), why)


def place_hold(run: Run, housing: Housing, why: str) -> Answer:
    """Part of an operation that holds the housing's lock."""
    if not why.strip():
        raise refuse("reason_needed", "/why")
    if reasons := rules.reasons_of_state(housing, after_sign_off=True):
        raise Refused(*reasons)
    most = Hold.objects.filter(housing=housing).aggregate(most=Max("number"))["most"] or 0
    hold = Hold.objects.create(
        housing=housing, number=most + 1, why=why.strip(), placed_at=run.at, placed_by=run.by.stamp
    )
    run.write(housing, hold=hold.number, why=hold.why)
    return {"housing": housing.serial, "hold": hold.number}


@operation("release_hold", locks=the_housing)
def release_hold(run: Run, *, housing: str, hold: int, why: str) -> Answer:
    """Release one hold, with the reason why it may go on."""
    row = run.get(Housing, housing)
    if not why.strip():
        raise refuse("reason_needed", "/why")
    released = Hold.objects.filter(housing=row, number=hold, released_at=None).update(
        released_at=run.at, released_by=run.by.stamp, release_why=why.strip()
    )
    if released != 1:
        raise refuse("not_found", what=_("open hold"), name=hold)
    run.write(row, hold=hold, released=True, why=why.strip())
    return {"housing": housing, "hold": hold}
