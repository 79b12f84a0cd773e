"""How joints stand: what gate, pages and API read of passes, temperatures, procedure and arc, in one way."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from django.db.models import QuerySet

from housings import queries, states
from housings.engineering.joints import JointSpec, joints_of
from housings.engineering.procedures import Procedure, procedure_from, reaches
from housings.engineering.release import Release, Said, release
from housings.engineering.spec import spec_from
from housings.models import (
    Arc,
    FitUp,
    Housing,
    Joint,
    JointProcedure,
    JointSettings,
    JointTemperature,
    ProcedureRevision,
    Visit,
    WeldPass,
)
from shopqc.people import Actor

_OF_A_PASS = ("joint", "number", "repair", "record_position", "begun_at", "done_at", "welder")
_OF_A_TEMPERATURE = (
    "joint_id",
    "value",
    "unit",
    "crayon",
    "place",
    "after_pass",
    "simulated",
    "record_position",
    "index",
    "done_at",
)

# How closely a moment is told that somebody types as minutes ago: it is rounded down.
TOLD_TO = datetime.timedelta(minutes=1)


@dataclass(frozen=True, eq=False)
class JointState:
    """How one joint of one housing stands.

    Attributes
    ----------
    joint : Joint
        With ``joint.housing`` loaded. Unsaved (``pk`` None) for a housing that has no joint rows yet.
    visit : Visit or None
        The present visit, if the housing is where this joint is welded; else ``None``.
    passes : sequence of WeldPass
        Those that were not taken back, in the order of the record, with ``welder`` loaded; repairs included.
    temperatures : sequence of JointTemperature
        All of the joint, in the order of the record; `since_last` are those that count for the next arc.
    revision : ProcedureRevision or None
        By which it is welded (a repair procedure set aside); `procedure` is what it says.
    repair_revision : ProcedureRevision or None
        The newest procedure for repairs that was given to it.
    settings : JointSettings or None
        How the machine is set, the newest, with ``filler`` and ``gas`` loaded.
    fit_up : FitUp or None
        The newest.
    arc : Arc or None
        Who is welding it now, with ``welder`` loaded.
    """

    joint: Joint
    visit: Visit | None = None
    passes: Sequence[WeldPass] = ()
    temperatures: Sequence[JointTemperature] = ()
    revision: ProcedureRevision | None = None
    repair_revision: ProcedureRevision | None = None
    settings: JointSettings | None = None
    fit_up: FitUp | None = None
    arc: Arc | None = field(default=None)

    @property
    def housing(self) -> Housing:
        return self.joint.housing

    @property
    def is_here(self) -> bool:
        """Whether the housing is at the station where this joint is welded, and not away at a supplier."""
        return self.visit is not None and not queries.away_at(self.visit)

    @cached_property
    def procedure(self) -> Procedure | None:
        return procedure_from(self.revision.data) if self.revision else None

    def revision_for(self, repair: int) -> ProcedureRevision | None:
        """By which procedure the next pass is welded: a repair by the one for repairs, if there is one."""
        return (self.repair_revision or self.revision) if repair else self.revision

    @property
    def done(self) -> int:
        """How many passes of the weld itself are recorded; those of repairs do not count."""
        return self.done_of(0)

    def done_of(self, repair: int) -> int:
        """How many passes of a repair are recorded; with 0, of the weld itself."""
        return sum(one.repair == repair for one in self.passes)

    @property
    def next_number(self) -> int:
        """The number that the next pass will have."""
        return self.passes[-1].number + 1 if self.passes else 1

    @property
    def least(self) -> int:
        """How many passes it needs at least: what is counted all, several passes as the procedure says."""
        if not self.joint.is_multipass:
            return self.joint.count
        least = self.procedure.passes.least if self.procedure else None
        return max(1, int(least or 1))

    @property
    def missing(self) -> int:
        """How many passes are still needed at least."""
        return max(0, self.least - self.done)

    @property
    def is_full(self) -> bool:
        """Whether no further weld is to be made: everything that is counted is there."""
        return not self.joint.is_multipass and self.done >= self.joint.count

    @property
    def last_pass(self) -> WeldPass | None:
        return self.passes[-1] if self.passes else None

    @property
    def last_arc_at(self) -> datetime.datetime | None:
        """When the arc of the last pass ended."""
        return self.passes[-1].done_at if self.passes else None

    @cached_property
    def since_last(self) -> list[JointTemperature]:
        """Temperatures read since the last pass, in the order of the record."""
        # What came in one line with a pass was read before its arc.
        after = self.passes[-1].record_position if self.passes else -1
        return [one for one in self.temperatures if one.record_position > after]

    def release(
        self,
        at: datetime.datetime,
        more: Iterable[JointTemperature] = (),
        *,
        repair: int = 0,
        end_known_only: bool = False,
        read_by: datetime.datetime | None = None,
    ) -> Release:
        """Whether temperature lets an arc start; ``more`` came with the asking and is not on record yet.

        ``read_by``: of an arc that is told of afterwards, its moment; what was read later let nothing start.
        """
        revision = self.revision_for(repair)
        if revision is None:
            return Release(Said.NOTHING_ASKED)
        multipass = self.joint.is_multipass
        # What is counted is each a first pass: a reading from before the last one still counts.
        read = [*(self.since_last if multipass else self.temperatures), *more]
        return release(
            procedure_from(revision.data),
            [one for one in read if read_by is None or one.done_at < read_by + TOLD_TO],
            at,
            is_multipass=multipass,
            # A repair begins anew: before its first pass only the preheat is shown.
            is_first=not (multipass and self.done_of(repair)),
            end_known_only=end_known_only,
        )


def choose(joint: Any, published: Sequence[ProcedureRevision]) -> ProcedureRevision | None:
    """The first published procedure for new welds that reaches a joint, by name; ``None`` if none does."""
    for revision in published:
        procedure = procedure_from(revision.data)
        if not procedure.for_repair and not reaches(procedure, joint):
            return revision
    return None


def unsaved_joints(housing: Housing) -> list[Joint]:
    """The joints that a housing will have, from its build spec; ``housing.spec`` is read."""
    return rows_of(housing, joints_of(spec_from(housing.spec.data)))


def rows_of(housing: Housing, joints: Iterable[JointSpec]) -> list[Joint]:
    """Joints of a build spec as rows of a housing, unsaved."""
    return [
        Joint(
            housing=housing,
            number=number,
            code=joint.code,
            name=joint.name,
            kind=joint.kind,
            station=joint.station,
            side=joint.side,
            count=joint.count,
            is_multipass=joint.is_multipass,
            grade_a=joint.grade_a,
            grade_b=joint.grade_b,
            thickness=joint.thickness,
            diameter=joint.diameter,
        )
        for number, joint in enumerate(joints, start=1)
    ]


def joint_states(
    housing: Housing,
    visits: Sequence[Visit] | None = None,
    passes: Sequence[WeldPass] | None = None,
) -> list[JointState]:
    """Every joint of one housing, in the order of its stations; unsaved ones if it has no rows yet.

    ``visits`` and ``passes`` are those of the housing, if they have been read already.
    """
    here = queries.visit_here(queries.visits_of(housing) if visits is None else visits)
    return states_of(_joints_with_unsaved([housing]), {housing.pk: here} if here else {}, known_passes=passes)


def joints_at_the_bench(actor: Actor) -> list[JointState]:
    """Every joint that is welded at the station where its housing is now, in the order of arrival.

    A fixed number of queries, however many housings there are.
    """
    housings = queries.housings_for(actor).filter(visits__state=states.HERE)
    here = {
        visit.housing_id: visit
        for visit in queries.visits().filter(state=states.HERE).order_by("arrived_at", "pk")
    }
    known = {housing.pk: housing for housing in housings}
    in_order = [known[pk] for pk in here if pk in known]
    joints = [
        joint for joint in _joints_with_unsaved(in_order) if joint.station == here[joint.housing_id].station
    ]
    return states_of(joints, here, brief=True)


def states_of(
    joints: Sequence[Joint],
    here: dict[int, Visit],
    *,
    brief: bool = False,
    known_passes: Sequence[WeldPass] | None = None,
) -> list[JointState]:
    """How these joints stand; ``here``: the present visit by the primary key of its housing.

    ``brief``: of passes and temperatures only what lists of many joints show: temperatures are plain rows
    of those names, and of a pass the rest is read where it is asked, one row at a time. ``known_passes``: all
    of these joints, if they have been read already.
    """
    saved = [joint.pk for joint in joints if joint.pk]
    passes = _by_joint(_passes_of(saved, brief) if known_passes is None else known_passes)
    read = JointTemperature.objects.filter(joint__in=saved).order_by("record_position", "index")
    temperatures = _by_joint(read.values_list(*_OF_A_TEMPERATURE, named=True) if brief else read)
    assigned = JointProcedure.objects.filter(joint__in=saved).order_by("pk")
    # Many joints share few procedures: read once each, and not beside each joint.
    given = _by_joint(
        assigned.prefetch_related("procedure") if brief else assigned.select_related("procedure")
    )
    settings = _by_joint(
        JointSettings.objects.filter(joint__in=saved)
        .select_related("filler", "gas")
        .order_by("record_position")
    )
    fit_ups = _by_joint(FitUp.objects.filter(joint__in=saved).order_by("record_position"))
    arcs = _by_joint(Arc.objects.filter(joint__in=saved, ended_at=None).select_related("welder", "joint"))
    published = queries.newest_procedures() if len(saved) < len(joints) else []
    found = []
    for joint in joints:
        visit = here.get(joint.housing_id)
        at_station = visit if visit is not None and visit.station == joint.station else None
        if not joint.pk:
            found.append(JointState(joint, at_station, revision=choose(joint, published)))
            continue
        revision, for_repair = _procedures(given[joint.pk])
        found.append(
            JointState(
                joint,
                at_station,
                passes=passes[joint.pk],
                temperatures=temperatures[joint.pk],
                revision=revision,
                repair_revision=for_repair,
                settings=settings[joint.pk][-1] if settings[joint.pk] else None,
                fit_up=fit_ups[joint.pk][-1] if fit_ups[joint.pk] else None,
                arc=arcs[joint.pk][0] if arcs[joint.pk] else None,
            )
        )
    return found


def _passes_of(joints: Sequence[int], brief: bool) -> QuerySet[WeldPass]:
    found = WeldPass.objects.filter(joint__in=joints, taken_back=None).order_by("record_position", "number")
    # One row for each welder, and not one beside each pass.
    return found.only(*_OF_A_PASS).prefetch_related("welder") if brief else found.select_related("welder")


def _procedures(
    given: Sequence[JointProcedure],
) -> tuple[ProcedureRevision | None, ProcedureRevision | None]:
    """The newest procedure for the weld itself, and the newest for repairs."""
    weld: ProcedureRevision | None = None
    repair: ProcedureRevision | None = None
    for entry in given:
        if entry.procedure is not None and entry.procedure.data.get("for_repair"):
            repair = entry.procedure
        else:
            weld = entry.procedure
    return weld, repair


def _joints_with_unsaved(housings: Sequence[Housing]) -> list[Joint]:
    known = {housing.pk: housing for housing in housings}
    rows: dict[int, list[Joint]] = defaultdict(list)
    for joint in Joint.objects.filter(housing__in=housings).order_by("number"):
        joint.housing = known[joint.housing_id]
        rows[joint.housing_id].append(joint)
    return [joint for housing in housings for joint in rows[housing.pk] or unsaved_joints(housing)]


def _by_joint(rows: Iterable[Any]) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = defaultdict(list)
    for row in rows:
        found[row.joint_id].append(row)
    return found


def released_by(found: Release) -> JointTemperature | None:
    """The temperature that let an arc start, if one did."""
    return found.by if found.is_free and isinstance(found.by, JointTemperature) else None


def arcs_on() -> QuerySet[Arc]:
    """Every arc that is on now in the shop, the one begun first at the top."""
    return Arc.objects.filter(ended_at=None).select_related("joint", "housing", "welder").order_by("begun_at")


def last_arc_of_shop() -> datetime.datetime | None:
    """When the last arc of the shop ended."""
    passes = WeldPass.objects.filter(taken_back=None)
    ended: datetime.datetime | None = passes.order_by("-done_at").values_list("done_at", flat=True).first()
    return ended
