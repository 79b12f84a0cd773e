"""What the stored joints of the shop teach about how its joints cool.

Bookkeeping, not facts: it only makes forecasts better, nobody decides by it, and it can be computed again any
time; so it leaves no line in the record book. Computed again it comes out the same.
"""

from __future__ import annotations

import datetime
from collections import defaultdict

from django.db.models import F, Max, QuerySet

from housings import states
from housings.engineering.cooling import CooledPass, learn
from housings.joint_cooling import cooled_passes
from housings.models import CoolingLearned, Joint, JointTemperature, WeldPass

# The newest ones: a shop changes its steel and its fixtures, and more than this gain nothing.
NEWEST_JOINTS = 200


def learn_what_is_new(at: datetime.datetime) -> list[str]:
    """Learn anew from each kind of joint of which one was finished since it was learned last; those kinds."""
    learned = dict(CoolingLearned.objects.values_list("kind", "learned_at"))
    newest = _finished().order_by().values_list("kind").annotate(last=Max("housing__visits__left_at"))
    due = [kind for kind, last in newest if kind not in learned or last > learned[kind]]
    return [kind for kind in sorted(due) if learn_kind(kind, at)]


def learn_kind(kind: str, at: datetime.datetime) -> bool:
    """Learn from the newest finished joints of a kind; whether there were enough of them."""
    prior = learn(cool_downs(kind))
    if not prior.joints:
        return False
    CoolingLearned.objects.update_or_create(
        kind=kind, defaults={"prior": prior.to_json(), "joints": prior.joints, "learned_at": at}
    )
    return True


def cool_downs(kind: str) -> list[tuple[CooledPass, ...]]:
    """The passes of each of the newest finished joints of a kind, without what was only pretended."""
    joints = list(_finished().filter(kind=kind).distinct().order_by("-pk")[:NEWEST_JOINTS])
    passes: dict[int, list[WeldPass]] = defaultdict(list)
    for weld in WeldPass.objects.filter(joint__in=joints, taken_back=None).order_by("joint_id", "number"):
        passes[weld.joint_id].append(weld)
    read: dict[int, list[JointTemperature]] = defaultdict(list)
    for one in JointTemperature.objects.filter(joint__in=joints, simulated=False):
        read[one.joint_id].append(one)
    return [cooled_passes(passes[joint.pk], read[joint.pk]) for joint in joints if passes[joint.pk]]


def _finished() -> QuerySet[Joint]:
    """Joints welded in several passes whose housing has left the station where they are welded."""
    return Joint.objects.filter(
        is_multipass=True,
        housing__visits__station=F("station"),
        housing__visits__state=states.LEFT,
    )
