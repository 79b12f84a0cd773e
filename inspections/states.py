"""What can be said of a certificate and of a characteristic, and in which words."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

WAITING, GENUINE, QUESTIONED, REVOKED = "waiting", "genuine", "questioned", "revoked"
CERTIFICATE_WORDS = {
    WAITING: _("being made"),
    GENUINE: _("genuine"),
    QUESTIONED: _("under question"),
    REVOKED: _("revoked"),
}

NOT_MEASURED, MOVED_SINCE, DUE_AGAIN, PASSED, ACCEPTED, FAILED, UNDECIDED, DOUBTED = (
    "not_measured",
    "moved_since",
    "due_again",
    "pass",
    "accepted",
    "fail",
    "undecided",
    "doubted",
)
STANDING_WORDS = {
    NOT_MEASURED: _("not measured"),
    MOVED_SINCE: _("measured before something moved it"),
    DUE_AGAIN: _("due here again"),
    PASSED: _("pass"),
    ACCEPTED: _("accepted as it is"),
    FAILED: _("fail"),
    UNDECIDED: _("cannot tell yet"),
    DOUBTED: _("the gauge was found wrong; measure it again"),
}
ENOUGH = frozenset({PASSED, ACCEPTED})
