"""Taking a body whole, or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from shopqc.refusals import refuse


def whole_body(stream: Any, most: int, context: Mapping[str, Any] | None) -> bytes:
    """The body of a request: at most ``most`` bytes and one, so that a larger one is seen.

    Raises
    ------
    Refused
        ``request_broken``: fewer bytes came than Content-Length says, so the body is incomplete
        (RFC 9112, section 8), however whole its beginning looks.
    """
    content = bytes(stream.read(most + 1))
    request = (context or {}).get("request")
    said = (request.META.get("CONTENT_LENGTH") or "") if request is not None else ""
    if said.isascii() and said.isdigit() and len(content) < min(int(said), most + 1):
        raise refuse("request_broken", why=_("it ended before its body did."))
    return content
