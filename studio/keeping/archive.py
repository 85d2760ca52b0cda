"""The file of a back-up: a ZIP that holds each table as lines of JSON, the pictures, and a manifest
with the length and the SHA-256 of everything else. It knows no database and no model.

`tables/<app>.<Model>.jsonl`   first line the columns, then a list for each row; deflated
`files/<name in the storage>`  as it is
`manifest.json`                the last thing written: without it a file is none of ours
"""

import hashlib
import json
import re
import struct
import zlib
from base64 import b64encode
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import IO, Any
from uuid import UUID
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from django.utils.translation import gettext as _

from studio.errors import Refused

FORMAT = "coilcourse back-up"
VERSION = 1
MANIFEST = "manifest.json"
CHUNK = 1 << 20
# Rows of one table are much alike, yet a file that unfolds to more than this is made to do harm.
MOST_UNFOLDING = 200
MANIFEST_MOST = 256 << 20
UNFOLDED_ANYWAY = 64 << 20

_LABEL = re.compile(r"[a-z_]+\.[A-Za-z_]+")
# Names in the storage: no step upwards, nothing absolute, nothing hidden.
_NAME = re.compile(r"(?:[A-Za-z0-9][A-Za-z0-9._-]*/)*[A-Za-z0-9][A-Za-z0-9._-]*")


class Damaged(Refused):
    """The file is cut short, altered, or no back-up at all."""

    def __init__(self, what: str) -> None:
        message = _(
            "This file is damaged or no back-up of this service (%(what)s). Nothing was written. "
            "Take another back-up."
        )
        super().__init__(message % {"what": what})


@dataclass(frozen=True)
class Sum:
    """What an entry must turn out to be."""

    bytes: int
    sha256: str
    rows: int = 0


@dataclass
class Manifest:
    made_at: str
    migrations: list[list[str]]  # [app, name] of each that was applied
    tables: dict[str, Sum] = field(default_factory=dict)
    files: dict[str, Sum] = field(default_factory=dict)
    missing: list[str] = field(default_factory=list)  # named by the database, not in the storage

    @property
    def rows(self) -> int:
        return sum(table.rows for table in self.tables.values())


def as_json(value: object) -> str:
    """What a column may hold beyond plain JSON, in text that `field.to_python` reads back."""
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, UUID | Decimal):
        return str(value)
    if isinstance(value, bytes | memoryview):  # the one is SQLite's, the other PostgreSQL's
        return b64encode(value).decode()
    raise TypeError(f"{type(value).__name__} has no place in a back-up")


def line_of(values: Iterable[Any]) -> bytes:
    return json.dumps(list(values), default=as_json, separators=(",", ":")).encode() + b"\n"


class Writer:
    """Writes entries one after the other; `finish` makes it a back-up."""

    def __init__(self, out: IO[bytes], manifest: Manifest) -> None:
        self.manifest = manifest
        self._zip = ZipFile(out, "w", ZIP_STORED)

    def table(self, label: str, lines: Iterable[bytes]) -> None:
        """`lines`: the columns, then the rows."""
        self.manifest.tables[label] = self._entry(f"tables/{label}.jsonl", ZIP_DEFLATED, lines)

    def file(self, name: str, content: IO[bytes]) -> None:
        self.manifest.files[name] = self._entry(f"files/{name}", ZIP_STORED, chunks_of(content))

    def finish(self) -> None:
        said = {"format": FORMAT, "version": VERSION} | asdict(self.manifest)
        self._entry(MANIFEST, ZIP_DEFLATED, [json.dumps(said, indent=1).encode()])
        self._zip.close()

    def abandon(self) -> None:
        """Write nothing more: a ZIP that is dropped half-way would still add its list of parts."""
        self._zip.fp = None

    def _entry(self, name: str, compression: int, chunks: Iterable[bytes]) -> Sum:
        info = ZipInfo(name)
        info.compress_type = compression
        info.external_attr = 0o600 << 16
        digest, length, count = hashlib.sha256(), 0, 0
        with self._zip.open(info, "w", force_zip64=True) as entry:
            for chunk in chunks:
                entry.write(chunk)
                digest.update(chunk)
                length += len(chunk)
                count += 1
        rows = count - 1 if name.startswith("tables/") else 0
        return Sum(length, digest.hexdigest(), rows)


def chunks_of(content: IO[bytes]) -> Iterator[bytes]:
    while chunk := content.read(CHUNK):
        yield chunk


class Archive:
    """A back-up that was opened. Made by `opened`, which has seen that it is whole."""

    def __init__(self, bundle: ZipFile, manifest: Manifest) -> None:
        self.manifest = manifest
        self._zip = bundle

    def rows(self, label: str) -> Iterator[list[Any]]:
        """The columns, then each row."""
        with self._zip.open(f"tables/{label}.jsonl") as lines:
            for line in lines:
                yield json.loads(line)

    @contextmanager
    def file(self, name: str) -> Iterator[IO[bytes]]:
        with self._zip.open(f"files/{name}") as content:
            yield content


@contextmanager
def opened(path: Path) -> Iterator[Archive]:
    """The back-up in a file, once every byte of it has been checked. Raises `Damaged`."""
    if not path.is_file():
        raise Refused(_("There is no file %(file)s.") % {"file": path})
    with path.open("rb") as raw:
        try:
            bundle = ZipFile(raw)
            manifest = _manifest_in(bundle, path.stat().st_size)
            for name, expected in _entries(manifest).items():
                _check(bundle, name, expected)
        except UNREADABLE as reason:
            raise Damaged(str(reason) or type(reason).__name__) from None
        with bundle:
            yield Archive(bundle, manifest)


# What Python's readers of ZIP and JSON say about bytes that aren't what they claim to be.
UNREADABLE = (
    BadZipFile,
    zlib.error,
    EOFError,
    OSError,
    ValueError,
    LookupError,
    TypeError,
    AttributeError,
    struct.error,
    NotImplementedError,
    RuntimeError,
)


def _entries(manifest: Manifest) -> dict[str, Sum]:
    tables = {f"tables/{label}.jsonl": expected for label, expected in manifest.tables.items()}
    return tables | {f"files/{name}": expected for name, expected in manifest.files.items()}


def _manifest_in(bundle: ZipFile, size: int) -> Manifest:
    """The manifest, if what the ZIP lists agrees with it and is of a sane size."""
    listed = bundle.infolist()
    if sum(info.compress_size for info in listed) > size:
        raise Damaged(_("its parts overlap"))
    inside = {info.filename: info for info in listed}
    if len(inside) != len(listed):
        raise Damaged(_("a name stands in it twice"))
    if sum(info.file_size for info in listed) > UNFOLDED_ANYWAY + MOST_UNFOLDING * size:
        raise Damaged(_("it unfolds to far more than it is"))
    if MANIFEST not in inside or inside[MANIFEST].file_size > MANIFEST_MOST:
        raise Damaged(_("it lacks its manifest"))
    said = json.loads(bundle.read(MANIFEST))
    if said.pop("format") != FORMAT:
        raise Damaged(_("it lacks its manifest"))
    if said.pop("version") != VERSION:
        raise Refused(_("This back-up is of a newer kind. Update this service, then restore."))
    for part, names in (("tables", _LABEL), ("files", _NAME)):
        said[part] = {name: Sum(**each) for name, each in said[part].items()}
        if wrong := [name for name in said[part] if not names.fullmatch(name)]:
            raise Damaged(_("a name in it is not allowed: %(name)s") % {"name": repr(wrong[0])})
    manifest = Manifest(**said)
    _check_said(manifest)
    if inside.keys() - {MANIFEST} != _entries(manifest).keys():
        raise Damaged(_("its parts and its manifest differ"))
    return manifest


def _check_said(manifest: Manifest) -> None:
    """What is read later is of its kind. Raises ValueError or TypeError."""
    datetime.fromisoformat(manifest.made_at)
    texts = [text for app, name in manifest.migrations for text in (app, name)]
    if not all(isinstance(text, str) for text in [*texts, *manifest.missing]):
        raise TypeError(_("a name in it is no text"))
    sums = [*manifest.tables.values(), *manifest.files.values()]
    if not all(isinstance(each.bytes, int) and isinstance(each.rows, int) for each in sums):
        raise TypeError(_("a length in it is no number"))


def _check(bundle: ZipFile, name: str, expected: Sum) -> None:
    digest, left = hashlib.sha256(), expected.bytes
    with bundle.open(name) as entry:
        # One byte more than there should be is enough to know.
        while chunk := entry.read(min(CHUNK, left + 1)):
            digest.update(chunk)
            left -= len(chunk)
            if left < 0:
                break
    if left != 0 or digest.hexdigest() != expected.sha256:
        raise Damaged(_("%(name)s is not what was written") % {"name": name})
