"""A back-up: the database at one moment and every picture it refers to, in one file.

The service may go on running. What matters is that a picture which was taken is never lost in
between: files are written once, so they are copied after the moment; an original that was waiting
to be read then, and was read since, stands in the back-up as the picture that it became.
"""

import fcntl
import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import SpooledTemporaryFile
from typing import IO, Any

from django.core.files.storage import default_storage
from django.utils.translation import gettext as _

from planning.models import Scan
from studio.errors import Refused
from studio.keeping.archive import Manifest, Writer, line_of
from studio.keeping.remembered import flush_folder
from studio.keeping.tables import applied_migrations, columns, kept_models, one_moment, rows_of
from studio.uploads.models import StoredImage

from .erasing import finish_erasures

ATTEMPTS = 5
IN_MEMORY = 64 << 20


@dataclass(frozen=True)
class BackUp:
    file: Path
    rows: int
    pictures: int
    bytes: int
    missing: list[str]
    """Pictures that the database names and nobody can find."""


class _Erased(Exception):  # noqa: N818 -- says what happened
    """Somebody was erased since the moment that was taken."""


def back_up(*, file: Path, at: datetime) -> BackUp:
    """Write a back-up to a file that doesn't exist yet. It is there whole or not at all."""
    finish_erasures(at=at)
    part = file.with_name(file.name + ".part")
    _check_is_new(file)
    with _held(part) as out:
        try:
            manifest = _write_until_it_agrees(out, at)
            out.flush()
            os.fsync(out.fileno())
            size = out.tell()
            _check_is_new(file)
            part.rename(file)
        except BaseException:
            part.unlink(missing_ok=True)
            raise
    flush_folder(file.parent)
    return BackUp(file, manifest.rows, len(manifest.files), size, manifest.missing)


def _check_is_new(file: Path) -> None:
    if not file.parent.is_dir():
        raise Refused(_("There is no folder %(folder)s.") % {"folder": file.parent})
    if file.exists():
        message = _("%(file)s is there already. Name a new file; nothing is overwritten.")
        raise Refused(message % {"file": file})


@contextmanager
def _held(part: Path) -> Iterator[IO[bytes]]:
    """The file under its temporary name, ours alone; what a killed back-up left is used again."""
    with os.fdopen(os.open(part, os.O_RDWR | os.O_CREAT, 0o600), "r+b") as out:
        try:
            fcntl.flock(out, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            message = _("Another back-up is being written to %(file)s. Wait for it.")
            raise Refused(message % {"file": part}) from None
        yield out


def _write_until_it_agrees(out: IO[bytes], at: datetime) -> Manifest:
    for _attempt in range(ATTEMPTS):
        out.seek(0)
        out.truncate()
        try:
            return _write(out, at)
        except _Erased:
            continue
    raise Refused(_("People are being erased at this moment. Make the back-up afterwards."))


def _write(out: IO[bytes], at: datetime) -> Manifest:
    writer = Writer(out, Manifest(at.isoformat(), []))
    try:
        with SpooledTemporaryFile(IN_MEMORY) as images:
            _write_tables(writer, images)
            _copy_pictures(writer, images)
        writer.finish()
    except BaseException:
        writer.abandon()
        raise
    return writer.manifest


def _write_tables(writer: Writer, images: IO[bytes]) -> None:
    with one_moment():
        writer.manifest.migrations = applied_migrations()
        for model in kept_models():
            if model is not StoredImage:
                writer.table(model._meta.label, map(line_of, rows_of(model)))
        waiting = _lay_aside(images)
        scans = list(Scan.objects.filter(state=Scan.State.RECEIVED))
    for scan in scans:
        _copy_scan(writer, scan)
    for row in waiting:
        images.write(line_of(_with_its_original(writer, row)))
    images.seek(0)
    writer.table(StoredImage._meta.label, images)


def _lay_aside(images: IO[bytes]) -> list[list[Any]]:
    """The table of pictures into a temporary file, but for those that wait to be read."""
    waiting, state = [], columns(StoredImage).index("state")
    for row in rows_of(StoredImage):
        if row[state] == StoredImage.State.RECEIVED:
            waiting.append(row)
        else:
            images.write(line_of(row))
    return waiting


def _with_its_original(writer: Writer, row: list[Any]) -> list[Any]:
    """A picture's row with its original in the back-up; the row of now where it was read since."""
    names = columns(StoredImage)
    before = StoredImage(**dict(zip(names, row, strict=True)))
    # What a job makes of another picture has no original; the job is in the back-up too.
    if not before.quarantine_file or _copied(writer, before.quarantine_file):
        return row
    now = StoredImage.objects.filter(pk=before.pk).values_list(*names).first()
    if now is None:
        raise _Erased
    if now[names.index("state")] == StoredImage.State.RECEIVED:
        writer.manifest.missing.append(before.quarantine_file)
    return list(now)


def _copy_scan(writer: Writer, before: Scan) -> None:
    """Its file, from which it is read on where it is restored. Where it was read to its end since,
    the file is gone, and there its page asks for it once more: no page of it is taken twice."""
    if _copied(writer, before.quarantine_file):
        return
    if Scan.objects.filter(pk=before.pk, state=Scan.State.RECEIVED).exists():
        writer.manifest.missing.append(before.quarantine_file)


def _copy_pictures(writer: Writer, images: IO[bytes]) -> None:
    """The files of every picture that is ready in the table just written."""
    images.seek(0)
    names = json.loads(images.readline())
    for line in images:
        row = dict(zip(names, json.loads(line), strict=True))
        for name in {row["full_file"], row["small_file"]} - {""} - writer.manifest.files.keys():
            if _copied(writer, name):
                continue
            if not StoredImage.objects.filter(pk=row["id"]).exists():
                raise _Erased
            writer.manifest.missing.append(name)


def _copied(writer: Writer, name: str) -> bool:
    try:
        content = default_storage.open(name)
    except FileNotFoundError:
        return False
    with content:
        writer.file(name, content)
    return True
