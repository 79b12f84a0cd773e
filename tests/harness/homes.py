"""Places for a whole shop that runs as processes: data folder, database and broker of its own."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import uuid
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from tests.harness import brokers

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Home:
    """A data folder and the environment in which processes find it."""

    folder: Path
    variables: Mapping[str, str] = field(default_factory=dict)

    @property
    def env(self) -> dict[str, str]:
        """The environment of a process: nothing of the tests' own settings, quick sweep and leases."""
        inherited = {
            name: value
            for name, value in os.environ.items()
            if not name.startswith(("SHOPQC_", "PYTEST_", "DJANGO_"))
        }
        quick = {"SHOPQC_SWEEP_SECONDS": "1", "SHOPQC_LEASE_SECONDS": "15", "PYTHONUNBUFFERED": "1"}
        return {
            **inherited,
            **quick,
            "DJANGO_SETTINGS_MODULE": "shopqc.settings",
            "PYTHONPATH": str(ROOT),
            "SHOPQC_HOME": str(self.folder),
            **self.variables,
        }

    def with_variables(self, **variables: str) -> Home:
        """The same home, some variables of its processes changed."""
        return Home(self.folder, {**self.variables, **variables})

    def manage(self, *arguments: str, check: bool = True) -> subprocess.CompletedProcess[str]:
        """Run ``manage.py`` in this home."""
        return self._run([sys.executable, str(ROOT / "manage.py"), *arguments], check)

    def ask(self, code: str) -> Any:
        """What a piece of Python leaves in ``answer``, run with Django in this home.

        The way to look into the database of a home from a test, whichever database it is.
        """
        program = (
            "import django, json; django.setup(); scope = {}\n"
            f"exec({code!r}, scope)\n"
            "print('\\n' + json.dumps(scope['answer'], default=str))"
        )
        done = self._run([sys.executable, "-c", program], True)
        return json.loads(done.stdout.splitlines()[-1])

    def _run(self, command: list[str], check: bool) -> subprocess.CompletedProcess[str]:
        done = subprocess.run(
            command, env=self.env, cwd=self.folder, capture_output=True, text=True, timeout=300
        )
        if check and done.returncode:
            raise RuntimeError(f"{command} ended with {done.returncode}:\n{done.stdout}\n{done.stderr}")
        return done


@contextmanager
def new_home(**variables: str) -> Iterator[Home]:
    """A home with a migrated, empty database: SQLite, or what SHOPQC_TEST_DATABASE_URL names."""
    folder = Path(tempfile.mkdtemp(prefix="shopqc-home-"))
    server = os.environ.get("SHOPQC_TEST_DATABASE_URL", "")
    try:
        if server:
            with _database_on(server) as url:
                yield Home(folder, {"SHOPQC_DATABASE_URL": url, **_broker(), **variables})
        else:
            shutil.copy(_migrated_file(), folder / "shopqc.sqlite3")
            yield Home(folder, {**_broker(), **variables})
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def bare_home() -> Iterator[Home]:
    """A home whose database has no table yet."""
    folder = Path(tempfile.mkdtemp(prefix="shopqc-home-"))
    server = os.environ.get("SHOPQC_TEST_DATABASE_URL", "")
    try:
        if server:
            with _database_on(server, template="template0") as url:
                yield Home(folder, {"SHOPQC_DATABASE_URL": url, **_broker()})
        else:
            yield Home(folder, _broker())
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def home_of_this_process(database: Mapping[str, Any]) -> Home:
    """The home of the tests themselves: processes started in it see the test's rows, files and messages.

    ``database`` is what Django's connection says of itself.
    """
    from django.conf import settings

    variables = {"SHOPQC_BROKER_URL": settings.BROKER_URL}
    name = str(database["NAME"])
    if "sqlite3" in database["ENGINE"]:
        variables["SHOPQC_DATABASE_URL"] = f"sqlite:///{name}"
    else:
        variables["SHOPQC_DATABASE_URL"] = _named(os.environ["SHOPQC_TEST_DATABASE_URL"], name)
    return Home(Path(settings.HOME), variables)


def _broker() -> dict[str, str]:
    url = brokers.another()
    return {"SHOPQC_BROKER_URL": url} if url else {}


@cache
def _migrated_file() -> Path:
    """An SQLite file with every table and no row, made once per test process."""
    from django.conf import settings

    folder = Path(settings.HOME) / "migrated"
    folder.mkdir(exist_ok=True)
    Home(folder).manage("migrate", "--verbosity=0")
    return folder / "shopqc.sqlite3"


@cache
def _migrated_database(server: str) -> str:
    """Name of a PostgreSQL database to copy new ones from."""
    from django.conf import settings

    name = f"migrated_{uuid.uuid4().hex[:12]}"
    _on(server, f"CREATE DATABASE {name}")
    folder = Path(settings.HOME) / "migrated"
    folder.mkdir(exist_ok=True)
    Home(folder, {"SHOPQC_DATABASE_URL": _named(server, name)}).manage("migrate", "--verbosity=0")
    return name


@contextmanager
def _database_on(server: str, template: str = "") -> Iterator[str]:
    name = f"home_{uuid.uuid4().hex[:12]}"
    _on(server, f"CREATE DATABASE {name} TEMPLATE {template or _migrated_database(server)}")
    try:
        yield _named(server, name)
    finally:
        _on(server, f"DROP DATABASE {name} WITH (FORCE)")


def drop_migrated_database() -> None:
    """At the end of a test process: leave nothing on a server that others use too."""
    server = os.environ.get("SHOPQC_TEST_DATABASE_URL", "")
    if server and _migrated_database.cache_info().currsize:
        _on(server, f"DROP DATABASE {_migrated_database(server)} WITH (FORCE)")


def _named(server: str, name: str) -> str:
    return urlsplit(server)._replace(path=f"/{name}").geturl()


def _on(server: str, statement: str) -> None:
    import psycopg

    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(statement)
