"""``manage.py recompute``: judge every stored reading again by the engine that judged it."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from housings.models import Housing
from inspections.models import Reading
from inspections.recomputing import recomputed

MOST_LISTED = 200


class Command(BaseCommand):
    help = (
        "Judge every stored reading again from its raw figures, by its own engine and with its own basis; "
        "exit 1 if a verdict or one of twelve digits comes out otherwise."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--housing", metavar="SERIAL", help="Only the readings of this housing.")

    def handle(self, *args: Any, **options: Any) -> None:
        readings = Reading.objects.order_by("housing", "record_position", "place")
        if serial := options["housing"]:
            if not Housing.objects.filter(serial=serial).exists():
                raise CommandError(f"There is no housing {serial}.")
            readings = readings.filter(housing__serial=serial)
        count = differences = 0
        for found in recomputed(readings):
            count += 1
            if not found.difference:
                continue
            differences += 1
            if differences <= MOST_LISTED:
                reading = found.reading
                self.stderr.write(
                    f"{reading.housing.serial} {reading.characteristic.code} {reading.pk}: {found.difference}"
                )
        if differences > MOST_LISTED:
            self.stderr.write(f"… and {differences - MOST_LISTED} more.")
        if differences:
            raise CommandError(f"{differences} of {count} readings come out otherwise.")
        self.stdout.write(f"All readings come out the same: {count}.")
