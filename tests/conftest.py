"""What every test may ask for, and what no test can switch off."""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from typing import Any

import pytest
from django.conf import settings as django_settings
from django.db import connection
from django.test import TransactionTestCase

from shopqc import append_only
from tests.harness import found, homes, network, processes
from tests.harness.homes import Home

pytest_plugins = ["tests.published_plugin", "tests.harness.left_out"]

TOUCHES_DATABASE = {
    "db",
    "transactional_db",
    "django_db_setup",
    "live_server",
    "home",
    "old_home",
    "shared_home",
    "site",
}


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--database-only",
        action="store_true",
        help="only tests that touch a database, and not again those that only look at pages in a browser",
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if not config.getoption("--database-only"):
        return
    kept = [item for item in items if _touches_database(item)]
    config.hook.pytest_deselected(items=[item for item in items if item not in set(kept)])
    items[:] = kept


def _touches_database(item: pytest.Item) -> bool:
    names = set(getattr(item, "fixturenames", ()))
    if "browser" in names:
        return False
    return item.get_closest_marker("django_db") is not None or bool(names & TOUCHES_DATABASE)


def pytest_unconfigure() -> None:
    with contextlib.suppress(Exception):
        homes.drop_migrated_database()
    if django_settings.configured:
        shutil.rmtree(django_settings.HOME, ignore_errors=True)


@pytest.fixture(autouse=True, scope="session")
def _only_this_machine() -> Iterator[None]:
    with network.only_this_machine():
        yield


@pytest.fixture(autouse=True, scope="session")
def _flush_lifts_seals() -> Iterator[None]:
    """After a test with real transactions every table is emptied; sealed ones would refuse."""
    teardown = TransactionTestCase._fixture_teardown  # type: ignore[attr-defined]

    def lifting_teardown(case: TransactionTestCase) -> None:
        with append_only.lifted():
            teardown(case)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TransactionTestCase, "_fixture_teardown", lifting_teardown)
        yield


@pytest.fixture
def home() -> Iterator[Home]:
    """A home with an empty database of its own, for processes that share nothing with the test."""
    with homes.new_home() as made:
        yield made


@pytest.fixture
def shared_home(transactional_db: None) -> Home:
    """The test's own database, files and broker, as processes see them: rows can be made and read here."""
    return homes.home_of_this_process(connection.settings_dict)


@pytest.fixture(scope="session")
def _site(django_db_setup: None, django_db_blocker: Any) -> Iterator[processes.Web]:
    with django_db_blocker.unblock():
        here = homes.home_of_this_process(connection.settings_dict)
    with processes.web(here) as web:
        yield web


@pytest.fixture
def site(_site: processes.Web, transactional_db: None) -> processes.Web:
    """A web server over the test's own database; it stays up between tests, the rows do not."""
    return _site


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Chromium, started once."""
    if found.chromium() is None:
        pytest.skip("chromium is not here")
    from tests.harness.browser import chromium_browser

    with chromium_browser() as started:
        yield started


@pytest.fixture
def open_page(browser: Any) -> Iterator[Callable[..., Any]]:
    """``open_page(device="phone", scripts=True, **options)``: a new page in a browser of its own.

    A script error, or something the page's security policy refused, fails the test.
    """
    from tests.harness.browser import Faults, context_of

    faults = Faults()
    with ExitStack() as contexts:

        def open_one(device: str = "phone", *, scripts: bool = True, **options: Any) -> Any:
            context = context_of(browser, device, faults, scripts=scripts, **options)
            return contexts.enter_context(context).new_page()

        yield open_one
    assert not faults.seen, "\n".join(faults.seen)


@pytest.fixture
def phone(open_page: Callable[..., Any]) -> Any:
    """A page on a phone."""
    return open_page("phone")


@pytest.fixture
def tablet(open_page: Callable[..., Any]) -> Any:
    """A page on a tablet at a station."""
    return open_page("tablet")


@pytest.fixture
def desktop(open_page: Callable[..., Any]) -> Any:
    """A page on a desk."""
    return open_page("desktop")


@pytest.fixture
def without_scripts(open_page: Callable[..., Any]) -> Any:
    """A page on a phone that runs no scripts."""
    return open_page("phone", scripts=False)


@pytest.fixture(scope="session")
def private_redis() -> Iterator[str]:
    """A Redis that a test may break."""
    from tests.harness.services import private_redis as start

    if found.program("redis-server") is None:
        pytest.skip("redis-server is not here")
    with start() as url:
        yield url


@pytest.fixture
def needs_program() -> Callable[[str], str]:
    """``needs_program("qpdf")``: where it is; the test is left out without it."""

    def path_of(name: str) -> str:
        path = found.program(name)
        if path is None:
            pytest.skip(f"{name} is not here")
        return os.fspath(path)

    return path_of
