"""Readings from several devices at once, while the web server is killed under them."""

import threading
import time
import uuid

import httpx
import pytest

from inspections.models import Reading
from shopqc import ledger
from tests.factories import Floor
from tests.harness.ports import free_port
from tests.harness.processes import web
from tests.soak.times import rounds

DEVICES = 4


class Tablet(threading.Thread):
    """Sends readings of one housing, each under its own key, again until it hears an answer."""

    def __init__(self, address, key, serial, reading, stop):
        super().__init__(daemon=True)
        self.address = f"{address}/api/v1/housings/{serial}/readings"
        self.key, self.reading, self.stop = key, reading, stop
        self.kept, self.repeated, self.refused = [], 0, []

    def run(self):
        with httpx.Client(timeout=30) as client:
            while not self.stop.is_set():
                self.send(client, str(uuid.uuid4()))

    def send(self, client, name):
        body = {"readings": [{**self.reading, "id": name}]}
        headers = {"Authorization": f"Bearer {self.key}", "Idempotency-Key": name}
        while True:
            try:
                answer = client.post(self.address, json=body, headers=headers)
            except httpx.TransportError:
                self.repeated += 1
                time.sleep(0.1)
                continue
            if answer.status_code == 503:
                self.repeated += 1
                time.sleep(0.2)
                continue
            if answer.is_success:
                self.kept.append(name)
            else:
                self.refused.append((answer.status_code, answer.text[:500]))
                self.stop.set()
            return


@pytest.mark.soak
@pytest.mark.django_db(transaction=True)
def test_what_a_device_was_told_is_kept_is_kept_once(shared_home):
    floor = Floor()
    key, _ = floor.api_key("readings", stamp="M1")
    port, stop = free_port(), threading.Event()
    tablets = []
    for _ in range(DEVICES):
        housing = floor.housing(until="jig")
        floor.work(housing, "jig")
        due = floor.measured(housing).due_at("jig")[0].characteristic
        reading = floor.reading(housing, due, "jig")
        tablets.append(Tablet(f"http://127.0.0.1:{port}", key, housing.serial, reading, stop))
    for tablet in tablets:
        tablet.start()
    for number in rounds():
        with web(shared_home, port=port) as server:
            time.sleep(1 + number % 3)
            server.program.kill_group()
    with web(shared_home, port=port):
        time.sleep(1)
        stop.set()
        for tablet in tablets:
            tablet.join(120)
    assert [tablet.refused for tablet in tablets] == [[]] * DEVICES
    assert all(tablet.kept for tablet in tablets)
    assert sum(tablet.repeated for tablet in tablets), "no kill interrupted anybody, so nothing was tried"
    kept = sorted(name for tablet in tablets for name in tablet.kept)
    assert sorted(map(str, Reading.objects.filter(id__in=kept).values_list("id", flat=True))) == kept
    assert Reading.objects.count() == len(kept)
    assert ledger.verify().faults == ()
