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
        _flush(path)
        for folder in path.parents:
            _flush(folder)
            if folder == Path(self.location):
                break
        return str(saved)


def _flush(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
