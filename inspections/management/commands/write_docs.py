"""``manage.py write_docs``: write the tables of README.md and DEVELOPERS.md from the code."""

from __future__ import annotations

import importlib
import pkgutil
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser

import housings.documents
import housings.operations
import inspections.operations
import shopqc.operations
from shopqc.documents import rewritten

DOCUMENTS = ("README.md", "DEVELOPERS.md")


class Command(BaseCommand):
    help = "Write the tables of README.md and DEVELOPERS.md from the code."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--check", action="store_true", help="Write nothing; fail if something would change."
        )

    def handle(self, *args: Any, **options: Any) -> None:
        # Refusals are registered where they are raised, so everything that raises has to be loaded.
        for package in (shopqc.operations, housings.operations, inspections.operations):
            for module in pkgutil.iter_modules(package.__path__):
                importlib.import_module(f"{package.__name__}.{module.name}")
        stale = []
        for name in DOCUMENTS:
            path = settings.BASE_DIR / name
            before = path.read_text()
            after = rewritten(before)
            if after != before:
                stale.append(name)
                if not options["check"]:
                    path.write_text(after)
        if stale and options["check"]:
            raise CommandError(f"{' and '.join(stale)} differ from the code. Run: manage.py write_docs")
        self.stdout.write(f"Written: {', '.join(stale)}." if stale else "The documents agree with the code.")
