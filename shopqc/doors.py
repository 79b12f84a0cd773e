"""What a page does around its one call of an operation: who asks, may they see it, under which key."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any, Concatenate, ParamSpec
from urllib.parse import urlsplit

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.utils import timezone
from django.utils.cache import add_never_cache_headers
from django.utils.translation import gettext_lazy as _

from shopqc.forms import KeyedForm
from shopqc.models import Person
from shopqc.operation import Answer
from shopqc.people import Actor, actor_of, role_words
from shopqc.refusals import refuse, register

P = ParamSpec("P")
Page = Callable[Concatenate[HttpRequest, P], HttpResponseBase]

register(403, {"page_not_yours": _("This page is for the role %(roles)s.")})


def person_at(request: HttpRequest) -> Person:
    """The person who is signed in; the page has asked for that by `for_roles`."""
    assert isinstance(request.user, Person)
    return request.user


def actor_at(request: HttpRequest) -> Actor:
    """The person who is signed in, as actor."""
    return actor_of(person_at(request))


def may(request: HttpRequest, operation: str) -> bool:
    """Whether the signed-in person may run an operation: what may not be done is not offered."""
    return not actor_at(request).reasons_against(operation)


def for_roles(*roles: str) -> Callable[[Page[P]], Page[P]]:
    """A page for signed-in people who hold one of the roles; with none named, for everybody signed in."""

    def decorate(page: Page[P]) -> Page[P]:
        @functools.wraps(page)
        def guarded(request: HttpRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
            if not request.user.is_authenticated:
                if request.method == "POST":
                    return _signed_out_meanwhile(request)
                return redirect_to_login(request.get_full_path())
            if roles and not person_at(request).has_role(*roles):
                raise refuse("page_not_yours", roles=role_words(roles))
            return page(request, *args, **kwargs)

        return guarded

    return decorate


# What a form carries besides what somebody typed, and what is never shown again.
NOT_SHOWN = frozenset(
    {"csrfmiddlewaretoken", "sent_key", "seen_position", "visit", "do", "station", "line_count"}
    | {"pin", "password", "secret"}
)
LONGEST_SHOWN = 20_000


def _signed_out_meanwhile(request: HttpRequest) -> HttpResponse:
    """The session ended while somebody was typing: what was typed is shown once more, to be taken along."""
    typed = [
        value[:LONGEST_SHOWN]
        for name, values in request.POST.lists()
        if name not in NOT_SHOWN
        for value in values
        if value.strip()
    ]
    response = render(
        request, "shopqc/signed_out.html", {"typed": typed, "next": _page_of_the_form(request)}, status=403
    )
    add_never_cache_headers(response)
    return response


def _page_of_the_form(request: HttpRequest) -> str:
    """Where the form stood: some addresses take what is sent and have no page of their own."""
    stood = urlsplit(request.headers.get("Referer", ""))
    return stood.path if stood.netloc == request.get_host() else request.get_full_path()


def run(request: HttpRequest, operation: Callable[..., Answer], form: KeyedForm, /, **inputs: Any) -> Answer:
    """Run an operation for the signed-in person, under the key that the form was rendered with."""
    return operation(by=actor_at(request), at=timezone.now(), key=form.key, **inputs)
