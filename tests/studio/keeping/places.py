"""Places to back up from and to restore into."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from django.conf import settings as configured
from django.core.management import call_command
from pytest_django import Settings

from studio.keeping.archive import Manifest, opened


def emptied(folder: Path, settings: Settings) -> None:
    """As on a fresh clone: no rows, no files, no list of erasures."""
    call_command("flush", interactive=False, verbosity=0)
    fresh_storage(folder, settings)


def fresh_storage(folder: Path, settings: Settings) -> None:
    settings.MEDIA_ROOT = folder
    settings.ERASURES_FILE = folder.with_name(f"{folder.name}-erasures")
    storages: dict[str, Any] = dict(settings.STORAGES)
    options = {"location": folder, "base_url": None}
    storages["default"] = {**storages["default"], "OPTIONS": options}
    settings.STORAGES = storages


def manifest_of(file: Path) -> Manifest:
    with opened(file) as archive:
        return archive.manifest


def elsewhere(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """A command of another installation, on SQLite, with nothing of ours."""
    folder.mkdir(exist_ok=True)
    return subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=configured.BASE_DIR,
        env={
            **os.environ,
            "DATABASE_URL": f"sqlite:///{folder}/coilcourse.sqlite3",
            "MEDIA_ROOT": str(folder / "media"),
            "ERASURES_FILE": str(folder / "erasures"),
            "SECRET_KEY": "another",
        },
        capture_output=True,
        text=True,
        check=False,
    )


def begun(folder: Path, *words: str) -> subprocess.Popen[bytes]:
    folder.mkdir(exist_ok=True)
    return subprocess.Popen(
        [sys.executable, "manage.py", *words],
        cwd=configured.BASE_DIR,
        env={
            **os.environ,
            "DATABASE_URL": f"sqlite:///{folder}/coilcourse.sqlite3",
            "MEDIA_ROOT": str(folder / "media"),
            "ERASURES_FILE": str(folder / "erasures"),
        },
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
