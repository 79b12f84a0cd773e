"""The shop's settings as the tests have them: a folder of their own, and nobody's running services.

SHOPQC_TEST_DATABASE_URL and SHOPQC_TEST_REDIS_URL name a PostgreSQL and a
Redis for the tests; no other variable of the shell reaches them.
"""

import os
import tempfile
from pathlib import Path

from tests.harness import brokers

for name in list(os.environ):
    if name.startswith("SHOPQC_") and not name.startswith("SHOPQC_TEST_"):
        del os.environ[name]

os.environ["SHOPQC_HOME"] = tempfile.mkdtemp(prefix="shopqc-tests-")
os.environ["SHOPQC_DATABASE_URL"] = os.environ.get("SHOPQC_TEST_DATABASE_URL", "")
os.environ["SHOPQC_BROKER_URL"] = brokers.own()

from shopqc.settings import *  # noqa: E402, F403
from shopqc.settings import DATABASES, HOME  # noqa: E402

PASSWORD_HASHERS = ["tests.harness.hashing.QuickArgon2"]

if "sqlite3" in DATABASES["default"]["ENGINE"]:
    # A file, because in memory SQLite has neither WAL nor several connections that wait for each other.
    DATABASES["default"]["TEST"] = {"NAME": str(Path(HOME) / "tests.sqlite3")}
