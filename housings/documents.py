"""What the documents say of this app, written from its tables."""

from housings import states
from shopqc.documents import diagram, section


@section("states")
def _states() -> str:
    return "\n".join(
        diagram(name, table)
        for name, table in (("housing", states.HOUSING_MAY_BECOME), ("visit", states.VISIT_MAY_BECOME))
    )
