"""The states of a housing and of a visit, and which may follow which."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.translation import gettext_lazy as _

RELEASED, IN_WORK, SIGNED_OFF, SCRAPPED, CANCELLED = (
    "released",
    "in_work",
    "signed_off",
    "scrapped",
    "cancelled",
)
AHEAD, HERE, LEFT, DROPPED = "ahead", "here", "left", "dropped"

HOUSING_MAY_BECOME: Mapping[str, frozenset[str]] = {
    RELEASED: frozenset({IN_WORK, CANCELLED}),
    # Released again: its first arrival was recorded by mistake and taken back.
    IN_WORK: frozenset({SIGNED_OFF, SCRAPPED, CANCELLED, RELEASED}),
    # Found wrong after the signature: it goes back into work, and its certificate is put under question.
    SIGNED_OFF: frozenset({IN_WORK, SCRAPPED}),
    SCRAPPED: frozenset(),
    CANCELLED: frozenset(),
}
VISIT_MAY_BECOME: Mapping[str, frozenset[str]] = {
    AHEAD: frozenset({HERE, DROPPED}),
    # Back to what it was: an arrival or a leaving that was recorded by mistake is taken back.
    HERE: frozenset({LEFT, DROPPED, AHEAD}),
    LEFT: frozenset({HERE}),
    DROPPED: frozenset(),
}
HOUSING_WORDS = {
    RELEASED: _("released, not begun"),
    IN_WORK: _("in work"),
    SIGNED_OFF: _("signed off"),
    SCRAPPED: _("scrapped"),
    CANCELLED: _("cancelled"),
}
VISIT_WORDS = {
    AHEAD: _("ahead"),
    HERE: _("here now"),
    LEFT: _("done"),
    DROPPED: _("dropped"),
}


def check_change(may_become: Mapping[str, frozenset[str]], before: str, after: str) -> None:
    """Raise ``RuntimeError`` for a change the table does not have: an operation is wrong, not a person."""
    if after not in may_become[before]:
        raise RuntimeError(f"{before} does not become {after}.")
