"""What may be sent about orders and housings at their stations."""

from __future__ import annotations

from housings.operations.orders import MOST_HOUSINGS
from housings.operations.suppliers import LONGEST_REFERENCE, LONGEST_SUPPLIER
from shopqc.api import StrictSerializer
from shopqc.api_fields import LONG_TEXT, Day, Members, Moment, Text, WholeNumber, YesNo

STATION, MOST_MEMBERS = 40, 60
# The largest position or number that a column holds on every database.
LARGEST = 2**31 - 1


class OrderLine(StrictSerializer):
    """``spec``: a build spec (`housings.engineering.spec`); ``route``: the name of one, else the standard."""

    quantity = WholeNumber(1, MOST_HOUSINGS)
    spec = Members(MOST_MEMBERS)
    route = Text(40, required=False, allow_null=True)


class OrderBody(StrictSerializer):
    """An order, whole."""

    customer = Text(20)
    reference = Text(60)
    due_on = Day(required=False, allow_null=True)
    note = Text(LONG_TEXT, required=False, allow_null=True)
    lines = OrderLine(many=True, max_length=MOST_HOUSINGS)  # type: ignore[call-arg]  # many takes it


class AtStation(StrictSerializer):
    station = Text(STATION)


class WorkDoneBody(AtStation):
    """``seen_position``: the last place in the housing's record that the sender had loaded.

    ``details`` describe the work where its station has fields for that: where it was pressed and how far.
    """

    note = Text(LONG_TEXT, required=False, allow_null=True)
    details = Members(MOST_MEMBERS, required=False, allow_null=True)
    done_at = Moment(required=False, allow_null=True)
    seen_position = WholeNumber(0, LARGEST, required=False, allow_null=True)


class SendBody(AtStation):
    """``expected_on``: the day on which it should be back."""

    supplier = Text(LONGEST_SUPPLIER)
    reference = Text(LONGEST_REFERENCE, required=False, allow_null=True)
    expected_on = Day(required=False, allow_null=True)


class BackBody(StrictSerializer):
    """``conformity``: SHA-256 of the supplier's certificate, filed before by ``POST /files``."""

    condition = Text(LONG_TEXT)
    conformity = Text(64, required=False, allow_null=True)
    work_done = YesNo(required=False, allow_null=True)
    details = Members(MOST_MEMBERS, required=False, allow_null=True)


class ConformityBody(StrictSerializer):
    stay = WholeNumber(1, LARGEST)
    conformity = Text(64)


class Why(StrictSerializer):
    why = Text(LONG_TEXT)


class ReleaseBody(Why):
    hold = WholeNumber(1, LARGEST)
