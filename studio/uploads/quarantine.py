"""Where a file lies that somebody sent and nobody has opened yet."""

import hashlib
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Final

from django.core.files.base import File
from django.core.files.storage import default_storage

QUARANTINE: Final = "quarantine"


@dataclass(frozen=True)
class Original:
    """Its name in the private storage, its length in bytes, its digest."""

    name: str
    length: int
    sha256: str


class _Hashed(File[bytes]):
    """A file whose digest is known once its chunks have been read."""

    def __init__(self, file: File[bytes]) -> None:
        super().__init__(file.file, name="original")
        self.digest = hashlib.sha256()
        self.length = 0

    def chunks(self, chunk_size: int | None = None) -> Iterator[bytes]:
        for chunk in super().chunks(chunk_size):
            self.digest.update(chunk)
            self.length += len(chunk)
            yield chunk


@contextmanager
def in_quarantine(file: File[bytes]) -> Iterator[Original]:
    """Keep a file while its row is written; if that fails the file goes again.

    It is on disk before the row commits: a row without its file would be a lost picture.
    """
    content = _Hashed(file)
    name = default_storage.save(f"{QUARANTINE}/{secrets.token_hex(20)}", content)
    try:
        yield Original(name, content.length, content.digest.hexdigest())
    except BaseException:
        default_storage.delete(name)
        raise
