"""Two workers at one scan, two teachers at one page, an erasure in between."""

import pytest
from pytest_django import Settings

from planning.models import Piece, Scan, ScanPage, Sheet
from planning.photos.scans import pages_of, scan_opened
from planning.services import scans as service
from planning.services.scan_pages import give_page, put_page_away
from planning.services.scans import add_scan
from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from studio.keeping.services import erase_person
from studio.uploads.models import StoredImage
from tests.cast import NOW, School
from tests.planning.scanned import blank_page, of_piece, pdf_of, scan_file, without_code
from tests.planning.work import a_piece, piece_of
from tests.studio.keeping.conftest import files_kept
from tests.studio.ware.services.test_races import at_once

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]

GONE = "This page does not wait any more, perhaps because of another window."


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def received(cast: School, piece: Piece, content: bytes) -> Scan:
    file = scan_file(content)
    return add_scan(assignment=piece.assignment, by=cast.teacher, file=file, at=NOW)


def a_page(cast: School, piece: Piece, content: bytes) -> ScanPage:
    received(cast, piece, content)
    run_job.call(str(Job.objects.get(kind="read_scan").pk))
    return ScanPage.objects.select_related("image", "scan__assignment__section__studio").get()


def test_a_scan_sent_twice_at_once_is_one(cast: School) -> None:
    piece, content = a_piece(cast), pdf_of([without_code()])
    said = at_once(*[lambda: received(cast, piece, content)] * 2)
    assert said == ["", "This scan is here already; it stands below."]
    assert (Scan.objects.count(), len(files_kept())) == (1, 1)


def test_an_overtaken_worker_and_the_next_write_each_page_once(cast: School) -> None:
    piece = a_piece(cast)
    content = pdf_of([blank_page(of_piece(piece)), without_code()])
    scan = received(cast, piece, content)

    def write(attempt: int) -> None:
        with scan_opened([content]) as source, pages_of(source, [1, 2]) as found:
            for page in found.pages:
                service._write_down(Scan.objects.get(pk=scan.pk), page, attempt)

    assert at_once(lambda: write(1), lambda: write(2)) == ["", ""]
    assert [page.state for page in scan.read_pages.all()] == ["sheet", "waiting"]
    assert (Sheet.objects.count(), StoredImage.objects.count()) == (1, 2)
    assert len([name for name in files_kept() if name.startswith("images/")]) == 2


def test_a_page_is_given_to_one_of_two_or_put_away(cast: School) -> None:
    piece = a_piece(cast)
    mate = piece_of(piece.assignment, cast.classmate)
    page = a_page(cast, piece, pdf_of([without_code()]))
    said = at_once(
        lambda: give_page(page=page, piece=piece, by=cast.teacher, at=NOW),
        lambda: give_page(page=page, piece=mate, by=cast.head, at=NOW),
        lambda: put_page_away(page=page, by=cast.teacher),
    )
    assert said == ["", GONE, GONE]
    given = ScanPage.objects.get()
    assert Sheet.objects.count() == (given.state == "sheet")
    assert not [name for name in files_kept() if name.startswith("images/")]


def test_a_student_erased_while_their_page_is_given_leaves_nothing(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page waits with their piece: its scan is held first, the piece second, and who erases
    holds pieces only, so that neither waits for ever."""
    monkeypatch.setattr("planning.services.sheets.MOST_WAITING", 0)
    piece = a_piece(cast)
    page = a_page(cast, piece, pdf_of([blank_page(of_piece(piece))]))
    assert (page.why, page.piece) == ("refused", piece)
    monkeypatch.setattr("planning.services.sheets.MOST_WAITING", 12)
    mate = piece_of(piece.assignment, cast.classmate)
    said = at_once(
        lambda: give_page(page=page, piece=mate, by=cast.teacher, at=NOW),
        lambda: erase_person(person=cast.student, by=cast.head, at=NOW),
    )
    assert said in (["", ""], ["", GONE])
    if said == ["", GONE]:
        assert not StoredImage.objects.exists()
    else:
        assert Sheet.objects.get().piece == mate
    assert not [name for name in files_kept() if name.startswith("images/")]
