"""Loads a back-up into an empty place: `manage.py restore FILE`."""

from argparse import ArgumentParser
from pathlib import Path
from time import monotonic
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from studio.errors import Refused
from studio.keeping.services import restore


class Command(BaseCommand):
    help = "Load a back-up into a fresh place: all of it, or nothing."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="what back_up wrote")
        parser.add_argument(
            "--erasures",
            type=Path,
            action="append",
            default=[],
            metavar="LIST",
            help="a list of who was erased, from the place that was lost; this place's own is read "
            "anyway",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        start = monotonic()
        lists = options["erasures"]
        if gone := [each for each in lists if not each.is_file()]:
            raise CommandError(f"There is no file {gone[0]}.")
        try:
            done = restore(file=options["file"], at=timezone.now(), erasures=lists)
        except Refused as refusal:
            raise CommandError(str(refusal)) from None
        except OSError as reason:
            raise CommandError(f"The database is still empty: {reason}. Try again.") from None
        self.stdout.write(
            f"Restored what was there on {done.made_at[:16].replace('T', ' ')} UTC: {done.rows} "
            f"rows and {done.pictures} picture files, in {monotonic() - start:.1f} s."
        )
        if done.erased_again:
            self.stdout.write(
                f"People erased since the back-up, and again now: {done.erased_again}."
            )
        if done.missing:
            self.stdout.write(f"Picture files that were missing already then: {len(done.missing)}.")
        self.stdout.write("Everybody signs in again, with the passwords of that day.")
