"""``manage.py demo``: an invented shop, loaded through the real doors and served until Ctrl-C."""

from __future__ import annotations

import signal
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from fixtures_demo import processes, set_up, steel, tales, walk
from fixtures_demo.bench_now import BENCH
from fixtures_demo.client import Client
from fixtures_demo.progress import Progress


def _by_pin(person: dict[str, Any]) -> str:
    return "badge {badge}  PIN {pin}".format(**person)


class Command(BaseCommand):
    help = "Load an invented shop through the real operations and the real API, then serve it until Ctrl-C."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--port", type=int, default=8000, help="The port to serve at, or the next free one."
        )
        parser.add_argument("--load-only", action="store_true", help="Stop once everything is loaded.")

    def handle(self, *args: Any, **options: Any) -> None:
        # However we are asked to stop, what we started is stopped with us.
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            signal.signal(number, signal.default_int_handler)
        call_command("migrate", verbosity=0)
        port = processes.free_port(options["port"])
        address = f"http://127.0.0.1:{port}"
        progress = Progress(settings.HOME / "demo-progress.json")
        set_up.set_up(progress)
        try:
            with processes.running(address, port, settings.HOME):
                self.stdout.write("Loading the invented shop; the first time takes about two minutes.")
                steel.receive(progress, address)
                set_up.ask_for_welds(progress)
                serials = walk.place_orders(progress, address, revision=1)
                set_up.publish_second_route(progress)
                serials |= walk.place_orders(progress, address, revision=2)
                walk.try_refused_orders(progress, address)
                walks = walk.walk_all(progress, address, serials, self.stdout.write)
                tales.tell(progress, address, walks, self.stdout.write)
                papers = self._keep_papers(progress, address, serials)
                tales.bring_to_the_bench(walks)
                self._print_screen(progress, address, papers, walks)
                if not options["load_only"]:
                    self._serve()
        except KeyboardInterrupt:
            pass
        self.stdout.write("Stopped. Run it again and it goes on where it was; make demo-reset begins anew.")

    def _keep_papers(self, progress: Progress, address: str, serials: dict[str, list[str]]) -> Path:
        """Copies of the PDFs, as a person would save them."""
        papers: Path = settings.HOME / "papers"
        papers.mkdir(exist_ok=True)
        desk = Client(address, set_up.key_of(progress, "QC desk"))

        def keep(serial: str) -> None:
            path = papers / f"traveler-{serial}.pdf"
            if not path.exists():
                path.write_bytes(desk.get_file(f"/housings/{serial}/traveler.pdf"))

        # Each takes seconds to lay out, and the web server has two workers.
        with ThreadPoolExecutor(max_workers=2) as both:
            list(both.map(keep, (serial for several in serials.values() for serial in several)))
        for step, answer in progress.answers.items():
            if step.endswith((" sign-off", " sign-off again")):
                path = papers / f"certificate-{answer['certificate']}.pdf"
                path.write_bytes(desk.get_file(f"/certificates/{answer['certificate']}/file"))
        return papers

    def _print_screen(
        self, progress: Progress, address: str, papers: Path, walks: dict[str, walk.Walk]
    ) -> None:
        people = {person["stamp"]: person for person in set_up.SHOP["people"]}
        token = progress.answers[f"token {set_up.SHOP['devices'][0]['name']}"]
        code = next(a["code"] for step, a in progress.answers.items() if step.endswith(" sign-off"))
        rows = [
            ("Shop", address + "/"),
            ("Owner", "badge {badge}  password {password}".format(**people["O1"])),
            ("QC lead", "badge {badge}  password {password}".format(**people["Q1"])),
            ("Engineer", "badge {badge}  password {password}".format(**people["E1"])),
            ("Welder", _by_pin(people["W1"]) + "  (a PIN works on a registered device:"),
            ("", f"open {address}/device/{token}/ once in this browser)"),
            ("", _by_pin(people["W2"]) + "  (the second welder)"),
            ("", _by_pin(people["W3"]) + "  (out of continuity: the bench refuses him)"),
            ("Inspector", _by_pin(people["V1"]) + "  (looks at welds and tests them)"),
            ("Machinist", _by_pin(people["M1"])),
            ("Snout bench", address + "/weld/"),
            ("Customer", f"{address}/c/{code}/"),
            ("Order system", f"API key {set_up.key_of(progress, 'order system')}"),
            ("Papers", str(papers)),
            ("Stop", "Ctrl-C"),
        ]
        self.stdout.write("")
        for name, text in rows:
            self.stdout.write(f"  {name:<13} {text}")
        self.stdout.write("\n  Housings, and what each is there for:")
        for one in walks.values():
            self.stdout.write(f"  {one.serial:<13} {one.walk['tale']}")
        self._print_welding(progress, walks)
        self.stdout.write("")

    def _print_welding(self, progress: Progress, walks: dict[str, walk.Walk]) -> None:
        """What the snout bench showed as it was loaded, who was refused there, which heat was recalled."""
        loaded_at = timezone.localtime(tales.bench_loaded_at(progress, walks))
        self.stdout.write(
            f"\n  The snout bench as it was loaded at {loaded_at:%H:%M}; its joints have cooled since:"
        )
        for label, joints in BENCH.items():
            for joint, shown in joints.items():
                side = joint.rpartition("_")[2]
                self.stdout.write(f"  {walks[label].serial:<13} The {side} snout {shown.now}.")
        stamp = tales.LAPSED["stamp"]
        self.stdout.write(
            f"\n  Welder {stamp} was refused there: {progress.answers[f'refused welder {stamp}'][-1]}"
        )
        serials = ", ".join(steel.recalled_serials(walks))
        self.stdout.write(f"  Heat {steel.RECALLED['heat']} was recalled; it is in {serials}.")

    def _serve(self) -> None:
        while True:
            time.sleep(3600)
