"""What every end point of the API does: run an operation, read a body strictly, say a refusal."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from http import HTTPStatus
from typing import Any

from django.conf import settings
from django.core.exceptions import (
    RequestDataTooBig,
    SuspiciousOperation,
    TooManyFieldsSent,
    TooManyFilesSent,
)
from django.http import Http404, UnreadablePostError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from rest_framework import exceptions, serializers, views
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.settings import api_settings

from shopqc.authentication import actor
from shopqc.canonical import canonical, plain
from shopqc.refusals import Reason, Refused, refuse

PROBLEM_TYPE = "application/problem+json"


# --- under which name ----------------------------------------------------------------------------
KEY_PATTERN = re.compile(r"[\x21-\x7e]{1,100}")


def idempotency_key(request: Request) -> str:
    """The client's name for this request, needed with every write."""
    key = request.headers.get("Idempotency-Key", "")
    if not KEY_PATTERN.fullmatch(key):
        raise refuse("key_missing")
    return key


def run(request: Request, operation: Callable[..., dict[str, Any]], **inputs: Any) -> dict[str, Any]:
    """Run an operation for whoever asks, now, under the request's key.

    The names in the answer are sorted, so that the same answer is the same bytes again: a database may
    keep them in an order of its own.
    """
    answer = operation(by=actor(request), at=timezone.now(), key=idempotency_key(request), **inputs)
    same: dict[str, Any] = json.loads(canonical(plain(answer)))
    return same


# --- what may be sent ----------------------------------------------------------------------------
# Of fields nobody knows, so many are named, and so much of their names: the answer stays small.
MOST_UNKNOWN, LONGEST_NAME = 20, 60


class StrictSerializer(serializers.Serializer[Any]):
    """Refuses fields it does not know, at every depth; numbers stay as they were typed."""

    def to_internal_value(self, data: Any) -> Any:
        unknown = sorted(set(data) - set(self.fields)) if isinstance(data, Mapping) else []
        errors: dict[str, Any] = {
            name[:LONGEST_NAME]: [serializers.ErrorDetail(str(_("There is no such field here.")), "unknown")]
            for name in unknown[:MOST_UNKNOWN]
        }
        try:
            value = super().to_internal_value(data)
        except serializers.ValidationError as error:
            if isinstance(error.detail, dict):
                errors.update(error.detail)
            raise serializers.ValidationError(errors or error.detail) from error
        if errors:
            raise serializers.ValidationError(errors)
        # null says the same as leaving the field out.
        return {name: given for name, given in value.items() if given is not None}


def typed(number: str | int | Decimal) -> str:
    """A number of a body as the text that was typed."""
    return format(number, "f") if isinstance(number, Decimal) else str(number)


class TypedNumber(serializers.Field):
    """A number as text, exactly as it was typed: ``"0.250"``, or a JSON number, whose text is kept."""

    default_error_messages = {"invalid": _('Write a number with a decimal point, such as "0.250".')}
    pattern = re.compile(r"[+-]?[0-9]{1,9}(\.[0-9]{1,9})?")

    def to_internal_value(self, data: Any) -> str:
        text = typed(data).strip() if isinstance(data, str | int | Decimal) else ""
        if isinstance(data, bool) or not self.pattern.fullmatch(text):
            self.fail("invalid")
        return text

    def to_representation(self, value: Any) -> str:
        return str(value)


def read(serializer: type[StrictSerializer], request: Request) -> dict[str, Any]:
    """The request's body as checked data, or a refusal that names every field."""
    body = serializer(data=request.data)
    body.is_valid(raise_exception=True)
    return dict(body.validated_data)


# --- how a refusal looks -------------------------------------------------------------------------
def reasons_of(detail: Any, pointer: str = "") -> list[Reason]:
    """Errors of a serializer as reasons, each with the JSON pointer of its field."""
    if isinstance(detail, Mapping):
        return [
            reason
            for name, inner in detail.items()
            for reason in reasons_of(
                inner,
                pointer if name == api_settings.NON_FIELD_ERRORS_KEY else f"{pointer}/{_escaped(str(name))}",
            )
        ]
    if isinstance(detail, list):
        found: list[Reason] = []
        for index, inner in enumerate(detail):
            deeper = isinstance(inner, Mapping | list)
            found += reasons_of(inner, f"{pointer}/{index}" if deeper else pointer)
        return found
    code = {"required": "field_missing", "unknown": "field_unknown"}.get(
        getattr(detail, "code", ""), "field_wrong"
    )
    return [Reason(code, {"why": str(detail)}, pointer or None)]


def _escaped(name: str) -> str:
    return name.replace("~", "~0").replace("/", "~1")


def problem(reasons: Sequence[Reason], status: int) -> Response:
    """Problem details (RFC 9457): the gravest reason as detail, all of them under ``errors``."""
    first = next((reason for reason in reasons if reason.status == status), reasons[0])
    body = {
        "type": f"/api/problems/{first.code}",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": first.sentence,
        "errors": [
            {"code": reason.code, "detail": reason.sentence}
            | ({"pointer": reason.field} if reason.field else {})
            for reason in reasons
        ],
    }
    return Response(body, status=status, content_type=PROBLEM_TYPE)


def refused_by(error: Exception, view: Any) -> Refused | None:
    """What was refused, in our words, whatever raised it; ``None`` for a mistake of the program."""
    match error:
        case Refused():
            return error
        case exceptions.ValidationError():
            return Refused(*reasons_of(error.detail))
        case exceptions.NotAuthenticated() | exceptions.AuthenticationFailed():
            return refuse("not_signed_in")
        case exceptions.UnsupportedMediaType():
            return refuse("media_type", types=_types(getattr(view, "parser_classes", ())))
        case exceptions.NotAcceptable():
            return refuse("not_acceptable", types=_types(getattr(view, "renderer_classes", ())))
        case exceptions.MethodNotAllowed():
            return refuse("method_not_allowed", method=str(getattr(view.request, "method", "")))
        case Http404() | exceptions.NotFound():
            return refuse("page_not_found")
        case RequestDataTooBig() | TooManyFieldsSent() | TooManyFilesSent():
            return refuse("too_large", limit=settings.DATA_UPLOAD_MAX_MEMORY_SIZE)
        case UnreadablePostError():
            return refuse("request_broken", why=_("it ended before its body did."))
        case SuspiciousOperation() | exceptions.ParseError():
            return refuse("request_broken", why=_("its form is none of HTTP."))
    return None


def _types(classes: Iterable[Any]) -> str:
    return ", ".join(found.media_type for found in classes)


def problem_answer(error: Exception, context: Mapping[str, Any]) -> Response | None:
    """Exception handler of the API: every refusal as problem details."""
    refused = refused_by(error, context.get("view"))
    if refused is None:
        return None
    response = problem(refused.reasons, refused.status)
    if refused.status == 401:
        response["WWW-Authenticate"] = 'Bearer realm="shopqc"'
    if refused.status == 503:
        response["Retry-After"] = "1"
    for reason in refused.reasons:
        if reason.code == "wait":
            response["Retry-After"] = str(reason.facts["seconds"])
    views.set_rollback()
    return response
