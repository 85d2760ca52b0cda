"""All of a back-up or nothing, into an empty place only; and who was erased stays erased."""

import hashlib
import json
import sqlite3
import subprocess
import time
import zipfile
from datetime import timedelta
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from pytest_django import Settings

from studio.errors import Refused
from studio.jobs.models import Job
from studio.jobs.services import sweep_jobs
from studio.keeping.archive import Damaged, Sum
from studio.keeping.models import Erasure
from studio.keeping.services import back_up, erase_person, restore
from studio.keeping.tables import kept_models
from studio.people.models import Studio, User
from studio.uploads.models import StoredImage
from studio.uploads.services import receive_image
from tests.cast import NOW, School, school
from tests.planning.work import photo
from tests.studio.keeping.conftest import files_kept, files_named
from tests.studio.keeping.places import begun, elsewhere, emptied, manifest_of
from tests.studio.keeping.records import SECRET, everything, fresh
from tests.studio.keeping.test_archive import rewritten

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]
LATER = NOW + timedelta(days=30)
QUEUED = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
GUESS = b'["id","name_key","address","wrong","last_at"]\n'
KILLS = 3
NONE = b"00000000-0000-0000-0000-000000000001"


@pytest.fixture
def cast() -> School:
    return school()


@pytest.fixture
def picture(cast: School) -> StoredImage:
    """One that was read, since jobs run at once here."""
    return StoredImage.objects.get(
        pk=receive_image(studio=cast.studio, by=cast.student, file=photo(5), at=NOW).pk
    )


class TestErasedStaysErased:
    def test_a_person_erased_after_the_back_up_is_erased_by_its_restore(
        self, cast: School, picture: StoredImage, tmp_path: Path, settings: Settings
    ) -> None:
        everything(cast)
        back_up(file=tmp_path / "a.zip", at=NOW)
        erase_person(person=cast.student, by=cast.head, at=LATER)
        remembered = settings.ERASURES_FILE.read_bytes()
        emptied(tmp_path / "fresh", settings)
        settings.ERASURES_FILE.write_bytes(remembered)
        done = restore(file=tmp_path / "a.zip", at=LATER)
        assert done.erased_again == 1
        gone = fresh(cast.student)
        assert (gone.name, gone.is_active) == ("a former student", False)
        assert Erasure.objects.get().at == LATER
        assert picture.full_file not in files_kept()
        assert files_kept() == files_named()
        back_up(file=tmp_path / "b.zip", at=LATER)
        with zipfile.ZipFile(tmp_path / "b.zip") as bundle:
            everything_in_it = b"".join(bundle.read(name) for name in bundle.namelist()).lower()
        assert [each for each in (b"amari", SECRET.encode()) if each in everything_in_it] == []

    def test_the_list_may_come_from_the_place_that_was_lost(
        self, cast: School, tmp_path: Path, settings: Settings
    ) -> None:
        back_up(file=tmp_path / "a.zip", at=NOW)
        erase_person(person=cast.student, by=cast.head, at=LATER)
        rescued = settings.ERASURES_FILE
        emptied(tmp_path / "fresh", settings)
        done = restore(file=tmp_path / "a.zip", at=LATER, erasures=[rescued])
        assert done.erased_again == 1
        assert settings.ERASURES_FILE.read_text() == rescued.read_text()

    def test_a_list_that_can_t_be_written_to_takes_nothing_back(
        self, cast: School, tmp_path: Path, settings: Settings, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """What was restored is there, so the command may not say that the database is empty."""
        erase_person(person=cast.student, by=cast.head, at=NOW)
        back_up(file=tmp_path / "a.zip", at=NOW)
        emptied(tmp_path / "fresh", settings)

        def full(*_: object) -> None:
            raise OSError("No space left on device")

        monkeypatch.setattr(import_module("studio.keeping.services.erasing"), "remember", full)
        call_command("restore", tmp_path / "a.zip")
        assert fresh(cast.student).name == "a former student"

    def test_the_back_up_remembers_who_was_erased_before_it(
        self, cast: School, tmp_path: Path, settings: Settings
    ) -> None:
        """A later list is made from it, so that still older back-ups are safe to restore too."""
        erase_person(person=cast.student, by=cast.head, at=NOW)
        back_up(file=tmp_path / "a.zip", at=NOW)
        emptied(tmp_path / "fresh", settings)
        assert restore(file=tmp_path / "a.zip", at=LATER).erased_again == 0
        assert str(cast.student.pk) in settings.ERASURES_FILE.read_text()

    def test_somebody_whom_the_back_up_does_not_know_is_passed_over(
        self, cast: School, tmp_path: Path, settings: Settings
    ) -> None:
        back_up(file=tmp_path / "a.zip", at=NOW)
        emptied(tmp_path / "fresh", settings)
        settings.ERASURES_FILE.write_text(f"{NOW.isoformat()} {'5' * 32}\n")
        assert restore(file=tmp_path / "a.zip", at=LATER).erased_again == 0

    def test_a_list_that_can_not_be_read_stops_the_restore(
        self, cast: School, tmp_path: Path, settings: Settings
    ) -> None:
        back_up(file=tmp_path / "a.zip", at=NOW)
        emptied(tmp_path / "fresh", settings)
        settings.ERASURES_FILE.write_text("Ode Amari\n")
        with pytest.raises(Refused, match=r"Line 1 of .*-erasures, the list of who was erased"):
            restore(file=tmp_path / "a.zip", at=LATER)
        assert not Studio.objects.exists()


class TestRefused:
    def test_a_place_that_holds_anything(self, cast: School, tmp_path: Path) -> None:
        back_up(file=tmp_path / "a.zip", at=NOW)
        with pytest.raises(Refused, match=r"This place is not empty: .* Name another DATABASE_URL"):
            restore(file=tmp_path / "a.zip", at=NOW)
        assert Studio.objects.count() == 2

    def test_a_back_up_that_is_newer_than_the_code(
        self, cast: School, tmp_path: Path, settings: Settings
    ) -> None:
        back_up(file=tmp_path / "a.zip", at=NOW)
        rewritten(tmp_path / "a.zip", lambda m: m["migrations"].append(["people", "0999_later"]))
        emptied(tmp_path / "fresh", settings)
        with pytest.raises(Refused, match=r"newer version .* \(it knows people\.0999_later\)"):
            restore(file=tmp_path / "a.zip", at=NOW)
        assert files_kept() == set()

    def test_one_that_lost_a_table(self, cast: School, tmp_path: Path, settings: Settings) -> None:
        back_up(file=tmp_path / "a.zip", at=NOW)
        rewritten(
            tmp_path / "a.zip",
            lambda m: m["tables"].pop("people.Teaching"),
            lambda inside: inside.pop("tables/people.Teaching.jsonl"),
        )
        emptied(tmp_path / "fresh", settings)
        with pytest.raises(Damaged, match=r"people\.Teaching is not in it"):
            restore(file=tmp_path / "a.zip", at=NOW)
        assert not User.objects.exists()

    def test_one_that_counts_other_rows(
        self, cast: School, tmp_path: Path, settings: Settings
    ) -> None:
        back_up(file=tmp_path / "a.zip", at=NOW)
        rewritten(tmp_path / "a.zip", lambda m: m["tables"]["people.User"].update(rows=3))
        emptied(tmp_path / "fresh", settings)
        with pytest.raises(Damaged, match=r"people\.User has another number of rows"):
            restore(file=tmp_path / "a.zip", at=NOW)
        assert not Studio.objects.exists()

    @pytest.mark.parametrize(
        ("table", "line"),
        [
            ("people.Studio", b'["id"]\n["00000000-0000-0000-0000-000000000001"]\n'),
            ("people.Studio", b'["colour"]\n["red"]\n'),
            ("people.SignInGuess", GUESS + b'[1,"a"]\n'),
            ("people.SignInGuess", GUESS + b'[1,"a","192.0.2.1",1,"soon"]\n'),
            ("people.Absence", b'["id","meeting_id","student_id"]\n[1,"%s","%s"]\n' % (NONE, NONE)),
        ],
        ids=["too few columns", "unknown column", "short row", "no date", "points at nobody"],
    )
    def test_rows_that_the_tables_do_not_take(
        self, table: str, line: bytes, cast: School, tmp_path: Path, settings: Settings
    ) -> None:
        """By somebody who made the sums fit: still nothing is half written."""
        back_up(file=tmp_path / "a.zip", at=NOW)
        digest = hashlib.sha256(line).hexdigest()
        rewritten(
            tmp_path / "a.zip",
            lambda m: m["tables"].update({table: vars(Sum(len(line), digest, 1))}),
            lambda inside: inside.update({f"tables/{table}.jsonl": line}),
        )
        emptied(tmp_path / "fresh", settings)
        with pytest.raises(Refused, match=r"did not take this back-up: .* Nothing was written\."):
            restore(file=tmp_path / "a.zip", at=NOW)
        assert [m._meta.label for m in kept_models() if m._base_manager.exists()] == []


class TestOlder:
    def test_a_back_up_from_before_a_migration_is_brought_up_to_date(
        self, cast: School, tmp_path: Path, settings: Settings
    ) -> None:
        """As if it had been made before the clay room knew what clay was made from, mixed lots,
        packs, orders and batches."""
        everything(cast)
        back_up(file=tmp_path / "a.zip", at=NOW)
        known = MigrationLoader(None).disk_migrations or {}
        later = [[app, name] for app, name in known if app == "clay" and name >= "0002"]
        assert ["clay", "0002_made_from"] in later
        new_tables = [f"clay.{name}" for name in ("Pack", "Order", "Batch")]

        def without_column(inside: dict[str, bytes], table: str, column: str) -> None:
            head, *rows = map(json.loads, inside[f"tables/{table}.jsonl"].splitlines())
            place = head.index(column)
            lines = [json.dumps(row[:place] + row[place + 1 :]) for row in (head, *rows)]
            inside[f"tables/{table}.jsonl"] = ("\n".join(lines) + "\n").encode()

        def as_then(inside: dict[str, bytes]) -> None:
            without_column(inside, "clay.Entry", "made_from_id")
            without_column(inside, "clay.Lot", "mixed")
            for table in new_tables:
                del inside[f"tables/{table}.jsonl"]

        def before(manifest: dict[str, Any]) -> None:
            manifest["migrations"] = [each for each in manifest["migrations"] if each not in later]
            for table in new_tables:
                del manifest["tables"][table]

        rewritten(tmp_path / "a.zip", before, as_then)
        for table in ("clay.Entry", "clay.Lot"):
            resummed(tmp_path / "a.zip", table)
        emptied(tmp_path / "fresh", settings)
        settings.ERASURES_FILE.write_text(f"{NOW.isoformat()} {cast.student.pk}\n")
        done = restore(file=tmp_path / "a.zip", at=NOW)
        assert done.erased_again == 1
        assert fresh(cast.student).name == "a former student"
        assert manifest_of(tmp_path / "a.zip").tables["clay.Entry"].rows == 1
        with connection.cursor() as cursor:
            cursor.execute("SELECT grams, made_from_id FROM clay_entry")
            assert cursor.fetchall() == [(-500, None)]


def resummed(path: Path, table: str) -> None:
    """The manifest's sum of a table that a test wrote anew."""
    with zipfile.ZipFile(path) as bundle:
        content = bundle.read(f"tables/{table}.jsonl")
    digest = hashlib.sha256(content).hexdigest()
    rewritten(path, lambda m: m["tables"][table].update(bytes=len(content), sha256=digest))


class TestPictures:
    def test_a_half_written_one_of_a_broken_off_restore_is_replaced(
        self, cast: School, picture: StoredImage, tmp_path: Path, settings: Settings
    ) -> None:
        with default_storage.open(picture.full_file) as file:
            content = file.read()
        back_up(file=tmp_path / "a.zip", at=NOW)
        emptied(tmp_path / "fresh", settings)
        default_storage.save(picture.full_file, ContentFile(content[:100]))
        restore(file=tmp_path / "a.zip", at=NOW)
        with default_storage.open(picture.full_file) as file:
            assert file.read() == content
        assert files_kept() == {picture.full_file, picture.small_file}

    def test_those_of_a_back_up_that_is_not_taken_do_not_stay(
        self, cast: School, picture: StoredImage, tmp_path: Path, settings: Settings
    ) -> None:
        """Without a row nobody would ever find them, not even to erase a student."""
        back_up(file=tmp_path / "a.zip", at=NOW)
        line = b'["colour"]\n["red"]\n'
        said = vars(Sum(len(line), hashlib.sha256(line).hexdigest(), 1))
        rewritten(
            tmp_path / "a.zip",
            lambda m: m["tables"].update({"people.Studio": said}),
            lambda inside: inside.update({"tables/people.Studio.jsonl": line}),
        )
        emptied(tmp_path / "fresh", settings)
        default_storage.save("images/own.jpg", ContentFile(b"of this place"))
        with pytest.raises(Refused, match="Nothing was written"):
            restore(file=tmp_path / "a.zip", at=LATER)
        assert files_kept() == {"images/own.jpg"}

    def test_one_that_is_there_already_is_left_alone(
        self, cast: School, picture: StoredImage, tmp_path: Path, settings: Settings
    ) -> None:
        back_up(file=tmp_path / "a.zip", at=NOW)
        media = settings.MEDIA_ROOT
        emptied(tmp_path / "fresh", settings)
        done = subprocess.run(["cp", "-r", f"{media}/.", f"{tmp_path}/fresh"], check=False)
        assert done.returncode == 0
        before = default_storage.get_modified_time(picture.full_file)
        restore(file=tmp_path / "a.zip", at=NOW)
        assert default_storage.get_modified_time(picture.full_file) == before

    def test_one_that_waited_to_be_read_comes_back_and_is_read(
        self, cast: School, tmp_path: Path, settings: Settings, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """It was acknowledged, so it may not be lost: the original goes along, and its job."""
        at_once, settings.TASKS = settings.TASKS, QUEUED
        waiting = receive_image(studio=cast.studio, by=cast.student, file=photo(6), at=NOW)
        back_up(file=tmp_path / "a.zip", at=NOW)
        emptied(tmp_path / "fresh", settings)
        restore(file=tmp_path / "a.zip", at=NOW)
        assert files_kept() == {waiting.quarantine_file}
        settings.TASKS = at_once
        assert sweep_jobs(at=LATER) == 1
        waiting.refresh_from_db()
        assert waiting.is_ready
        assert Job.objects.get().state == Job.State.DONE


@pytest.mark.slow
class TestKilled:
    def test_a_restore_that_is_killed_at_any_moment_leaves_all_or_nothing(
        self, cast: School, tmp_path: Path
    ) -> None:
        """Into a fresh SQLite, where it is run again until it comes to its end."""
        for n in range(12):
            receive_image(studio=cast.studio, by=cast.student, file=photo(40 + n), at=NOW)
        back_up(file=tmp_path / "a.zip", at=NOW)
        expected = manifest_of(tmp_path / "a.zip")
        start = time.monotonic()
        assert elsewhere(tmp_path / "first", "restore", str(tmp_path / "a.zip")).returncode == 0
        moment = (time.monotonic() - start) / (KILLS + 1)
        for n in range(KILLS):
            there = tmp_path / f"there{n}"
            process = begun(there, "restore", str(tmp_path / "a.zip"))
            try:
                process.wait(timeout=moment * (n + 1))
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()
            assert rows_in(there) in {0, expected.rows}
            if not rows_in(there):
                done = elsewhere(there, "restore", str(tmp_path / "a.zip"))
                assert (done.returncode, done.stderr) == (0, "")
            assert files_in(there) == expected.files.keys()


def files_in(folder: Path) -> set[str]:
    media = folder / "media"
    return {str(each.relative_to(media)) for each in media.rglob("*") if each.is_file()}


def rows_in(folder: Path) -> int:
    """How many rows of ours a SQLite holds, as another program counts them."""
    file = folder / "coilcourse.sqlite3"
    if not file.exists():
        return 0
    database = sqlite3.connect(file)
    try:
        there = {name for (name,) in database.execute("SELECT name FROM sqlite_master")}
        return sum(
            database.execute(f"SELECT count(*) FROM {table}").fetchone()[0]  # noqa: S608
            for model in kept_models()
            if (table := model._meta.db_table) in there
        )
    finally:
        database.close()
