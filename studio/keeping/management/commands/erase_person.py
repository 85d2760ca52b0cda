"""Erases a person for whoever runs the service: `manage.py erase_person STUDIO SIGN-IN-NAME`."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from studio.errors import Refused
from studio.keeping.services import erase_person
from studio.people.backends import person_named


class Command(BaseCommand):
    help = "Erase a person: names, pictures and words go, pots, ledger and marks stay."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("studio", help="the studio's short name")
        parser.add_argument("sign_in_name")
        parser.add_argument("--sure", action="store_true", help="it can't be undone")

    def handle(self, *args: Any, **options: Any) -> None:
        person = person_named(options["sign_in_name"], options["studio"])
        if person is None or person.studio is None:
            raise CommandError("Nobody has this sign-in name in this studio. Check both.")
        if not options["sure"]:
            raise CommandError(
                f"This erases {person.name} ({person.get_role_display()}) for good. "
                "Say it again with --sure."
            )
        try:
            erase_person(person=person, by=None, at=timezone.now())
        except Refused as refusal:
            raise CommandError(str(refusal)) from None
        self.stdout.write("Erased. Older back-ups still hold this person; a restore erases again.")
