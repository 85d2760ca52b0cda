"""A scan of a class's sheets from the copier to its pieces, each page once."""

import io
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

import cv2
import numpy as np
import pytest
from django.core.exceptions import PermissionDenied
from django.core.files.storage import default_storage
from PIL import Image
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings
from reportlab.lib.pdfencrypt import StandardEncryption
from reportlab.pdfgen.canvas import Canvas

from planning.models import Assignment, Piece, Scan, ScanPage, Sheet
from planning.photos import scan_limits
from planning.photos.scan_words import page_sentence, scan_sentence
from planning.photos.scans import PageRead, PagesRead
from planning.services import scans as service
from planning.services import sheets
from planning.services.assignments import take_back_brief
from planning.services.scans import add_scan
from planning.splitting.codes import ANCHOR, codes_on
from studio.errors import Conflict, Refused
from studio.jobs.models import Job
from studio.jobs.tasks import MAX_ATTEMPTS, run_job
from studio.jobs.work import LeaseLost, claimed
from studio.people.models import AuditEntry, User
from studio.uploads.reading import Picture, Unreadable
from tests.cast import NOW, School
from tests.planning import scanned
from tests.planning.projects import given
from tests.planning.work import piece_of

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    """Jobs wait on the queue, so that a test sees what happens in between."""
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


@pytest.fixture
def assignment(cast: School) -> Assignment:
    return given(cast.teacher, cast.section)[0]


def code_of(piece: Piece) -> str:
    return scanned.of_piece(piece).address + ANCHOR


def picture(shade: int) -> Picture:
    files = []
    for _ in range(2):
        out = io.BytesIO()
        Image.new("L", (24, 30), shade).save(out, "JPEG")
        out.seek(0)
        files.append(out)
    return Picture("jpeg", 24, 30, None, *files)


def pages_with(monkeypatch: pytest.MonkeyPatch, *pages: str | Sequence[str]) -> None:
    """As if a scan had these pages: the texts of each one's codes, or why it wasn't drawn."""

    def read(number: int) -> PageRead:
        page = pages[number - 1]
        if isinstance(page, str):
            return PageRead(number, None, refused=page)
        return PageRead(number, picture(40 * number), page)

    @contextmanager
    def pages_of(_source: IO[bytes], numbers: Sequence[int]) -> Iterator[PagesRead]:
        there = [read(number) for number in numbers if number <= len(pages)]
        yield PagesRead(len(pages), there)

    monkeypatch.setattr(service, "pages_of", pages_of)


def sent(assignment: Assignment, by: User, content: bytes = b"%PDF-1.7 a scan") -> Scan:
    return add_scan(assignment=assignment, by=by, file=scanned.scan_file(content), at=NOW)


def run(scan: Scan) -> Scan:
    job = Job.objects.get(kind="read_scan", subjects=[str(scan.pk)], state=Job.State.WAITING)
    run_job.call(str(job.pk))
    return Scan.objects.get(pk=scan.pk)


def states(scan: Scan) -> list[tuple[int, str, str]]:
    return [(page.number, page.state, page.why) for page in scan.read_pages.all()]


def test_a_scan_of_the_class_is_sorted_to_its_pieces(
    cast: School,
    assignment: Assignment,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    ode, bram = (piece_of(assignment, each) for each in (cast.student, cast.classmate))
    first, second = (scanned.blank_page(scanned.of_piece(each)) for each in (ode, bram))
    turned = np.ascontiguousarray(np.rot90(second, 2))
    content = scanned.pdf_of([turned, scanned.without_code(), first])
    scan = sent(assignment, cast.teacher, content)
    file = scan.quarantine_file
    with django_capture_on_commit_callbacks(execute=True):
        scan = run(scan)
    assert (scan.state, scan.pages, scan.quarantine_file) == ("read", 3, "")
    assert not default_storage.exists(file)
    assert states(scan) == [(1, "sheet", ""), (2, "waiting", "no_code"), (3, "sheet", "")]
    theirs, nobodys, mine = scan.read_pages.all()
    assert (theirs.piece, mine.piece, nobodys.piece) == (bram, ode, None)
    assert (theirs.sheet, mine.sheet) == (bram.sheets.get(), ode.sheets.get())
    # The page that lay upside down stands upright, read again by its own code.
    image = bram.sheets.get().image
    with default_storage.open(image.full_file or image.quarantine_file) as kept:
        there = cv2.imdecode(np.frombuffer(kept.read(), np.uint8), cv2.IMREAD_GRAYSCALE)
    (code,) = codes_on(np.asarray(there))
    assert (code.text, code.turns) == (code_of(bram), 0)
    assert image.by == cast.teacher
    assert default_storage.exists(nobodys.image.full_file if nobodys.image else "")
    told = AuditEntry.objects.get(action="scan read").after
    assert told == {"pages": 3, "sheets": 2, "waiting": 1, "refused": ""}


def test_it_is_received_once_though_it_is_sent_twice(cast: School, assignment: Assignment) -> None:
    scan = sent(assignment, cast.teacher)
    with pytest.raises(Refused, match="This scan is here already") as refused:
        sent(assignment, cast.teacher)
    assert refused.value.problems[0].field == "scans"
    assert list(Scan.objects.all()) == [scan]
    assert Job.objects.get().subjects == [str(scan.pk)]
    assert len(default_storage.listdir("quarantine")[1]) == 1


def test_only_those_who_teach_the_class_send_a_scan(cast: School, assignment: Assignment) -> None:
    for other in (cast.other_teacher, cast.student, cast.technician, cast.elsewhere.teacher):
        with pytest.raises(PermissionDenied):
            sent(assignment, other)
    assert not Scan.objects.exists()


@pytest.mark.parametrize(
    ("content", "words"),
    [(b"", "This file is empty"), (b"no scan at all", "This is not a scan that can be read here")],
)
def test_what_is_no_scan_is_refused_at_once(
    cast: School, assignment: Assignment, content: bytes, words: str
) -> None:
    with pytest.raises(Refused, match=words) as refused:
        sent(assignment, cast.teacher, content)
    assert refused.value.problems[0].field == "scans"
    assert not Scan.objects.exists()


def locked() -> bytes:
    out = io.BytesIO()
    canvas = Canvas(out, encrypt=StandardEncryption("slip", canPrint=0))
    canvas.drawString(72, 72, "A page")
    canvas.save()
    return out.getvalue()


def long() -> bytes:
    out = io.BytesIO()
    canvas = Canvas(out)
    for _ in range(scan_limits.MOST_PAGES + 1):
        canvas.showPage()
    canvas.save()
    return out.getvalue()


UNREADABLE: dict[str, tuple[Callable[[], bytes], str]] = {
    "broken": (lambda: long()[:-400], "This file is damaged or incomplete."),
    "pdf_locked": (locked, "This PDF is locked with a password."),
    "scan_pages": (long, "This PDF has 61 pages; at most 60 are read at once."),
}


@pytest.mark.parametrize("code", UNREADABLE)
def test_a_scan_that_cannot_be_opened_says_why(
    cast: School,
    assignment: Assignment,
    code: str,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    made, words = UNREADABLE[code]
    content = made()
    scan = sent(assignment, cast.teacher, content)
    file = scan.quarantine_file
    with django_capture_on_commit_callbacks(execute=True):
        scan = run(scan)
    assert (scan.state, scan.refusal_code) == ("refused", code)
    assert scan_sentence(code, scan.refusal_values).startswith(words)
    assert not default_storage.exists(file)
    assert not scan.read_pages.exists()
    sent(assignment, cast.teacher, content)  # it may come again


def test_a_page_that_is_nobodys_waits_with_its_reason(
    cast: School, assignment: Assignment, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = piece_of(assignment, cast.student)
    (others,) = given(cast.other_teacher, cast.other_section)
    (foreign,) = given(cast.elsewhere.teacher, cast.elsewhere.section)
    foreign_piece = piece_of(foreign, cast.elsewhere.student)
    nobody = scanned.paper_of().address + ANCHOR
    pages_with(
        monkeypatch,
        [],
        [nobody, "a label on the pot"],
        [code_of(foreign_piece)],
        [code_of(piece_of(others, cast.other_student))],
        "too_long",
        [nobody, code_of(piece)],  # the sixth: read by a second process
    )
    scan = run(sent(assignment, cast.teacher))
    assert states(scan) == [
        (1, "waiting", "no_code"),
        (2, "waiting", "unknown"),
        (3, "waiting", "elsewhere"),
        (4, "waiting", "not_taught"),
        (5, "waiting", "too_long"),
        (6, "sheet", ""),
    ]
    pages = list(scan.read_pages.all())
    # What a foreign code names is told to nobody.
    assert [page.piece for page in pages] == [None] * 5 + [piece]
    assert [page.image is None for page in pages] == [False] * 4 + [True] * 2
    assert page_sentence(pages[0]) == "No code can be read on this page."
    assert page_sentence(pages[4]).startswith("This page is longer than 90 cm")
    assert page_sentence(pages[5]) == ""
    assert Sheet.objects.get().piece == piece


def test_a_page_of_a_full_piece_waits_with_what_the_piece_says(
    cast: School, assignment: Assignment, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = piece_of(assignment, cast.student)
    monkeypatch.setattr(sheets, "MOST_WAITING", 1)
    pages_with(monkeypatch, [code_of(piece)], [code_of(piece)])
    scan = run(sent(assignment, cast.teacher))
    assert states(scan) == [(1, "sheet", ""), (2, "waiting", "refused")]
    page = scan.read_pages.get(number=2)
    assert page.piece == piece
    assert page_sentence(page).startswith("1 sheets wait here.")
    assert page.image is not None


def test_a_page_of_who_has_left_waits_and_of_a_closed_account_is_not_kept(
    cast: School, assignment: Assignment, monkeypatch: pytest.MonkeyPatch
) -> None:
    pieces = [piece_of(assignment, each) for each in (cast.student, cast.classmate)]
    User.objects.filter(pk=cast.classmate.pk).update(is_active=False)
    monkeypatch.setattr("planning.models.piece.PieceQuerySet.of_enrolled", lambda all_: all_.none())
    pages_with(monkeypatch, *([code_of(piece)] for piece in pieces))
    scan = run(sent(assignment, cast.teacher))
    assert states(scan) == [(1, "waiting", "left"), (2, "away", "closed")]
    assert [page.image is None for page in scan.read_pages.all()] == [False, True]
    assert not Sheet.objects.exists()


def test_a_piece_that_goes_at_this_moment_is_unknown(
    cast: School, assignment: Assignment, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone(_piece: Piece) -> None:
        raise Conflict("Gone.")

    pages_with(monkeypatch, [code_of(piece_of(assignment, cast.student))])
    monkeypatch.setattr(service, "locked_piece", gone)
    assert states(run(sent(assignment, cast.teacher))) == [(1, "waiting", "unknown")]


def test_a_break_in_the_middle_makes_no_page_twice_and_leaves_none_out(
    cast: School, assignment: Assignment, monkeypatch: pytest.MonkeyPatch, settings: Settings
) -> None:
    ode, bram = (piece_of(assignment, each) for each in (cast.student, cast.classmate))
    pages_with(monkeypatch, [code_of(ode)], [], [code_of(bram)], [])
    save = default_storage.save
    with monkeypatch.context() as meanwhile:

        def breaks(name: str, file: Any) -> str:
            if "-4-" in name and "small" in name:
                raise OSError("The disk is full.")
            return save(name, file)

        meanwhile.setattr(default_storage, "save", breaks)
        scan = run(sent(assignment, cast.teacher))
    assert (scan.state, len(states(scan))) == ("received", 3)
    kept = [path.name for path in Path(settings.MEDIA_ROOT).rglob("*-4-*")]
    assert kept == []  # of the page that broke
    before = list(scan.read_pages.values())
    scan = run(scan)
    assert scan.state == "read"
    assert Job.objects.get(kind="read_scan").attempt == 2
    assert list(scan.read_pages.values())[:3] == before
    assert [state for _, state, _ in states(scan)] == ["sheet", "waiting", "sheet", "waiting"]
    assert [ode.sheets.count(), bram.sheets.count()] == [1, 1]


def test_an_attempt_that_was_overtaken_writes_nothing(
    cast: School, assignment: Assignment, monkeypatch: pytest.MonkeyPatch
) -> None:
    pages_with(monkeypatch, [code_of(piece_of(assignment, cast.student))], [])
    scan = sent(assignment, cast.teacher)
    job = Job.objects.get()
    first = claimed(job_id=str(job.pk))
    assert first is not None
    Job.objects.filter(pk=job.pk).update(state=Job.State.WAITING)  # as the sweep hands it on
    second = claimed(job_id=str(job.pk))
    assert second is not None
    with pytest.raises(LeaseLost):
        service.read_scan(first)
    assert not ScanPage.objects.exists()
    service.read_scan(second)
    assert (ScanPage.objects.count(), Sheet.objects.count()) == (2, 1)
    service.read_scan(first)
    scan = Scan.objects.get(pk=scan.pk)
    # One that was between its sign of life and its page finds the page written.
    page = PageRead(1, picture(40), [code_of(piece_of(assignment, cast.student))])
    service._write_down(scan, page, 3)
    assert (ScanPage.objects.count(), Sheet.objects.count()) == (2, 1)


def test_a_scan_that_is_given_up_says_so_and_sent_again_takes_no_page_twice(
    cast: School, assignment: Assignment, monkeypatch: pytest.MonkeyPatch
) -> None:
    ode, bram = (piece_of(assignment, each) for each in (cast.student, cast.classmate))
    pages_with(monkeypatch, [code_of(ode)], [code_of(bram)])
    scan = sent(assignment, cast.teacher)
    with monkeypatch.context() as meanwhile:

        def breaks(piece: Piece, *rest: Any, _whole: Any = service._sheet_of) -> Any:
            if piece == bram:
                raise RuntimeError("a fault of ours")
            return _whole(piece, *rest)

        meanwhile.setattr(service, "_sheet_of", breaks)
        for _ in range(MAX_ATTEMPTS):
            scan = run(scan)
    assert (scan.state, scan.refusal_code) == ("refused", "gave_up")
    assert scan_sentence("gave_up", {}).startswith("This scan could not be read to its end")
    assert states(scan) == [(1, "sheet", "")]
    again = run(sent(assignment, cast.teacher))
    assert states(again) == [(1, "sheet", ""), (2, "sheet", "")]
    assert [ode.sheets.count(), bram.sheets.count()] == [1, 1]
    assert again.read_pages.get(number=1).sheet == scan.read_pages.get(number=1).sheet


def test_a_file_that_is_gone_is_told(cast: School, assignment: Assignment) -> None:
    scan = sent(assignment, cast.teacher)
    default_storage.delete(scan.quarantine_file)
    scan = run(scan)
    assert (scan.state, scan.refusal_code) == ("refused", "gone")
    assert scan_sentence("gone", {}).startswith("This scan waited for too long")


def test_what_could_not_be_read_for_time_or_memory_is_told(
    cast: School, assignment: Assignment, monkeypatch: pytest.MonkeyPatch
) -> None:
    def too_heavy(*_: object) -> Any:
        raise Unreadable("too_heavy", {})

    monkeypatch.setattr(service, "pages_of", too_heavy)
    assert run(sent(assignment, cast.teacher)).refusal_code == "too_heavy"


def test_a_brief_on_which_a_scan_waits_is_not_taken_back(
    cast: School, assignment: Assignment, monkeypatch: pytest.MonkeyPatch
) -> None:
    scan = sent(assignment, cast.teacher)
    with pytest.raises(Refused, match="Scanned sheets of this class wait"):
        take_back_brief(assignment=assignment, by=cast.teacher)
    pages_with(monkeypatch, [])
    run(scan)
    with pytest.raises(Refused, match="Scanned sheets of this class wait"):
        take_back_brief(assignment=assignment, by=cast.teacher)
    ScanPage.objects.update(state=ScanPage.State.AWAY)
    take_back_brief(assignment=assignment, by=cast.teacher)
    assert not Scan.objects.exists()
