"""What the program says when it will not do something.

A refusal is a code and facts; the sentence is made late, in the reader's
language, and the same sentence stands on the dead button, on the page that
refuses and in the API's problem details. Each app registers the codes it
uses; a code nobody registered is a mistake in the program, not of the user.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _


@dataclass(frozen=True)
class Reason:
    """One reason against something.

    Parameters
    ----------
    code : str
        Registered name of the reason.
    facts : mapping
        Values of the sentence's placeholders.
    field : str or None
        JSON pointer of the input that is meant, such as ``/lines/0/spec/tube_od``.
    """

    code: str
    facts: Mapping[str, Any] = field(default_factory=dict)
    field: str | None = None

    @property
    def status(self) -> int:
        """The HTTP status this reason answers with."""
        return KINDS[self.code].status

    @property
    def sentence(self) -> str:
        """The reason in words, in the language of the moment."""
        return str(KINDS[self.code].sentence) % dict(self.facts)

    def __str__(self) -> str:
        # So that one reason can be a fact of another and is still said late.
        return self.sentence

    def at(self, pointer: str) -> Reason:
        """The same reason, said of another input."""
        return Reason(self.code, self.facts, pointer)


class Refused(Exception):
    """Raised where something is refused; nothing of the write stays."""

    def __init__(self, *reasons: Reason) -> None:
        if not reasons:
            raise ValueError("A refusal names at least one reason.")
        self.reasons = reasons
        super().__init__("; ".join(f"{reason.code} {dict(reason.facts)}" for reason in reasons))

    @property
    def status(self) -> int:
        """The status of the gravest reason: who you are before what you may before what you sent."""
        return min((reason.status for reason in self.reasons), key=STATUSES.index)

    @property
    def sentences(self) -> list[str]:
        return [reason.sentence for reason in self.reasons]


def refuse(code: str, field: str | None = None, **facts: Any) -> Refused:
    """A refusal with one reason, to be raised."""
    return Refused(Reason(code, facts, field))


@dataclass(frozen=True)
class Kind:
    """What a code means: the status it answers with and its sentence."""

    status: int
    sentence: str | Promise


# In the order in which they win when one answer has several.
STATUSES = (401, 403, 503, 429, 404, 405, 406, 413, 415, 400, 422, 409, 428, 412)
KINDS: dict[str, Kind] = {}


def register(status: int, sentences: Mapping[str, str | Promise]) -> None:
    """Add codes that answer with one status. A code is registered once."""
    if status not in STATUSES:
        raise ValueError(f"{status} has no place among the statuses of refusals.")
    for code, sentence in sentences.items():
        if code in KINDS:
            raise ValueError(f"The refusal {code!r} is registered twice.")
        KINDS[code] = Kind(status, sentence)


register(
    401,
    {
        "not_signed_in": _("Sign in first, or send a valid API key."),
        "key_unknown": _("This API key is not known, was revoked or has expired."),
        "key_person_inactive": _("The person this API key stands for is not active any more."),
    },
)
register(
    403,
    {
        "not_allowed": _("This needs the role %(roles)s (%(operation)s)."),
        "key_without_scope": _("This API key does not have the scope %(scope)s."),
        "secret_wrong": _("The secret is not right. Nothing was done."),
        "page_token_missing": _("The token against forgery is missing; load the page again."),
    },
)
register(
    404,
    {
        "not_found": _("There is no %(what)s %(name)s."),
        "page_not_found": _("There is nothing at this address."),
    },
)
register(
    405,
    {"method_not_allowed": _("%(method)s is not what this address takes; its header Allow says what is.")},
)
register(406, {"not_acceptable": _("This address answers %(types)s; the header Accept leaves that out.")})
register(413, {"too_large": _("The body has more than %(limit)s bytes; send less at once.")})
register(415, {"media_type": _("Send the body as %(types)s.")})
register(
    400,
    {
        "json_broken": _("The body is not JSON: %(why)s"),
        "request_broken": _("The request cannot be read: %(why)s"),
        "key_missing": _(
            "Send the header Idempotency-Key with a name of your own for this request (1 to 100 characters)."
        ),
    },
)
register(
    422,
    {
        "key_reused": _(
            "The key %(key)s was used before for another request. Use a new one for each new request."
        ),
        "field_missing": _("This is needed."),
        "field_unknown": _("There is no such field here."),
        "field_wrong": _("%(why)s"),
        "too_long": _("This has more than %(most)s characters."),
        "parameter_unknown": _("The address has no parameter %(name)s. It takes: %(names)s."),
        "parameter_twice": _("The parameter %(name)s stands twice in the address."),
        "parameter_wrong": _("%(name)s: %(why)s"),
        "place_unknown": _("There is no %(after)s to go on after. Begin again without the parameter after."),
    },
)
register(
    503,
    {"busy": _("Somebody else is writing the same thing just now. Nothing was done; try again in a moment.")},
)
register(429, {"wait": _("Too many wrong tries. Wait %(seconds)s seconds and try again.")})
register(
    409, {"changed_meanwhile": _("This changed while you looked at it. Load it again and look once more.")}
)
