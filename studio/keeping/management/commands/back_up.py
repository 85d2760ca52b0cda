"""Writes everything into one file: `manage.py back_up FILE`."""

from argparse import ArgumentParser
from pathlib import Path
from time import monotonic
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from studio.errors import Refused
from studio.keeping.services import back_up

KEEP_IT = (
    "It holds names, marks, private reasons and pictures: keep it as you would the register, and "
    "not on this machine only. The secret key is not in it, nor who is signed in: after a restore "
    "everybody signs in again. Keep the list of who was erased ({erasures}) apart from it."
)


class Command(BaseCommand):
    help = "Write the database and all pictures into one new file, while the service may run."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "file", type=Path, help="a file that isn't there yet, such as monday.zip"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        start = monotonic()
        try:
            made = back_up(file=options["file"].absolute(), at=timezone.now())
        except Refused as refusal:
            raise CommandError(str(refusal)) from None
        except OSError as reason:
            raise CommandError(f"No back-up was made: {reason}.") from None
        self.stdout.write(
            f"{made.file}: {made.rows} rows and {made.pictures} picture files, "
            f"{made.bytes / 1e6:.1f} MB in {monotonic() - start:.1f} s."
        )
        self.stdout.write(KEEP_IT.format(erasures=settings.ERASURES_FILE))
        if made.missing:
            names = "\n  ".join(made.missing)
            raise CommandError(
                f"The back-up is written, but the storage lacks {len(made.missing)} picture files "
                f"that the database names. Look for them in an older back-up:\n  {names}"
            )
