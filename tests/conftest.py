"""What every test runs with: a fast hasher, jobs at once, files in a folder of its own."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from django.db import connections
from django.test import override_settings
from django.utils import timezone
from hypothesis import settings as hypothesis_settings
from pytest_django import Settings

from tests.browser import chromium, windows  # noqa: F401 -- fixtures
from tests.cast import School, school
from tests.world import _world, for_files, walked  # noqa: F401 -- fixtures

# The same examples each time, so that a change is what breaks a test, and no clock. For others:
# `pytest --hypothesis-profile=default`.
hypothesis_settings.register_profile("same", derandomize=True, deadline=None)
hypothesis_settings.load_profile("same")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """So that a run on another database leaves out what would be the same."""
    for item in items:
        asked = {"db", "transactional_db"} & set(getattr(item, "fixturenames", ()))
        if asked or item.get_closest_marker("django_db"):
            item.add_marker("database")


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings_parallel_suffix: None, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """A database for each process of a run.

    SQLite's is in a file: in memory, threads share one lock that waits for nobody.
    """
    default = connections.settings["default"]
    if default["ENGINE"] == "django.db.backends.sqlite3":
        default["TEST"]["NAME"] = str(tmp_path_factory.mktemp("database") / "test.sqlite3")


@pytest.fixture(scope="session", autouse=True)
def _static_root(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Whitenoise warns where there is no such folder; the live server outlasts a test."""
    with override_settings(STATIC_ROOT=tmp_path_factory.mktemp("static")):
        yield


@pytest.fixture(autouse=True)
def _test_settings(settings: Settings, tmp_path: Path) -> None:
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.TASKS = {"default": {"BACKEND": "django_tasks.backends.immediate.ImmediateBackend"}}
    settings.MEDIA_ROOT = tmp_path / "media"
    settings.ERASURES_FILE = tmp_path / "erasures"
    settings.STATIC_ROOT = tmp_path / "static"
    settings.STATIC_ROOT.mkdir()  # whitenoise warns where there is none
    settings.WHITENOISE_AUTOREFRESH = True  # else each new client looks through all static files
    settings.STORAGES = for_files(settings.MEDIA_ROOT)


@pytest.fixture(autouse=True)
def _no_time_zone_left_over() -> Iterator[None]:
    """A request runs in its studio's time zone; the next test doesn't start there."""
    yield
    timezone.deactivate()


@pytest.fixture
def cast(db: None) -> School:
    """Everybody in `tests.cast`."""
    return school()
