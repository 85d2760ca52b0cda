"""Make a studio and its head: `manage.py create_studio --name … --slug … --head …`."""

import getpass
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from studio.errors import Refused
from studio.people.services import create_studio


class Command(BaseCommand):
    help = "Make a studio with its head. Without --ask-password a first password is printed."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--name", required=True, help="the studio's name")
        parser.add_argument("--slug", required=True, help="short name for the sign-in address")
        parser.add_argument("--head", required=True, help='the head, such as "Ines Halloran"')
        parser.add_argument("--sign-in-name", default="", help="else made from the name")
        parser.add_argument("--time-zone", default="UTC", help="such as Europe/Amsterdam")
        parser.add_argument("--ask-password", action="store_true", help="type it, unseen")

    def handle(self, *args: Any, **options: Any) -> None:
        given, _, family = options["head"].strip().rpartition(" ")
        password = getpass.getpass("Password of the head: ") if options["ask_password"] else None
        try:
            made = create_studio(
                name=options["name"],
                slug=options["slug"],
                head_given_name=given or family,
                head_family_name=family if given else "",
                head_username=options["sign_in_name"],
                password=password,
                time_zone=options["time_zone"],
                at=timezone.now(),
            )
        except Refused as refusal:
            raise CommandError(" ".join(each.message for each in refusal.problems)) from None
        self.stdout.write(f"Studio: {options['name']} ({options['slug'].lower()})")
        self.stdout.write(f"Sign-in name: {made.person.username}")
        if made.first_password:
            self.stdout.write(f"First password, for 14 days: {made.first_password}")
