"""Scans that are drawn and read by the process that does so: real pages, codes and files."""

import numpy as np
import pytest
from django.core.files.storage import default_storage
from PIL import Image
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from planning.models import Piece, Scan, ScanPage, Sheet
from planning.photos.scan_words import page_sentence
from planning.selectors.scans import piece_of_codes
from planning.services.scan_pages import give_page, put_page_away
from planning.services.scans import add_scan
from planning.services.sheets import put_away
from studio.errors import Conflict, Refused
from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from studio.people.models import AuditEntry
from tests.cast import NOW, School
from tests.planning import scanned
from tests.planning.drawings import run_all
from tests.planning.exploration.ideas import Array
from tests.planning.projects import a_brief, given
from tests.planning.scanned import blank_page, of_piece, paper_of, pdf_of, scan_file, without_code
from tests.planning.sheet_photos import sent
from tests.planning.splitting.counting import overlap
from tests.planning.work import a_piece, photo, piece_of
from tests.studio.keeping.conftest import files_kept
from tests.studio.uploads import files

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    """Jobs wait on the queue, so that a test sees what happens in between."""
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


@pytest.fixture
def piece(cast: School) -> Piece:
    return a_piece(cast)


def received(cast: School, piece: Piece, *pages: Array, content: bytes = b"") -> Scan:
    file = scan_file(content or pdf_of(pages))
    return add_scan(assignment=piece.assignment, by=cast.teacher, file=file, at=NOW)


def read(scan: Scan) -> Scan:
    run_job.call(str(Job.objects.get(kind="read_scan", subjects=[str(scan.pk)]).pk))
    scan.refresh_from_db()
    return scan


def pages_of(scan: Scan) -> list[tuple[int, str, str, Piece | None]]:
    return [(page.number, page.state, page.why, page.piece) for page in scan.read_pages.all()]


def a_page_of(piece: Piece) -> Array:
    return blank_page(of_piece(piece))


def test_a_page_becomes_a_sheet_of_its_piece_and_comes_apart(cast: School, piece: Piece) -> None:
    """As it was drawn on paper, scanned askew and upside down: the boxes hold the drawings."""
    drawn, boxes = scanned.drawn_on(scanned.printed(of_piece(piece)), 6, 11)
    picture, there = scanned.scanned(drawn, 200, 11)
    scan = received(cast, piece, content=pdf_of([np.rot90(picture, 2)], 200))
    assert (scan.state, scan.pages, Sheet.objects.count()) == ("received", None, 0)
    read(scan)
    assert (scan.state, scan.pages, pages_of(scan)) == ("read", 1, [(1, "sheet", "", piece)])
    run_all()
    sheet = Sheet.objects.select_related("image").get()
    assert (sheet.piece, sheet.image.by, sheet.found) == (piece, cast.teacher, "several")
    assert sheet.image.original_name == "class, page 1.jpg"
    # Its margin is a thirtieth of a box, and the copier's pixels are those of the picture.
    truth, found = scanned.boxes_in(boxes, there), np.array(sheet.boxes, float)
    assert found.shape == truth.shape
    assert overlap(truth, found).diagonal().min() > 0.5


def test_a_scan_of_the_class_is_sorted_and_what_is_not_its_own_waits(
    cast: School, piece: Piece, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    (other,) = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, "A pair"))
    mate, earlier = piece_of(piece.assignment, cast.classmate), piece_of(other, cast.student)
    (foreign,) = given(cast.other_teacher, cast.other_section)
    (far,) = given(cast.elsewhere.teacher, cast.elsewhere.section)
    with django_capture_on_commit_callbacks(execute=True):
        scan = read(
            received(
                cast,
                piece,
                np.rot90(a_page_of(mate), 2),
                a_page_of(piece),
                a_page_of(piece_of(foreign, cast.other_student)),
                a_page_of(piece_of(far, cast.elsewhere.student)),
                without_code(),
                blank_page(paper_of()),
                a_page_of(earlier),
            )
        )
    assert pages_of(scan) == [
        (1, "sheet", "", mate),
        (2, "sheet", "", piece),
        (3, "waiting", "not_taught", None),
        (4, "waiting", "elsewhere", None),
        (5, "waiting", "no_code", None),
        (6, "waiting", "unknown", None),
        (7, "sheet", "", earlier),
    ]
    assert [page_sentence(page) for page in scan.read_pages.all()] == [
        "",
        "",
        "This page is of a class that you don’t teach.",
        "The code on this page is of another studio.",
        "No code can be read on this page.",
        "The code on this page is of no piece here.",
        "",
    ]
    assert {sheet.piece for sheet in Sheet.objects.all()} == {mate, piece, earlier}
    # Those that wait have pictures; the scan itself is gone.
    for page in ScanPage.objects.waiting():
        assert page.image is not None
        with default_storage.open(page.image.full_file) as full, Image.open(full) as image:
            assert image.size == (page.image.width, page.image.height)
    assert scan.quarantine_file == ""
    quarantined = {name for name in files_kept() if name.startswith("quarantine/")}
    assert quarantined == set(Sheet.objects.values_list("image__quarantine_file", flat=True))
    lines = AuditEntry.objects.filter(subject_id=str(scan.pk)).order_by("at")
    assert [line.action for line in lines] == ["scan received", "scan read"]
    assert lines[1].after == {"pages": 7, "sheets": 3, "waiting": 4, "refused": ""}


def test_a_code_that_leads_elsewhere_or_nowhere_is_unknown(cast: School, piece: Piece) -> None:
    for code in (
        "K7-3F",
        "https://[",
        f"https://x.example/plans/{piece.pk}/",
        "https://x/pieces/1/",
    ):
        assert piece_of_codes([code], cast.teacher) == (None, "unknown")
    under = [f"https://x.example/studio{piece.get_absolute_url()}?from=paper#sketch"]
    assert piece_of_codes(["K7-3F", *under], cast.teacher) == (piece, "")


def test_pages_that_cannot_be_drawn_wait_without_a_picture(cast: School, piece: Piece) -> None:
    from tests.planning.photos.test_scan_child import sized  # noqa: PLC0415 -- and no more of it

    scan = read(received(cast, piece, content=sized((300, 1200), (210, 297))))
    assert pages_of(scan) == [(1, "waiting", "too_long", None), (2, "waiting", "no_code", None)]
    page = scan.read_pages.select_related("scan__assignment__section__studio").get(number=1)
    assert page.image is None
    assert page_sentence(page).startswith("This page is longer than 90 cm")
    with pytest.raises(Conflict):
        give_page(page=page, piece=piece, by=cast.teacher, at=NOW)
    put_page_away(page=page, by=cast.teacher)
    assert page.state == "waiting"
    assert pages_of(scan)[0][1] == "away"


def test_a_piece_that_takes_no_more_says_so_and_can_be_given_later(
    cast: School, piece: Piece, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("planning.services.sheets.MOST_WAITING", 1)
    earlier = sent(piece)
    scan = read(received(cast, piece, a_page_of(piece)))
    assert pages_of(scan) == [(1, "waiting", "refused", piece)]
    page = scan.read_pages.select_related("image", "scan__assignment__section__studio").get()
    assert page_sentence(page).startswith("1 sheets wait here. Take their drawings first")
    with pytest.raises(Refused, match="1 sheets wait here"):
        give_page(page=page, piece=piece, by=cast.teacher, at=NOW)
    assert ScanPage.objects.waiting().get().image == page.image
    put_away(sheet=earlier, by=cast.student)
    give_page(page=page, piece=piece, by=cast.teacher, at=NOW)
    assert pages_of(scan) == [(1, "sheet", "refused", piece)]


def test_pictures_of_single_sheets_are_scans_too(cast: School, piece: Piece) -> None:
    coded = files.saved(Image.fromarray(np.rot90(a_page_of(piece))))
    scan = read(received(cast, piece, content=coded))
    assert pages_of(scan) == [(1, "sheet", "", piece)]
    plain = read(received(cast, piece, content=photo(7).read()))
    assert pages_of(plain) == [(1, "waiting", "no_code", None)]
