"""A restore: into an empty place, all or nothing, and who was erased stays erased."""

import hashlib
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from uuid import UUID

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.files.base import File
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction
from django.db.migrations.loader import MigrationLoader
from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.keeping.archive import UNREADABLE, Archive, Sum, chunks_of, opened
from studio.keeping.remembered import remembered
from studio.keeping.tables import (
    Rows,
    go_on_counting,
    kept_models,
    kept_rows,
    write_rows,
)
from studio.people.models import User

from .erasing import erased_ids, finish_now, forget
from .older import brought_up_to_date

# A disk that is asked to make sure of several files at once makes sure of them together.
AT_ONCE = 8


@dataclass(frozen=True)
class Restored:
    made_at: str
    rows: int
    pictures: int
    erased_again: int
    missing: list[str]
    """Pictures that were lost before the back-up was made."""


class NotEmpty(Refused):
    """Somebody's data is there already."""


def restore(*, file: Path, at: datetime, erasures: Sequence[Path] = ()) -> Restored:
    """Load a back-up. `erasures` are lists of who was erased, beside the one of this place.

    Everything is checked before anything is written: the file to its last byte, that this code
    knows its tables, that the place is empty. Raises `Refused`.
    """
    erased = {
        person: when
        for each in (*erasures, settings.ERASURES_FILE)
        for person, when in remembered(each).items()
    }
    with opened(file) as archive:
        is_older = _is_older(archive)
        _check_is_empty()
        call_command("migrate", verbosity=0, interactive=False)
        with ThreadPoolExecutor(AT_ONCE) as hands:
            # The first that failed raises here.
            put = list(hands.map(lambda each: _put(archive, *each), archive.manifest.files.items()))
        source = brought_up_to_date(archive) if is_older else _as_they_are(archive)
        try:
            again = _load(source, erased)
        except NotEmpty:  # another restore was faster, and the pictures are its own now
            raise
        except Refused:
            _take_back(archive, put)
            raise
        manifest = archive.manifest
    finish_now(at=at)
    return Restored(manifest.made_at, manifest.rows, len(manifest.files), again, manifest.missing)


def _is_older(archive: Archive) -> bool:
    """Whether migrations came since. Raises `Refused` where the back-up has some that came later
    than this code.
    """
    known = set(MigrationLoader(None).disk_migrations or ())
    applied = {(app, name) for app, name in archive.manifest.migrations}
    if unknown := sorted(applied - known):
        message = _(
            "This back-up was made by a newer version of this service (it knows %(migration)s). "
            "Update this one first. Nothing was written."
        )
        raise Refused(message % {"migration": ".".join(unknown[0])})
    ours = {model._meta.app_label for model in kept_models()}
    return any(app in ours for app, _name in known - applied)


def _check_is_empty() -> None:
    there = set(connection.introspection.table_names())
    for model in kept_models():
        if model._meta.db_table in there and model._base_manager.exists():
            message = _(
                "This place is not empty: its database holds rows (%(table)s). A restore goes into "
                "a fresh one only, so that nothing is overwritten. Name another DATABASE_URL, or "
                "move the data of this place away."
            )
            raise NotEmpty(message % {"table": model._meta.verbose_name_plural})


def _put(archive: Archive, name: str, expected: Sum) -> bool:
    """A picture where the database will look for it; False where it lay there already. One that a
    broken-off restore left half written is replaced.
    """
    if default_storage.exists(name):
        with default_storage.open(name) as there:
            digest = hashlib.sha256()
            for chunk in chunks_of(there):
                digest.update(chunk)
        if digest.hexdigest() == expected.sha256:
            return False
        default_storage.delete(name)
    with archive.file(name) as content:
        default_storage.save(name, File(content))
    return True


def _take_back(archive: Archive, put: Sequence[bool]) -> None:
    """No picture stays for a database that doesn't know it: nobody would ever erase it."""
    for name, is_new in zip(archive.manifest.files, put, strict=True):
        if is_new:
            default_storage.delete(name)


@contextmanager
def _as_they_are(archive: Archive) -> Iterator[Rows]:
    yield partial(kept_rows, archive)


def _load(source: AbstractContextManager[Rows], erased: dict[UUID, datetime]) -> int:
    """Every row and every erasure in one transaction; how many people were erased again."""
    try:
        with source as rows, transaction.atomic(durable=True):
            _check_is_empty()
            for model in kept_models():
                write_rows(connection, model, rows(model))
            go_on_counting(connection, kept_models())
            connection.check_constraints()
            return _erase_again(erased)
    except (DatabaseError, ValidationError, *UNREADABLE) as reason:
        message = _("The database did not take this back-up: %(reason)s. Nothing was written.")
        # PostgreSQL adds lines of detail.
        told = str(reason).partition("\n")[0].rstrip(".")
        raise Refused(message % {"reason": told}) from reason


def _erase_again(erased: dict[UUID, datetime]) -> int:
    wanted = User.objects.filter(pk__in=erased.keys() - erased_ids()).select_related("studio")
    people = list(wanted)
    for person in people:
        forget(person=person, by=None, at=erased[person.pk])
    return len(people)
