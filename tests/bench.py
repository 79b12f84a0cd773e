"""How long the common things take: ``make bench``.

In a folder and an SQLite file of its own; medians, so that one busy moment
does not count. Nothing here is asserted: machines differ.
"""

from __future__ import annotations

import json
import math
import os
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import timedelta
from statistics import median
from typing import Any

REPEAT = 15
COPIES = 2000
MANY = 2000


@dataclass(frozen=True)
class Face:
    """What the picture of a face asks of its characteristic."""

    kind: str = "face_points"
    unit: str = "in"
    part: str = "face"
    parameters: dict[str, Any] = field(default_factory=dict)


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


def timed(what: str, call: Callable[[], object], repeat: int = REPEAT) -> float:
    """Print the median and the worst time of a call; the median in milliseconds."""
    call()
    times = []
    for _ in range(repeat):
        begin = time.perf_counter()
        call()
        times.append((time.perf_counter() - begin) * 1000)
    print(f"{what:<58} {median(times):9.1f} ms {max(times):9.1f} ms")
    return median(times)


def face_of(count: int) -> dict[str, list[list[str]]]:
    """A probed ring with a saddle of 0.003 in, to ten thousandths."""
    turns = [2 * math.pi * place / (count // 2) for place in range(count // 2)]
    return {
        "points": [
            [f"{radius * math.cos(a):.4f}", f"{radius * math.sin(a):.4f}", f"{0.0015 * math.cos(2 * a):.4f}"]
            for radius in (3.95, 5.05)
            for a in turns
        ]
    }


def times_of_pictures(page: Callable[[], object], facts: dict[str, Any]) -> None:
    """A verdict and its picture beside what a request costs anyway; a certificate with pictures or not."""
    from inspections.certificate import render
    from inspections.certificate.pictures import Shown, with_pictures
    from inspections.pictures import picture_of
    from inspections.verdicts import Asked, judge

    raw, asked = face_of(24), Asked("face_points", "in", None, "0.005")
    face = Face()

    def seen() -> object:
        judged = judge(asked, raw)
        return picture_of(face, raw, judged.detail, None, "0.005", judged.value)

    request = timed("a request that shows next to nothing", page)
    verdict = timed("verdict of a 24-point face", lambda: judge(asked, raw))
    both = timed("verdict of a 24-point face with its picture", seen)
    print(f"{'':<58} {both / request:9.2f} of a request, {both / verdict:.1f} times the verdict")
    many = face_of(MANY)
    detail = {"touching": [0, 1, 2, 3], "normal": ["0", "0", "1"]}
    timed(f"picture of a face of {MANY} points", lambda: picture_of(face, many, detail, None, "0.005"))
    shown: list[Shown] = [s for g in with_pictures(facts)["results"] for s in g["pictures"]]
    kilobytes = sum(len(s.picture.svg) for s in shown) / 1000
    timed(f"draw {len(shown)} pictures of a certificate, {kilobytes:.0f} kB", lambda: with_pictures(facts), 5)
    plain = {**facts, "housing": {**facts["housing"], "shape": None}, "results": without(facts["results"])}
    bare = timed("certificate without pictures", lambda: render.render(plain), 5)
    drawn = timed("certificate with pictures", lambda: render.render(facts), 5)
    print(f"{'':<58} {drawn / bare:9.2f} times as long")


def without(results: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Groups of results whose rows have nothing to draw from."""
    bare = [[{k: v for k, v in row.items() if k != "kind"} for row in group["rows"]] for group in results]
    return [{**group, "rows": rows} for group, rows in zip(results, bare, strict=True)]


def main() -> None:
    """Walk a housing, then time what a shop does all day."""
    with a_shop():
        from django.test import Client
        from django.urls import reverse

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
        times_of_pictures(lambda: page("health"), facts)
        many_like(signed, COPIES, whole=200)
        print(f"--- and with {COPIES} more housings ---")
        timed("record one reading", lambda: floor.record(here, floor.reading(here, due, "jig")))
        timed("page of a housing at a station", lambda: page("housing", here.serial))
        timed("list of housings", lambda: page("housings"))
        times_of_the_bench(floor, browser)


def times_of_the_bench(floor: Any, browser: Any) -> None:
    """The bench clock with 60 joints of 10 passes each: anew, unchanged, and by a new process."""
    from django.urls import reverse

    from housings import joint_cooling
    from tests.weld_volume import full_bench

    floor.procedure("snout-4140-250", passes={"least": "12", "most": "14"})
    floor.at -= timedelta(minutes=150)
    full_bench(floor, joints=60, passes=10)
    address = reverse("bench-clock-lines")

    def lines(etag: str = "") -> Any:
        answer = browser.get(address, headers={"if-none-match": etag})
        assert answer.status_code == (304 if etag else 200), answer.status_code
        return answer

    def forgotten() -> None:
        for name in ("_memory_of", "_curve_after", "_window", "_windows_ahead", "_remembered"):
            getattr(joint_cooling, name).cache_clear()
        lines()

    timed("bench clock, 60 joints of 10 passes", lines)
    print(f"{'':<58} {len(lines().content) / 1000:9.1f} kB")
    timed("the same, by a process that has not computed any", forgotten, 5)
    etag = lines()["ETag"]
    timed("the same while nothing has changed", lambda: browser.get(address, headers={"if-none-match": etag}))


if __name__ == "__main__":
    main()
