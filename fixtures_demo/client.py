"""The demo as a client of the API: only HTTP, only what the API's document says."""

from __future__ import annotations

import json
import urllib.error
import urllib.request
from dataclasses import dataclass
from typing import Any

TIMEOUT_SECONDS = 30


class Problem(Exception):
    """What the API refused, as it said it."""

    def __init__(self, status: int, body: dict[str, Any]) -> None:
        self.status, self.body = status, body
        super().__init__(f"{status}: {body.get('detail')} {json.dumps(body.get('errors', []))}")


@dataclass(frozen=True)
class Client:
    """One API key at one address."""

    address: str
    key: str

    def get(self, path: str) -> Any:
        """Plain data at a path under ``/api/v1``."""
        return json.loads(self._ask("GET", path))

    def get_file(self, path: str) -> bytes:
        """A file at a path under ``/api/v1``."""
        return self._ask("GET", path)

    def post(self, path: str, body: dict[str, Any], *, name: str) -> Any:
        """Write; ``name`` is this request's idempotency key."""
        return json.loads(self._ask("POST", path, json.dumps(body).encode(), name))

    def post_file(self, path: str, content: bytes, kind: str, *, name: str) -> Any:
        """Send a file as it is; ``kind`` is its media type."""
        return json.loads(self._ask("POST", path, content, name, kind))

    def _ask(
        self,
        method: str,
        path: str,
        body: bytes | None = None,
        name: str = "",
        kind: str = "application/json",
    ) -> bytes:
        headers = {"Authorization": f"Bearer {self.key}"}
        if body is not None:
            headers |= {"Content-Type": kind, "Idempotency-Key": name}
        request = urllib.request.Request(
            f"{self.address}/api/v1{path}", data=body, headers=headers, method=method
        )
        try:
            with urllib.request.urlopen(request, timeout=TIMEOUT_SECONDS) as answer:
                content: bytes = answer.read()
                return content
        except urllib.error.HTTPError as error:
            raise Problem(error.code, json.loads(error.read())) from error
