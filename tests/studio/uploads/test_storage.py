"""What the storage has taken survives a power cut, and nobody else can read it."""

import os
import stat
from pathlib import Path
from typing import Any

import pytest
from django.core.files.base import ContentFile

from studio.config import settings as configured
from studio.uploads.storage import DurableStorage


def test_a_file_and_every_folder_that_names_it_are_flushed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    flushed: list[str] = []
    monkeypatch.setattr(
        os, "fsync", lambda handle: flushed.append(str(Path(f"/proc/self/fd/{handle}").readlink()))
    )
    name = DurableStorage(location=tmp_path).save("images/ab/one", ContentFile(b"clay"))
    assert name == "images/ab/one"
    assert flushed == [
        str(tmp_path / part) for part in ("images/ab/one", "images/ab", "images", "")
    ]


def test_a_name_is_written_once(tmp_path: Path) -> None:
    storage = DurableStorage(location=tmp_path)
    first = storage.save("one", ContentFile(b"first"))
    second = storage.save("one", ContentFile(b"second"))
    assert first != second
    assert (tmp_path / first).read_bytes() == b"first"


def test_as_configured_files_are_private(tmp_path: Path) -> None:
    default: Any = configured.STORAGES["default"]
    assert default["BACKEND"] == "studio.uploads.storage.DurableStorage"
    options = {**default["OPTIONS"], "location": tmp_path}
    storage = DurableStorage(**options)
    storage.save("images/one", ContentFile(b"clay"))
    assert stat.S_IMODE((tmp_path / "images/one").stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "images").stat().st_mode) == 0o700
