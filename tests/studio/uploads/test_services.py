"""A picture is received, read, kept and let go, and nothing of it is lost or left lying."""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage, default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from studio.errors import Refused
from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from studio.jobs.work import LeaseLost, Work, claimed
from studio.uploads import services
from studio.uploads.models import StoredImage
from studio.uploads.reading import Picture, picture_read
from studio.uploads.services import (
    cleaned_name,
    clear_quarantine,
    erase_image,
    file_names,
    read_image,
    receive_image,
)
from tests.cast import NOW, School
from tests.studio.uploads import files

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]
ON_THE_QUEUE = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def received(cast: School, data: bytes, name: str = "pot.jpg") -> StoredImage:
    return receive_image(
        studio=cast.studio, by=cast.student, file=SimpleUploadedFile(name, data), at=NOW
    )


def stored(media: Path) -> list[str]:
    return sorted(str(p.relative_to(media)) for p in media.rglob("*") if p.is_file())


@pytest.fixture
def media(settings: Settings) -> Path:
    return Path(settings.MEDIA_ROOT)


@pytest.fixture
def queued(settings: Settings) -> None:
    """Jobs wait on the queue, so that a test sees what happens in between."""
    settings.TASKS = ON_THE_QUEUE


def test_a_photo_becomes_ready_and_its_original_is_gone(
    cast: School, media: Path, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    data = files.saved(files.quarters(), exif=files.exif(place=True, focal_35mm=26))
    with django_capture_on_commit_callbacks(execute=True):
        image = received(cast, data)
    image.refresh_from_db()
    assert (image.state, image.refusal) == (StoredImage.State.READY, "")
    assert (image.width, image.height, image.focal_35mm) == (320, 240, 26.0)
    assert (image.original_name, image.original_bytes) == ("pot.jpg", len(data))
    assert (image.studio, image.by, image.created_at) == (cast.studio, cast.student, NOW)
    assert stored(media) == sorted([image.full_file, image.small_file])
    for name in stored(media):
        kept = (media / name).read_bytes()
        assert not any(secret in kept for secret in files.SECRETS)
    assert Job.objects.get().state == Job.State.DONE


def test_the_original_waits_in_quarantine_under_a_random_name(
    cast: School, media: Path, queued: None
) -> None:
    data = files.photo()
    image = received(cast, data, "Ode Amari.jpg")
    (name,) = stored(media)
    assert name == image.quarantine_file
    assert "Ode" not in name
    assert len(Path(name).name) == 40
    assert (media / name).read_bytes() == data
    assert image.state == StoredImage.State.RECEIVED
    assert image.original_sha256 == hashlib.sha256(data).hexdigest()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "This file is empty."),
        (b"GIF89a", "This is not a picture that can be used here."),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "This is not a picture"),
    ],
    ids=["empty", "gif", "svg"],
)
def test_what_can_be_seen_at_once_is_refused_before_there_is_a_row(
    cast: School, media: Path, data: bytes, words: str
) -> None:
    with pytest.raises(Refused, match=words) as caught:
        receive_image(
            studio=cast.studio,
            by=cast.student,
            file=SimpleUploadedFile("pot.jpg", data),
            at=NOW,
            field="photo",
        )
    assert caught.value.problems[0].field == "photo"
    assert not StoredImage.objects.exists()
    assert stored(media) == []


def test_a_file_of_more_than_40_mb_is_refused(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = files.photo()
    monkeypatch.setattr(services, "MAX_BYTES", len(data))
    received(cast, data)
    monkeypatch.setattr(services, "MAX_BYTES", len(data) - 1)
    with pytest.raises(Refused, match="This file is larger than 40 MB"):
        received(cast, data)


def test_a_broken_photo_is_refused_with_its_reason_and_nothing_stays(
    cast: School, media: Path, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        image = received(cast, files.photo()[:9000])
    image.refresh_from_db()
    assert image.state == StoredImage.State.REFUSED
    assert image.refusal.startswith("This file is damaged or incomplete.")
    assert stored(media) == []


def test_a_pdf_of_three_pages_says_so(
    cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        image = received(cast, files.pdf(3))
    image.refresh_from_db()
    assert image.refusal.startswith("This PDF has 3 pages")


def test_a_row_that_cannot_be_written_leaves_no_file(
    cast: School, media: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(**_: Any) -> Job:
        raise RuntimeError("no queue")

    monkeypatch.setattr(services, "ask_for", broken)
    with pytest.raises(RuntimeError, match="no queue"):
        received(cast, files.photo())
    assert not StoredImage.objects.exists()
    assert stored(media) == []


def test_whoever_owns_the_image_is_written_with_it_or_not_at_all(
    cast: School, media: Path, queued: None
) -> None:
    owned: list[StoredImage] = []
    file = SimpleUploadedFile("pot.jpg", files.photo())
    image = receive_image(
        studio=cast.studio, by=cast.student, file=file, at=NOW, attach=owned.append
    )
    assert owned == [image]

    def refuse(_image: StoredImage) -> None:
        raise Refused("This piece is closed.")

    with pytest.raises(Refused, match="This piece is closed"):
        receive_image(studio=cast.studio, by=cast.student, file=file, at=NOW, attach=refuse)
    assert StoredImage.objects.get() == image
    assert stored(media) == [image.quarantine_file]


def test_the_file_is_on_disk_before_the_row_is_written(
    cast: School, monkeypatch: pytest.MonkeyPatch, queued: None
) -> None:
    seen: list[int] = []
    save = FileSystemStorage.save

    def counted(self: FileSystemStorage, name: str, content: Any) -> str:
        seen.append(len(queries.captured_queries))
        return save(self, name, content)

    monkeypatch.setattr(FileSystemStorage, "save", counted)
    with CaptureQueriesContext(connection) as queries:
        received(cast, files.photo())
    assert seen == [0]


def test_reading_holds_no_transaction(
    cast: School, monkeypatch: pytest.MonkeyPatch, queued: None
) -> None:
    image = received(cast, files.photo())
    depth: list[int] = []

    @contextmanager
    def watched(chunks: Any) -> Iterator[Picture]:
        depth.append(len(transaction.get_connection().savepoint_ids))
        with picture_read(chunks) as picture:
            yield picture

    monkeypatch.setattr(services, "picture_read", watched)
    before = len(transaction.get_connection().savepoint_ids)
    run_job.call(str(Job.objects.get(subjects=[str(image.pk)]).pk))
    assert depth == [before]


def work_on(image: StoredImage) -> Work:
    work = claimed(job_id=str(Job.objects.get(subjects=[str(image.pk)]).pk))
    assert work is not None
    return work


def test_an_attempt_that_was_overtaken_takes_its_files_away(
    cast: School, media: Path, queued: None
) -> None:
    image = received(cast, files.photo())
    work = work_on(image)
    Job.objects.update(attempt=2)
    with pytest.raises(LeaseLost):
        read_image(work)
    assert stored(media) == [image.quarantine_file]


def test_what_an_attempt_left_that_was_killed_goes_when_the_next_one_is_done(
    cast: School,
    media: Path,
    queued: None,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    image = received(cast, files.photo())
    Job.objects.update(attempt=1)
    default_storage.save(file_names(image.stem, 1)[0], ContentFile(b"half"))
    with django_capture_on_commit_callbacks(execute=True):
        read_image(work_on(image))
    image.refresh_from_db()
    assert stored(media) == sorted(file_names(image.stem, 2))


def test_an_image_erased_meanwhile_is_no_fault(
    cast: School, queued: None, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    image = received(cast, files.photo())
    work = work_on(image)
    with django_capture_on_commit_callbacks(execute=True):
        erase_image(image=image)
    read_image(work)
    assert not work.is_finished


@pytest.mark.usefixtures("queued")
@pytest.mark.parametrize("data", [files.photo(), files.photo()[:200]], ids=["whole", "damaged"])
def test_an_image_erased_while_it_is_read_leaves_neither_file_nor_fault(
    data: bytes,
    cast: School,
    media: Path,
    monkeypatch: pytest.MonkeyPatch,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    image = received(cast, data)
    job = Job.objects.get()

    @contextmanager
    def erased_first(chunks: Iterator[bytes]) -> Iterator[Picture]:
        kept = list(chunks)
        with django_capture_on_commit_callbacks(execute=True):
            erase_image(image=image)
        with picture_read(iter(kept)) as picture:
            yield picture

    monkeypatch.setattr(services, "picture_read", erased_first)
    run_job.call(str(job.pk))
    job.refresh_from_db()
    assert (job.state, job.attempt) == (Job.State.DONE, 1)
    assert stored(media) == []


def test_after_three_faults_of_ours_the_image_says_so(
    cast: School,
    media: Path,
    monkeypatch: pytest.MonkeyPatch,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    def fault(_chunks: Any) -> Any:
        raise RuntimeError("no such module")

    monkeypatch.setattr(services, "picture_read", fault)
    with django_capture_on_commit_callbacks(execute=True):
        image = received(cast, files.photo())
    image.refresh_from_db()
    assert image.refusal.startswith("This picture could not be worked on")
    job = Job.objects.get()
    assert (job.state, job.attempt) == (Job.State.REFUSED, 3)
    assert stored(media) == []


def test_a_picture_that_waited_too_long_is_refused(cast: School, media: Path, queued: None) -> None:
    image = received(cast, files.photo())
    (media / image.quarantine_file).unlink()
    read_image(work_on(image))
    image.refresh_from_db()
    assert image.refusal.startswith("This picture waited for more than a day")


def test_erasing_deletes_the_files_once_it_is_certain(
    cast: School, media: Path, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        image = received(cast, files.photo())
    image.refresh_from_db()
    with django_capture_on_commit_callbacks() as callbacks:
        erase_image(image=image)
    assert not StoredImage.objects.exists()
    assert len(stored(media)) == 2
    for callback in callbacks:
        callback()
    assert stored(media) == []


def test_the_quarantine_is_emptied_after_a_day(cast: School, media: Path, queued: None) -> None:
    received(cast, files.photo())
    now = datetime.now(UTC)
    clear_quarantine(at=now + timedelta(hours=23))
    assert len(stored(media)) == 1
    clear_quarantine(at=now + timedelta(hours=25))
    assert stored(media) == []


def test_an_empty_storage_has_no_quarantine_to_clear(media: Path, cast: School) -> None:
    clear_quarantine(at=NOW)
    assert stored(media) == []


@pytest.mark.parametrize(
    ("given", "shown"),
    [
        ("pot.jpg", "pot.jpg"),
        ("../../etc/passwd", "passwd"),
        ("C:\\Users\\Bram\\Desktop\\vaas.png", "vaas.png"),
        ("pot\u202egpj.exe", "potgpj.exe"),
        ("a\x00b\r\nc.jpg", "abc.jpg"),
        ("cafe\u0301.jpg", "café.jpg"),
        ("  ", "picture"),
        ("", "picture"),
        (None, "picture"),
        ("x" * 300 + ".jpg", "x" * 120),
    ],
)
def test_a_file_name_is_made_fit_to_show(given: str | None, shown: str) -> None:
    assert cleaned_name(given) == shown


def test_a_row_is_named_by_its_file() -> None:
    assert str(StoredImage(original_name="pot.jpg")) == "pot.jpg"


def test_what_comes_then_is_asked_for_in_the_moment_in_which_a_photo_is_ready(
    cast: School, queued: None
) -> None:
    image = receive_image(
        studio=cast.studio,
        by=cast.student,
        file=SimpleUploadedFile("pot.jpg", files.photo()),
        at=NOW,
        then="trace_drawing",
    )
    (reading,) = Job.objects.all()
    run_job.call(str(reading.pk))
    following = Job.objects.get(kind="trace_drawing")
    assert (following.state, following.by) == (Job.State.WAITING, cast.student)
    assert following.subjects == [str(image.pk)]


def test_nothing_comes_then_where_a_photo_is_not_taken(cast: School, queued: None) -> None:
    receive_image(
        studio=cast.studio,
        by=cast.student,
        file=SimpleUploadedFile("pot.jpg", files.photo()[:5000]),
        at=NOW,
        then="trace_drawing",
    )
    run_job.call(str(Job.objects.get().pk))
    assert not Job.objects.filter(kind="trace_drawing").exists()
