"""A back-up brings everything back: the same pages for everybody, the same pictures, whichever
database it came from and goes to.
"""

import re
from datetime import timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import connection
from PIL import Image
from pytest_django import Settings

from planning.models import Refinement
from studio.keeping.services import back_up, backing_up, restore
from studio.people.models import Studio
from studio.uploads.models import StoredImage
from tests.cast import NOW, School, school
from tests.routes import pages
from tests.studio.keeping.places import elsewhere, emptied, manifest_of
from tests.world import World, world

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]
# What every answer has anew.
NEW_EACH_TIME = re.compile(
    r'name="(csrfmiddlewaretoken|once)" value="[^"]*"|"X-CSRFToken": "[^"]*"'
)
EVERYBODY = ("head", "teacher", "technician", "student", "signed_out")
# Not in a back-up: an uploaded roster, which lies there for a day, and a class's prints, which can
# be made again.
NOT_KEPT = {"roster_preview", "class_set_pdf"}


@pytest.fixture
def made() -> World:
    made = world(school())
    out = BytesIO()
    Image.new("RGB", (64, 48), "#d9d0c3").save(out, "JPEG")
    for image in StoredImage.objects.filter(full_file="f"):
        for size in ("full", "small"):
            name = default_storage.save(
                f"images/{image.stem}-{size}.jpg", ContentFile(out.getvalue() + size.encode())
            )
            setattr(image, f"{size}_file", name)
        image.save()
    # Nobody draws two at the same moment, and no database says in which order it lists such two.
    for n, refinement in enumerate(Refinement.objects.order_by("pk")):
        refinement.added_at += timedelta(minutes=n)
        refinement.save()
    return made


def all_pages(made: World) -> dict[tuple[str, str], tuple[int, bytes]]:
    """What everybody gets at every address: pages, prints and pictures."""
    got = {}
    for who in EVERYBODY:
        client = made.client(who)
        for line in pages():
            if line.name in NOT_KEPT:
                continue
            response = client.get(line.address(made.things))
            content = b"".join(response) if response.streaming else response.content
            if response.headers.get("Content-Type", "").startswith("text/html"):
                content = NEW_EACH_TIME.sub("", content.decode()).encode()
            got[who, str(line)] = (response.status_code, content)
    return got


@pytest.mark.slow
def test_every_page_is_the_same_after_a_journey_to_another_database_and_back(
    made: World, tmp_path: Path, settings: Settings
) -> None:
    """From this database into a fresh SQLite by the commands, from there back into this one."""
    before, here = all_pages(made), tmp_path / "here.zip"
    assert back_up(file=here, at=NOW).missing == []
    there = tmp_path / "there"
    done = elsewhere(there, "restore", str(here))
    assert (done.returncode, done.stderr) == (0, "")
    assert "Everybody signs in again" in done.stdout
    done = elsewhere(there, "back_up", str(tmp_path / "there.zip"))
    assert (done.returncode, done.stderr) == (0, "")
    assert "The secret key is not in it" in done.stdout
    first, second = manifest_of(here), manifest_of(tmp_path / "there.zip")
    assert first.tables == second.tables
    assert first.files == second.files
    assert first.rows > 100
    emptied(tmp_path / "fresh", settings)
    assert not Studio.objects.exists()
    restored = restore(file=tmp_path / "there.zip", at=NOW)
    assert (restored.rows, restored.erased_again) == (first.rows, 0)
    after = all_pages(made)
    assert [key for key in before if before[key] != after[key]] == []


def test_what_comes_after_a_restore_counts_on(
    cast: School, tmp_path: Path, settings: Settings
) -> None:
    """Rows with numbers for ids: the next one doesn't collide."""
    back_up(file=tmp_path / "a.zip", at=NOW)
    emptied(tmp_path / "fresh", settings)
    restore(file=tmp_path / "a.zip", at=NOW)
    section = cast.section
    section.teachers.add(cast.other_teacher)
    assert section.teachers.count() == 2


def test_others_go_on_writing_while_a_back_up_reads(
    cast: School, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And what they write then is not in it: it is the database of one moment."""
    count = Studio.objects.count()
    usual = backing_up._lay_aside

    def meanwhile(images: Any) -> Any:
        rows = usual(images)
        run_elsewhere("Written meanwhile")
        return rows

    monkeypatch.setattr(backing_up, "_lay_aside", meanwhile)
    back_up(file=tmp_path / "a.zip", at=NOW)
    assert Studio.objects.count() == count + 1
    assert manifest_of(tmp_path / "a.zip").tables["people.Studio"].rows == count


def run_elsewhere(name: str) -> None:
    """Write a studio through another connection, as another process would."""
    other = connection.copy()
    try:
        other.ensure_connection()
        with other.cursor() as cursor:
            cursor.execute(
                "INSERT INTO people_studio SELECT %s, %s, %s, time_zone, length_unit, mass_unit,"
                " paper, retention_years, created_at FROM people_studio LIMIT 1",
                ["0" * 31 + "1", name, "later"],
            )
    finally:
        other.close()
