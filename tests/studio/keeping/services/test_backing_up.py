"""A back-up is there whole or not at all, and holds every picture of its moment."""

import fcntl
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import default_storage
from pytest_django import Settings

from studio.errors import Refused
from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from studio.keeping.archive import opened
from studio.keeping.services import back_up, backing_up, erase_person
from studio.uploads.models import StoredImage
from studio.uploads.services import receive_image
from tests.cast import NOW, School, school
from tests.planning.work import photo
from tests.studio.keeping.places import begun, elsewhere, manifest_of

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]
QUEUED = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


@pytest.fixture
def cast() -> School:
    return school()


def received(cast: School, n: int = 5) -> StoredImage:
    image = receive_image(studio=cast.studio, by=cast.student, file=photo(n), at=NOW)
    image.refresh_from_db()
    return image


def meanwhile(monkeypatch: pytest.MonkeyPatch, act: Callable[[], object]) -> None:
    """Once, after the moment of the back-up and before any picture is copied."""
    usual = backing_up._with_its_original
    done: list[int] = []
    usual_copy = backing_up._copy_pictures

    def first() -> None:
        if not done:
            done.append(1)
            act()

    def with_its_original(*args: Any) -> Any:
        first()
        return usual(*args)

    def copy_pictures(*args: Any) -> Any:
        first()
        return usual_copy(*args)

    monkeypatch.setattr(backing_up, "_with_its_original", with_its_original)
    monkeypatch.setattr(backing_up, "_copy_pictures", copy_pictures)


def rows(file: Path, label: str) -> list[dict[str, Any]]:
    with opened(file) as bundle:
        names, *lines = bundle.rows(label)
    return [dict(zip(names, line, strict=True)) for line in lines]


class TestWhereTo:
    def test_a_file_that_is_there_is_not_overwritten(self, cast: School, tmp_path: Path) -> None:
        (tmp_path / "a.zip").write_text("last week's")
        with pytest.raises(Refused, match=r"is there already\. Name a new file; nothing is over"):
            back_up(file=tmp_path / "a.zip", at=NOW)
        assert (tmp_path / "a.zip").read_text() == "last week's"

    def test_a_folder_that_is_not_there_is_said_so(self, cast: School, tmp_path: Path) -> None:
        with pytest.raises(Refused, match=r"There is no folder .*/stick\."):
            back_up(file=tmp_path / "stick" / "a.zip", at=NOW)

    def test_two_at_once_do_not_write_into_each_other(self, cast: School, tmp_path: Path) -> None:
        with (tmp_path / "a.zip.part").open("w") as held:
            fcntl.flock(held, fcntl.LOCK_EX)
            with pytest.raises(Refused, match=r"Another back-up is being written .* Wait for it\."):
                back_up(file=tmp_path / "a.zip", at=NOW)

    def test_what_a_killed_one_left_is_used_again(self, cast: School, tmp_path: Path) -> None:
        (tmp_path / "a.zip.part").write_bytes(b"half" * 100_000)
        back_up(file=tmp_path / "a.zip", at=NOW)
        assert [each.name for each in tmp_path.glob("*.zip*")] == ["a.zip"]
        assert manifest_of(tmp_path / "a.zip").rows > 10

    def test_only_its_owner_may_read_it(self, cast: School, tmp_path: Path) -> None:
        back_up(file=tmp_path / "a.zip", at=NOW)
        assert (tmp_path / "a.zip").stat().st_mode & 0o777 == 0o600

    def test_a_disk_that_fills_up_leaves_nothing(
        self, cast: School, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def full(*_: object) -> None:
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(backing_up, "_copy_pictures", full)
        with pytest.raises(OSError, match="No space left"):
            back_up(file=tmp_path / "a.zip", at=NOW)
        assert list(tmp_path.glob("*.zip*")) == []


class TestPictures:
    def test_every_one_is_in_it_byte_for_byte(self, cast: School, tmp_path: Path) -> None:
        image = received(cast)
        assert image.is_ready
        assert back_up(file=tmp_path / "a.zip", at=NOW).pictures == 2
        with opened(tmp_path / "a.zip") as bundle:
            for name in (image.full_file, image.small_file):
                with bundle.file(name) as kept, default_storage.open(name) as there:
                    assert kept.read() == there.read()

    def test_one_that_is_nowhere_is_named_and_the_rest_is_kept(
        self, cast: School, tmp_path: Path
    ) -> None:
        image = received(cast)
        default_storage.delete(image.small_file)
        made = back_up(file=tmp_path / "a.zip", at=NOW)
        assert (made.missing, made.pictures) == ([image.small_file], 1)
        assert manifest_of(tmp_path / "a.zip").missing == [image.small_file]

    def test_one_that_was_read_meanwhile_stands_in_it_as_it_became(
        self, cast: School, tmp_path: Path, settings: Settings, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        at_once, settings.TASKS = settings.TASKS, QUEUED
        image = received(cast)

        def read() -> None:
            settings.TASKS = at_once
            run_job.func(str(Job.objects.get().pk))

        meanwhile(monkeypatch, read)
        made = back_up(file=tmp_path / "a.zip", at=NOW)
        image.refresh_from_db()
        assert image.is_ready
        assert (made.missing, made.pictures) == ([], 2)
        (row,) = rows(tmp_path / "a.zip", "uploads.StoredImage")
        assert (row["state"], row["full_file"]) == ("ready", image.full_file)

    def test_an_original_that_was_lost_is_named(
        self, cast: School, tmp_path: Path, settings: Settings
    ) -> None:
        settings.TASKS = QUEUED
        image = received(cast)
        default_storage.delete(image.quarantine_file)
        assert back_up(file=tmp_path / "a.zip", at=NOW).missing == [image.quarantine_file]

    @pytest.mark.parametrize("queued", [True, False], ids=["waiting", "ready"])
    def test_who_is_erased_meanwhile_is_not_in_it(
        self,
        queued: bool,
        cast: School,
        tmp_path: Path,
        settings: Settings,
        monkeypatch: pytest.MonkeyPatch,
    ) -> None:
        if queued:
            settings.TASKS = QUEUED
        received(cast)
        meanwhile(monkeypatch, lambda: erase_person(person=cast.student, by=cast.head, at=NOW))
        made = back_up(file=tmp_path / "a.zip", at=NOW)
        assert (made.missing, made.pictures) == ([], 0)
        names = {row["family_name"] for row in rows(tmp_path / "a.zip", "people.User")}
        assert "Amari" not in names

    def test_while_people_are_erased_without_end_it_waits_for_another_time(
        self, cast: School, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def erased(*_: object) -> None:
            raise backing_up._Erased

        monkeypatch.setattr(backing_up, "_copy_pictures", erased)
        with pytest.raises(Refused, match=r"People are being erased .* Make the back-up afterw"):
            back_up(file=tmp_path / "a.zip", at=NOW)
        assert list(tmp_path.glob("*.zip*")) == []


def test_sessions_and_the_queue_are_left_out(cast: School, tmp_path: Path) -> None:
    back_up(file=tmp_path / "a.zip", at=NOW)
    labels = {label.split(".")[0] for label in manifest_of(tmp_path / "a.zip").tables}
    assert labels.isdisjoint({"sessions", "django_tasks_database", "auth", "contenttypes"})
    assert {"people", "planning", "ware", "clay", "kilns", "assessments"} <= labels


@pytest.mark.slow
def test_a_back_up_that_is_killed_at_any_moment_is_there_whole_or_not_at_all(
    cast: School, tmp_path: Path
) -> None:
    for n in range(6):
        received(cast, 30 + n)
    back_up(file=tmp_path / "a.zip", at=NOW)
    there = tmp_path / "there"
    assert elsewhere(there, "restore", str(tmp_path / "a.zip")).returncode == 0
    expected = manifest_of(tmp_path / "a.zip")
    for n in range(8):
        file = tmp_path / f"{n}.zip"
        process = begun(there, "back_up", str(file))
        part = file.with_name(f"{n}.zip.part")
        while process.poll() is None and not part.exists() and not file.exists():
            pass  # until it begins to write
        try:
            process.wait(timeout=0.02 * n)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        if file.exists():
            assert manifest_of(file).tables == expected.tables
