"""Scans of a class's sheets: kept in back-ups; their pages gone with the student they are of."""

from pathlib import Path

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from planning.models import Piece, Scan, ScanPage, Sheet
from planning.services.scans import add_scan
from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from studio.keeping.services import back_up, erase_person, restore
from studio.people.services import let_sign_in
from studio.uploads.models import StoredImage
from tests.cast import NOW, School
from tests.planning.scanned import blank_page, of_piece, pdf_of, scan_file, without_code
from tests.planning.work import a_piece, photo, piece_of
from tests.studio.keeping.conftest import files_kept, files_named
from tests.studio.keeping.places import emptied, manifest_of

pytestmark = pytest.mark.both_databases


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def received(cast: School, piece: Piece) -> Scan:
    """Two pages, the first with the code of the piece; not read yet."""
    file = scan_file(pdf_of([blank_page(of_piece(piece)), without_code()]))
    return add_scan(assignment=piece.assignment, by=cast.teacher, file=file, at=NOW)


def read(scan: Scan) -> None:
    run_job.call(str(Job.objects.get(kind="read_scan", subjects=[str(scan.pk)]).pk))


def waiting(scan: Scan, number: int, piece: Piece | None) -> ScanPage:
    """A page with a picture; `piece` is what its code says."""
    full, small = (
        default_storage.save(f"images/p{number}-{size}.jpg", ContentFile(photo(number).read()))
        for size in ("full", "small")
    )
    image = StoredImage.objects.create(
        studio=scan.assignment.section.studio,
        by=scan.by,
        created_at=NOW,
        state=StoredImage.State.READY,
        original_bytes=0,
        stem=f"p{number}",
        full_file=full,
        small_file=small,
        width=24,
        height=24,
    )
    why = ScanPage.Why.LEFT if piece else ScanPage.Why.NO_CODE
    state = ScanPage.State.WAITING
    return scan.read_pages.create(number=number, state=state, why=why, piece=piece, image=image)


@pytest.mark.django_db
def test_erasing_a_student_deletes_the_pages_of_their_piece_and_no_others(
    cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    piece = a_piece(cast)
    scan = received(cast, piece)
    Scan.objects.update(state=Scan.State.READ)
    waiting(scan, 1, piece)
    others = {waiting(scan, 2, None), waiting(scan, 3, piece_of(piece.assignment, cast.classmate))}
    with django_capture_on_commit_callbacks(execute=True):
        erase_person(person=cast.student, by=cast.head, at=NOW)
    assert set(scan.read_pages.all()) == others
    assert set(StoredImage.objects.all()) == {page.image for page in others}
    kept = {name for name in files_kept() if name.startswith("images/")}
    assert kept == files_named()
    assert len(kept) == 4


@pytest.mark.django_db
def test_a_scan_that_is_read_after_its_student_was_erased_brings_nothing_back(
    cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    piece = a_piece(cast)
    with django_capture_on_commit_callbacks(execute=True):
        scan = received(cast, piece)
        erase_person(person=cast.student, by=cast.head, at=NOW)
        read(scan)
    first, second = scan.read_pages.all()
    assert (first.state, first.why, first.image) == ("away", ScanPage.Why.CLOSED, None)
    assert second.why == ScanPage.Why.NO_CODE
    assert not Sheet.objects.exists()
    assert {name for name in files_kept() if name.startswith("images/")} == files_named()
    assert not [name for name in files_kept() if name.startswith("quarantine/")]


@pytest.mark.django_db
def test_erasing_a_teacher_leaves_the_pages_with_the_class_and_no_name_of_a_file(
    cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    scan = received(cast, a_piece(cast))
    page = waiting(scan, 2, None)
    let_sign_in(person=cast.teacher, by=cast.head, allowed=False)
    with django_capture_on_commit_callbacks(execute=True):
        erase_person(person=cast.teacher, by=cast.head, at=NOW)
    scan.refresh_from_db()
    assert scan.original_name == ""
    assert scan.quarantine_file in files_kept()
    assert list(scan.read_pages.all()) == [page]
    assert StoredImage.objects.get() == page.image


@pytest.mark.django_db(transaction=True)
def test_a_back_up_of_a_scan_that_is_not_read_yet_is_read_where_it_is_restored(
    cast: School, tmp_path: Path, settings: Settings
) -> None:
    piece = a_piece(cast)
    scan = received(cast, piece)
    page = waiting(scan, 2, None)
    Scan.objects.update(pages=2)
    assert back_up(file=tmp_path / "all.zip", at=NOW).missing == []
    tables = manifest_of(tmp_path / "all.zip").tables
    assert (tables["planning.Scan"].rows, tables["planning.ScanPage"].rows) == (1, 1)
    emptied(tmp_path / "there", settings)
    restore(file=tmp_path / "all.zip", at=NOW)
    assert {scan.quarantine_file, *files_named()} <= files_kept()
    read(scan)
    first, second = scan.read_pages.all()
    assert (first.sheet, second) == (Sheet.objects.get(piece=piece.pk), page)
    assert Scan.objects.get().state == Scan.State.READ
    assert scan.quarantine_file not in files_kept()


@pytest.mark.django_db(transaction=True)
def test_a_back_up_says_that_the_file_of_a_scan_is_missing(cast: School, tmp_path: Path) -> None:
    scan = received(cast, a_piece(cast))
    default_storage.delete(scan.quarantine_file)
    assert back_up(file=tmp_path / "all.zip", at=NOW).missing == [scan.quarantine_file]
