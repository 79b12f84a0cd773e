"""The harness itself: web server and worker run as processes and can be killed at a chosen point."""

import os
import signal
import urllib.request
from contextlib import suppress

import pytest

from shopqc.models import Counter
from tests.harness.ports import wait_until
from tests.harness.processes import wait_until_paused, web, worker


def answer_of(url):
    with urllib.request.urlopen(url, timeout=30) as answer:
        return answer.status


def group_is_alive(pid):
    with suppress(ProcessLookupError):
        os.killpg(pid, 0)
        return True
    return False


def test_a_home_has_every_table_and_no_row(home):
    assert home.ask("from shopqc.models import LedgerEntry as L; answer = L.objects.count()") == 0


def test_a_web_server_answers_and_ends_with_all_its_processes(home):
    with web(home) as server:
        assert answer_of(f"{server.url}/health/") == 200
        pid = server.program.process.pid
    assert not group_is_alive(pid)


def test_a_worker_can_be_killed_at_a_fixed_point(home):
    with worker(home, pause="before shopqc.dispatch.sweep") as paused:
        wait_until_paused(home, paused)
        paused.kill_group()
        assert paused.process.returncode == -signal.SIGKILL
    with worker(home) as again:
        assert again.running


def test_a_worker_does_what_the_embedded_or_named_broker_rings_for(home):
    with worker(home) as program:
        program.wait_for("Task shopqc.sweep[")
        assert "received" in program.output


def test_the_web_server_of_the_tests_sees_their_rows(site, shared_home):
    Counter.objects.create(series="seen", value=7)
    assert answer_of(f"{site.url}/health/") == 200
    asked = "from shopqc.models import Counter as C; answer = C.objects.get(series='seen').value"
    assert shared_home.ask(asked) == 7


def test_waiting_for_what_never_comes_says_what_it_was():
    with pytest.raises(TimeoutError, match="the moon"):
        wait_until(lambda: False, what="the moon", seconds=0.1)
