"""What tests of keeping share: a school, and whatever a back-up would hold of it."""

from collections.abc import Callable

import pytest
from django.core.files.storage import default_storage

from studio.keeping.archive import line_of
from studio.keeping.tables import kept_models, rows_of
from studio.uploads.models import StoredImage
from tests.cast import School, school


@pytest.fixture
def cast(db: None) -> School:
    return school()


@pytest.fixture
def all_that_is_kept() -> Callable[[], str]:
    """Every row of every table, as text with small letters."""

    def read() -> str:
        lines = (line_of(row).decode() for model in kept_models() for row in rows_of(model))
        return "".join(lines).lower()

    return read


def files_kept() -> set[str]:
    """Every name in the storage."""

    def walk(folder: str) -> set[str]:
        try:
            folders, files = default_storage.listdir(folder)
        except FileNotFoundError:
            return set()
        here = {f"{folder}/{name}".lstrip("/") for name in files}
        return here.union(*(walk(f"{folder}/{each}".lstrip("/")) for each in folders))

    return walk("")


def files_named() -> set[str]:
    """Every name that a picture which is ready has in the database."""
    ready = StoredImage.objects.filter(state=StoredImage.State.READY)
    return {name for pair in ready.values_list("full_file", "small_file") for name in pair}
