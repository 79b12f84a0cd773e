"""A client of the API as another program is one: a key, JSON, and what comes back."""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterable
from typing import Any, cast

from django.apps import apps
from django.http import HttpResponse
from django.test import Client

from shopqc import ledger
from shopqc.models import SecretTries

PROBLEM = "application/problem+json"
_names = itertools.count()


class Caller:
    """One API key; every request under a name of its own unless one is given."""

    def __init__(self, key: str | None) -> None:
        self.client = Client(raise_request_exception=True)
        self.key = key

    def headers(self) -> dict[str, str]:
        return {"Authorization": f"Bearer {self.key}"} if self.key else {}

    def get(self, path: str, **headers: str) -> HttpResponse:
        response: Any = self.client.get(address(path), headers={**self.headers(), **headers})
        return cast(HttpResponse, response)

    def post(
        self,
        path: str,
        body: Any = None,
        *,
        name: str | None = None,
        raw: bytes | None = None,
        **headers: str,
    ) -> HttpResponse:
        """POST ``body`` as JSON, or ``raw`` as it is; ``name`` is the idempotency key, "" for none."""
        name = f"call {next(_names)}".replace(" ", "-") if name is None else name
        content = raw if raw is not None else json.dumps(body).encode()
        kind = headers.pop("content_type", "application/json")
        named = {"Idempotency-Key": name} if name else {}
        response: Any = self.client.post(
            address(path), content, content_type=kind, headers={**self.headers(), **named, **headers}
        )
        return cast(HttpResponse, response)


def address(path: str) -> str:
    return path if path.startswith("/api") else f"/api/v1{path}"


def done(response: HttpResponse, status: int = 200) -> dict[str, Any]:
    """The answer of a request that was to succeed."""
    assert response.status_code == status, (response.status_code, response.content[:600])
    assert response["Content-Type"] == "application/json"
    answer: dict[str, Any] = json.loads(response.content)
    return answer


def refused(response: HttpResponse, status: int, *codes: str) -> dict[str, Any]:
    """The problem (RFC 9457) of a request that was to be refused, with the codes that it must name."""
    assert response.status_code == status, (response.status_code, response.content[:600])
    assert response["Content-Type"] == PROBLEM
    body: dict[str, Any] = json.loads(response.content)
    assert body["status"] == status
    assert body["type"] == f"/api/problems/{body['errors'][0]['code']}" or len(body["errors"]) > 1
    assert body["detail"] and "%(" not in body["detail"]
    named = {error["code"] for error in body["errors"]}
    assert set(codes) <= named, (codes, body)
    return body


def pointers(problem: dict[str, Any]) -> set[str]:
    """The fields (RFC 6901) that a problem names."""
    return {error["pointer"] for error in problem["errors"] if "pointer" in error}


def everything() -> dict[str, Any]:
    """How many rows each table has, and the head of each chain: what a refusal must leave as it is.

    Wrong secrets are counted by a write that stands, so their table is left out.
    """
    counts: dict[str, Any] = {
        model._meta.label: model._default_manager.count()
        for model in apps.get_models()
        if model is not SecretTries
    }
    heads = {
        owner.chain: owner.record_head
        for model in ledger.recorded_models()
        for owner in model._default_manager.all()
    }
    return {**counts, **heads}


def unlike(cases: Iterable[tuple[Any, HttpResponse, str]]) -> list[Any]:
    """Of requests that are each wrong in one field, those that were not refused with that field named."""
    found = []
    for sent, response, pointer in cases:
        named = pointers(json.loads(response.content)) if response["Content-Type"] == PROBLEM else set()
        if not 400 <= response.status_code < 500 or pointer not in named:
            found.append((sent, response.status_code, response.content[:300]))
    return found
