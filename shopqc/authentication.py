"""Who asks over the API: a key, or a person who is signed in at a page.

Apart from `shopqc.api`, because Django REST framework imports it while it is being imported itself.
"""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import CsrfViewMiddleware
from django.utils import timezone
from rest_framework.authentication import BaseAuthentication
from rest_framework.request import Request

from shopqc.canonical import digest
from shopqc.models import ApiKey, Person
from shopqc.operations.sign_in import DESK
from shopqc.people import Actor, actor_of, actor_of_key
from shopqc.refusals import refuse


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
            raise refuse("key_unknown")
        if found.person and not found.person.is_active:
            raise refuse("key_person_inactive")
        return found, found

    def authenticate_header(self, request: Request) -> str:
        return 'Bearer realm="shopqc"'


def _nothing(_request: HttpRequest) -> HttpResponse:
    """The view that the check against forgery believes to guard."""
    return HttpResponse()


class PersonAuthentication(BaseAuthentication):
    """A person signed in at a page; the request must carry the page's token against forgery."""

    def authenticate(self, request: Request) -> tuple[Person, None] | None:
        person = getattr(request._request, "user", None)
        if not isinstance(person, Person) or not person.is_active:
            return None
        check = CsrfViewMiddleware(_nothing)
        check.process_request(request._request)
        if check.process_view(request._request, _nothing, (), {}):
            raise refuse("page_token_missing")
        return person, None


def actor(request: Request) -> Actor:
    """Who runs the operation this request asks for."""
    if isinstance(request.user, ApiKey):
        return actor_of_key(request.user)
    assert isinstance(request.user, Person)
    return actor_of(request.user)


def desk_of(request: Request) -> str:
    """Where wrong secrets are counted: at the desk, or apart for each key, so that no key slows people."""
    return f"key {request.user.prefix}" if isinstance(request.user, ApiKey) else DESK
