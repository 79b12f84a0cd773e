"""What every end point of the API stands on: who asks, what may be sent, how a refusal looks."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest
from django.middleware.csrf import CsrfViewMiddleware
from django.utils import timezone
from django.utils.translation import gettext as _
from rest_framework import exceptions, serializers, views
from rest_framework.authentication import BaseAuthentication
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.settings import api_settings

from shopqc.canonical import digest
from shopqc.models import ApiKey, Person
from shopqc.people import Actor, actor_of, actor_of_key
from shopqc.refusals import Reason, Refused, refuse

PROBLEM_TYPE = "application/problem+json"


# --- who asks ------------------------------------------------------------------------------------
class KeyAuthentication(BaseAuthentication):
    """``Authorization: Bearer sq_…``: an API key that is neither revoked nor expired."""

    def authenticate(self, request: Request) -> tuple[ApiKey, ApiKey] | None:
        header = request.headers.get("Authorization", "")
        scheme, _space, key = header.partition(" ")
        if scheme.lower() != "bearer":
            return None
        found = (
            ApiKey.objects.select_related("person", "customer")
            .filter(key_digest=digest(key.strip().encode("utf-8", "replace")), revoked_at=None)
            .first()
        )
        if found is None or (found.expires_at and found.expires_at <= timezone.now()):
            raise exceptions.AuthenticationFailed(_("This API key is not known, revoked or expired."))
        if found.person and not found.person.is_active:
            raise exceptions.AuthenticationFailed(_("The person this key stands for is not active."))
        return found, found

    def authenticate_header(self, request: Request) -> str:
        return 'Bearer realm="shopqc"'


class PersonAuthentication(BaseAuthentication):
    """A person signed in at a page; the request must carry the page's token against forgery."""

    def authenticate(self, request: Request) -> tuple[Person, None] | None:
        person = getattr(request._request, "user", None)
        if not isinstance(person, Person) or not person.is_active:
            return None
        check = CsrfViewMiddleware(lambda _request: None)  # type: ignore[arg-type, return-value]
        check.process_request(request._request)
        if check.process_view(request._request, lambda: None, (), {}):
            raise exceptions.PermissionDenied(_("The token against forgery is missing; load the page again."))
        return person, None


def actor(request: Request) -> Actor:
    """Who runs the operation this request asks for."""
    if isinstance(request.user, ApiKey):
        return actor_of_key(request.user)
    return actor_of(request.user)


KEY_PATTERN = re.compile(r"[\x21-\x7e]{1,100}")


def idempotency_key(request: Request) -> str:
    """The client's name for this request, needed with every write."""
    key = request.headers.get("Idempotency-Key", "")
    if not KEY_PATTERN.fullmatch(key):
        raise refuse("key_missing")
    return key


def run(request: Request, operation: Callable[..., dict[str, Any]], **inputs: Any) -> dict[str, Any]:
    """Run an operation for whoever asks, now, under the request's key."""
    return operation(by=actor(request), at=timezone.now(), key=idempotency_key(request), **inputs)


# --- what may be sent ----------------------------------------------------------------------------
class StrictSerializer(serializers.Serializer[Any]):
    """Refuses fields it does not know, at every depth; numbers stay as they were typed."""

    def to_internal_value(self, data: Any) -> Any:
        unknown = sorted(set(data) - set(self.fields)) if isinstance(data, Mapping) else []
        errors: dict[str, Any] = {
            name: [serializers.ErrorDetail(_("There is no such field here."), "unknown")] for name in unknown
        }
        try:
            value = super().to_internal_value(data)
        except serializers.ValidationError as error:
            if isinstance(error.detail, dict):
                errors.update(error.detail)
            raise serializers.ValidationError(errors or error.detail) from error
        if errors:
            raise serializers.ValidationError(errors)
        return value


class TypedNumber(serializers.Field):
    """A number as text, exactly as it was typed: ``"0.250"``, or a JSON number, whose text is kept."""

    default_error_messages = {"invalid": _('Write a number with a decimal point, such as "0.250".')}
    pattern = re.compile(r"[+-]?\d{1,12}(\.\d{1,12})?")

    def to_internal_value(self, data: Any) -> str:
        text = (
            data
            if isinstance(data, str)
            else format(data, "f")
            if not isinstance(data, bool | list | dict)
            else ""
        )
        if not self.pattern.fullmatch(text.strip()):
            self.fail("invalid")
        return text.strip()

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


def problem(
    status: int, reasons: list[Reason], code: str | None = None, detail: str | None = None
) -> Response:
    """Problem details (RFC 9457): the first reason as detail, all of them under ``errors``."""
    first = code or reasons[0].code
    body: dict[str, Any] = {
        "type": f"/api/problems/{first}",
        "title": _title(status),
        "status": status,
        "detail": detail or reasons[0].sentence,
    }
    if reasons:
        body["errors"] = [
            {"code": reason.code, "detail": reason.sentence}
            | ({"pointer": reason.field} if reason.field else {})
            for reason in reasons
        ]
    return Response(body, status=status, content_type=PROBLEM_TYPE)


def _title(status: int) -> str:
    from http import HTTPStatus

    return HTTPStatus(status).phrase


def problem_answer(error: Exception, context: Mapping[str, Any]) -> Response | None:
    """Exception handler of the API: every refusal as problem details."""
    match error:
        case Refused():
            response = problem(error.status, list(error.reasons))
        case exceptions.ValidationError():
            response = problem(422, reasons_of(error.detail))
        case exceptions.NotAuthenticated() | exceptions.AuthenticationFailed():
            response = problem(401, [Reason("not_signed_in")], detail=str(error.detail))
            response["WWW-Authenticate"] = 'Bearer realm="shopqc"'
        case exceptions.UnsupportedMediaType():
            response = problem(415, [Reason("media_type")])
        case Http404():
            response = problem(404, [Reason("page_not_found")])
        case PermissionDenied():
            response = problem(403, [], code="not_allowed", detail=_("This is not allowed."))
        case exceptions.APIException():
            code = error.default_code
            response = problem(error.status_code, [], code=code, detail=str(error.detail))
            if wait := getattr(error, "wait", None):
                response["Retry-After"] = str(int(wait))
            if allowed := getattr(context.get("view"), "allowed_methods", None):
                response["Allow"] = ", ".join(allowed)
        case _:
            return None
    if response.status_code == 503:
        response["Retry-After"] = "1"
    for reason in getattr(error, "reasons", ()):
        if reason.code == "wait":
            response["Retry-After"] = str(reason.facts["seconds"])
    views.set_rollback()
    return response


def not_found(request: HttpRequest) -> Response:
    """What an address of the API that does not exist answers."""
    return problem(404, [Reason("page_not_found")])
