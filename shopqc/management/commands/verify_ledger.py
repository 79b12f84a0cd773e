"""``manage.py verify_ledger``: recompute the whole record book."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shopqc import ledger


class Command(BaseCommand):
    help = "Recompute every line of the record book, every fact and every head; exit 1 if one disagrees."

    def handle(self, *args: Any, **options: Any) -> None:
        found = ledger.verify()
        for fault in found.faults:
            self.stderr.write(str(fault))
        counted = f"{found.lines} lines in {found.chains} chains, {found.facts} facts"
        if found.faults:
            raise CommandError(f"The record book does not agree: {len(found.faults)} faults in {counted}.")
        self.stdout.write(f"The record book agrees: {counted}.")
