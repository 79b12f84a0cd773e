"""``manage.py set_up NAME``: an empty shop with its first owner, the default route and the default plan."""

from __future__ import annotations

import getpass
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from inspections.first_shop import open_shop
from shopqc.refusals import Refused
from shopqc.secret import Secret


class Command(BaseCommand):
    help = "Set up an empty shop: its name, its first owner, the default route and the default plan."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="The name of the shop, as it stands on every page and paper.")
        parser.add_argument("--badge", default="1", help="Badge of the first owner.")
        parser.add_argument("--owner", help="Name of the first owner; asked for if left out.")
        parser.add_argument(
            "--password-stdin", action="store_true", help="Read the owner's password from standard input."
        )

    def handle(self, *args: Any, **options: Any) -> None:
        owner = options["owner"] or input("Name of the first owner: ")
        password = (
            input() if options["password_stdin"] else getpass.getpass("Password (10 characters or more): ")
        )
        try:
            open_shop(
                name=options["name"],
                badge=options["badge"],
                owner=owner,
                password=Secret(password),
                at=timezone.now(),
            )
        except Refused as refused:
            raise CommandError(" ".join(refused.sentences)) from refused
        self.stdout.write(
            f"{options['name']} is set up. Sign in with badge {options['badge']} and the password; "
            "then add people, customers and gauges."
        )
