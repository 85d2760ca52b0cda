"""What every test runs with: a fast hasher, jobs at once, files in a folder of its own."""

from pathlib import Path

import pytest
from pytest_django import Settings

from tests.cast import School, school


@pytest.fixture(autouse=True)
def _test_settings(settings: Settings, tmp_path: Path) -> None:
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.TASKS = {"default": {"BACKEND": "django_tasks.backends.immediate.ImmediateBackend"}}
    settings.MEDIA_ROOT = tmp_path / "media"
    settings.STORAGES = {
        "default": {
            "BACKEND": "django.core.files.storage.FileSystemStorage",
            "OPTIONS": {"location": settings.MEDIA_ROOT, "base_url": None},
        },
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }


@pytest.fixture
def cast(db: None) -> School:
    """Everybody in `tests.cast`."""
    return school()
