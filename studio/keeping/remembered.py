"""The file that remembers who was erased, apart from the database and from every back-up of it.

One line a person: when, and the id that means nothing without the database. Lines are only ever
added; it holds no names.
"""

import fcntl
import os
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from uuid import UUID

from django.utils.translation import gettext as _

from studio.errors import Refused


def remembered(file: Path) -> dict[UUID, datetime]:
    """Person and time of each line; empty where there is no file yet.

    A last line that a power cut broke off is left out, and written again from the database.
    Raises `Refused` for any other line that can't be read: nobody may be forgotten for a slip.
    """
    try:
        text = file.read_text("ascii")
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError) as reason:
        message = _("%(file)s, the list of who was erased, can't be read: %(reason)s.")
        raise Refused(message % {"file": file, "reason": reason}) from None
    whole, _newline, _broken_off = text.rpartition("\n")
    found: dict[UUID, datetime] = {}
    for number, line in enumerate(whole.split("\n"), start=1):
        if not line.strip():
            continue
        try:
            at, person = line.split()
            found[UUID(person)] = datetime.fromisoformat(at)
        except ValueError:
            message = _(
                "Line %(number)s of %(file)s, the list of who was erased, can't be read. "
                "Put it right; it is a time and an id."
            )
            raise Refused(message % {"number": number, "file": file}) from None
    return found


def remember(file: Path, erased: Iterable[tuple[UUID, datetime]]) -> None:
    """Add those that aren't in it yet, on disk before this returns. Raises OSError."""
    wanted = dict(erased)
    if not wanted.keys() - remembered(file).keys():
        return
    file.parent.mkdir(parents=True, exist_ok=True)
    with file.open("a+b") as held:
        fcntl.flock(held, fcntl.LOCK_EX)  # let go when it is closed
        known = remembered(file)
        held.seek(0)
        held.truncate(held.read().rfind(b"\n") + 1)  # what a power cut broke off
        for person, at in wanted.items():
            if person not in known:
                held.write(f"{at.isoformat()} {person}\n".encode("ascii"))
        held.flush()
        os.fsync(held.fileno())
    file.chmod(0o600)
    flush_folder(file.parent)


def check_can_remember(file: Path) -> None:
    """Before anybody is erased. Raises `Refused` where the file can't be written to."""
    remembered(file)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("ab"):
            pass
    except OSError as reason:
        message = _(
            "Nobody was erased: %(file)s, the list of who was erased, can't be written to "
            "(%(reason)s). Tell the person who looks after this service."
        )
        raise Refused(message % {"file": file, "reason": reason.strerror}) from None


def flush_folder(folder: Path) -> None:
    """A new name in a folder survives a power cut only once the folder is on disk."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
