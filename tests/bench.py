"""How long the common things take: ``make bench``.

In a folder and an SQLite file of its own; medians, so that one busy moment
does not count. Nothing here is asserted: machines differ.
"""

from __future__ import annotations

import json
import os
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from statistics import median

REPEAT = 15
COPIES = 2000


@contextmanager
def a_shop() -> Iterator[None]:
    """Django over an empty, migrated database in a folder that goes away again."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    import django

    django.setup()
    from django.conf import settings
    from django.core.management import call_command

    try:
        call_command("migrate", verbosity=0)
        yield
    finally:
        shutil.rmtree(settings.HOME, ignore_errors=True)


def timed(what: str, call: Callable[[], object], repeat: int = REPEAT) -> None:
    """Print the median and the worst time of a call."""
    call()
    times = []
    for _ in range(repeat):
        begin = time.perf_counter()
        call()
        times.append((time.perf_counter() - begin) * 1000)
    print(f"{what:<58} {median(times):9.1f} ms {max(times):9.1f} ms")


def main() -> None:
    """Walk a housing, then time what a shop does all day."""
    with a_shop():
        from django.test import Client
        from django.urls import reverse

        from inspections.certificate import render
        from inspections.models import SignOff
        from tests.factories import Floor
        from tests.volume import many_like

        floor = Floor()
        signed = floor.housing(until="signed")
        here = floor.housing(until="jig")
        floor.work(here, "jig")
        due = floor.measured(here).due_at("jig")[0].characteristic
        browser = Client(headers={"host": "localhost"})
        browser.force_login(floor.person("Q1"))

        def page(name: str, *arguments: str) -> None:
            answer = browser.get(reverse(name, args=arguments))
            assert answer.status_code == 200, (name, answer.status_code)

        facts = json.loads(SignOff.objects.get().facts)

        print(f"{'':<58} {'median':>12} {'worst':>12}")
        timed("walk a new housing through its whole route and sign", lambda: floor.housing("signed"), 3)
        timed("order and release one housing", floor.order)
        timed("record one reading", lambda: floor.record(here, floor.reading(here, due, "jig")))
        timed("page of a housing at a station", lambda: page("housing", here.serial))
        timed("draw a certificate", lambda: render.render(facts), 5)
        many_like(signed, COPIES, whole=200)
        print(f"--- and with {COPIES} more housings ---")
        timed("record one reading", lambda: floor.record(here, floor.reading(here, due, "jig")))
        timed("page of a housing at a station", lambda: page("housing", here.serial))
        timed("list of housings", lambda: page("housings"))


if __name__ == "__main__":
    main()
