"""Sharing one Redis between the processes of a test run.

A Redis has 16 databases unless told otherwise: each of the two processes of
pytest-xdist has eight, the first for what runs inside it, the others for
homes with processes of their own.
"""

from __future__ import annotations

import itertools
import os
from urllib.parse import urlsplit

EACH = 8
_next = itertools.count()


def own() -> str:
    """Address of the broker of this test process; empty for the embedded one."""
    return _numbered(0)


def another() -> str:
    """Address of a broker for a home, emptied; empty for the embedded one."""
    url = _numbered(1 + next(_next) % (EACH - 1))
    if url:
        import redis

        client = redis.Redis.from_url(url)
        client.flushdb()
        client.close()
    return url


def _numbered(number: int) -> str:
    url = os.environ.get("SHOPQC_TEST_REDIS_URL", "")
    if not url:
        return ""
    worker = int(os.environ.get("PYTEST_XDIST_WORKER", "gw0").removeprefix("gw")) % 2
    return urlsplit(url)._replace(path=f"/{worker * EACH + number}").geturl()
