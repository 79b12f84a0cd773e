"""The joints of a housing: laid when it is released, each with the procedure that reaches it."""

from __future__ import annotations

from collections.abc import Sequence

from housings import queries
from housings.engineering.joints import joints_of
from housings.engineering.spec import Spec, spec_from
from housings.models import Housing, Joint, JointProcedure
from housings.weld_queries import choose, rows_of
from shopqc.operation import Run


def lay_joints(run: Run, spec: Spec, housings: Sequence[Housing]) -> list[Joint]:
    """Lay the joints of housings of one build spec. Part of an operation that holds or makes the housings."""
    wanted = joints_of(spec)
    published = queries.newest_procedures()
    chosen = {joint.code: choose(joint, published) for joint in wanted}
    laid: list[Joint] = []
    for housing in housings:
        joints = Joint.objects.bulk_create(rows_of(housing, wanted))
        procedures = JointProcedure.objects.bulk_create(
            JointProcedure(
                joint=joint,
                procedure=chosen[joint.code],
                record_position=run.position_in(housing),
                at=run.at,
                by_stamp=run.by.stamp,
            )
            for joint in joints
            if chosen[joint.code]
        )
        run.write(housing, [*joints, *procedures], joints=len(joints))
        laid += joints
    return laid


def joints_laid(run: Run, housing: Housing) -> list[Joint]:
    """The joints of a housing this run holds; laid now if it was released before there were any."""
    joints = queries.joints_of_housing(housing)
    return joints or lay_joints(run, spec_from(housing.spec.data), [housing])
