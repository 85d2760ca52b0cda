"""The private storage on a disk of our own: what it has taken survives a power cut."""

import os
from pathlib import Path

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage


class DurableStorage(FileSystemStorage):
    """Files and the folders that name them are on disk before `save` returns."""

    def _save(self, name: str, content: File[bytes]) -> str:
        saved = super()._save(name, content)  # type: ignore[misc]
        path = Path(self.path(saved))
        folders = path.relative_to(self.location).parents
        for each in (path, *(self.location / folder for folder in folders)):
            _flush(each)
        return str(saved)


def _flush(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
