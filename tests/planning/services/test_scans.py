"""A scan of a class's sheets from the copier to the pieces, and whatever comes in between."""

from typing import Any

import numpy as np
import pytest
from django.core.exceptions import PermissionDenied
from django.core.files.storage import default_storage
from django.db import transaction
from PIL import Image
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from planning.models import Piece, Scan, ScanPage, Sheet
from planning.photos.scan_words import page_sentence, scan_sentence
from planning.photos.scans import PageRead
from planning.selectors.scans import piece_of_codes
from planning.services import scans as service
from planning.services.assignments import take_back_brief
from planning.services.scan_pages import give_page, put_page_away
from planning.services.scans import add_scan
from planning.services.sheets import put_away
from studio.errors import Conflict, Refused
from studio.jobs.models import Job
from studio.jobs.tasks import MAX_ATTEMPTS, hand_on, run_job
from studio.people.models import AuditEntry, Enrolment, User
from studio.uploads.models import StoredImage
from tests.cast import NOW, TODAY, School
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


def waiting(cast: School, piece: Piece) -> ScanPage:
    """A page without a code."""
    read(received(cast, piece, without_code()))
    return ScanPage.objects.select_related("image", "scan__assignment__section__studio").get()


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


def test_the_same_file_is_refused_until_it_could_not_be_read(cast: School, piece: Piece) -> None:
    scan = received(cast, piece, without_code())
    kept = files_kept()
    with pytest.raises(Refused, match="This scan is here already"):
        received(cast, piece, without_code())
    assert files_kept() == kept
    Scan.objects.update(state="refused", refusal_code="gave_up")
    assert received(cast, piece, without_code()) != scan


def test_who_does_not_teach_the_class_sends_no_scan(cast: School, piece: Piece) -> None:
    for person in (cast.other_teacher, cast.student, cast.technician, cast.elsewhere.teacher):
        with pytest.raises(PermissionDenied):
            add_scan(assignment=piece.assignment, by=person, file=scan_file(b"%PDF-"), at=NOW)
    assert not files_kept()


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "This file is empty."),
        (b"GIF89a", "This is not a scan that can be read here."),
        (b"%PDF-" + bytes(40_000_000), "This file is larger than 40 MB."),
    ],
)
def test_what_is_seen_to_be_no_scan_is_refused_at_once(
    cast: School, piece: Piece, content: bytes, sentence: str
) -> None:
    file = scan_file(content)
    with pytest.raises(Refused, match=sentence) as refused:
        add_scan(assignment=piece.assignment, by=cast.teacher, file=file, at=NOW)
    assert refused.value.problems[0].field == "scans"
    assert not Scan.objects.exists()


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (files.pdf_locked(), "pdf_locked"),
        (b"%PDF-1.7\n1 0 obj\n<<", "broken"),
        (files.pdf(61), "scan_pages"),
    ],
)
def test_what_cannot_be_opened_says_why_and_goes(
    cast: School,
    piece: Piece,
    content: bytes,
    code: str,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        scan = read(received(cast, piece, content=content))
    assert (scan.state, scan.refusal_code) == ("refused", code)
    assert not files_kept()
    assert Job.objects.get().state == Job.State.DONE


def test_a_scan_whose_file_is_gone_asks_for_it_again(cast: School, piece: Piece) -> None:
    scan = received(cast, piece, without_code())
    default_storage.delete(scan.quarantine_file)
    assert read(scan).refusal_code == "gone"
    assert "Send it again." in scan_sentence("gone", {})


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


def left(person: User) -> None:
    Enrolment.objects.filter(student=person).update(left_on=TODAY)


def test_a_page_of_who_left_waits_and_of_a_closed_account_is_not_kept(
    cast: School, piece: Piece
) -> None:
    left(cast.student)
    first = read(received(cast, piece, a_page_of(piece), without_code(1)))
    assert pages_of(first)[0] == (1, "waiting", "left", piece)
    User.objects.filter(pk=cast.student.pk).update(is_active=False)
    second = read(received(cast, piece, a_page_of(piece), without_code(2)))
    assert pages_of(second)[0] == (1, "away", "closed", piece)
    assert second.read_pages.get(number=1).image is None
    assert not Sheet.objects.exists()
    assert "has left the class" in page_sentence(first.read_pages.get(number=1))
    assert "was not kept" in page_sentence(second.read_pages.get(number=1))


def test_a_piece_that_is_gone_when_its_page_comes_is_unknown(
    cast: School, piece: Piece, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone(_piece: Piece) -> None:
        raise Conflict("This piece is gone.")

    monkeypatch.setattr(service, "locked_piece", gone)
    scan = read(received(cast, piece, a_page_of(piece)))
    assert pages_of(scan) == [(1, "waiting", "unknown", None)]


class Killed(BaseException):
    """The worker dies; nothing is caught on the way."""


@pytest.mark.parametrize("after", [True, False])
def test_a_worker_that_dies_at_any_page_leaves_none_out_and_makes_none_twice(
    cast: School, piece: Piece, monkeypatch: pytest.MonkeyPatch, after: bool
) -> None:
    """Before a page's sheet is there for good, or just after."""
    scan = received(cast, piece, *[np.maximum(a_page_of(piece), 4 * n) for n in range(7)])
    usual, dying = service._write_down, [2, 6]

    def write(*args: Any) -> None:
        number = args[1].number
        if number not in dying:
            usual(*args)
            return
        dying.remove(number)
        with transaction.atomic():
            usual(*args)
            if not after:
                raise Killed
        raise Killed

    monkeypatch.setattr(service, "_write_down", write)
    job = Job.objects.get(kind="read_scan")
    for done in (2, 6) if after else (1, 5):
        with pytest.raises(Killed):
            run_job.call(str(job.pk))
        assert Sheet.objects.count() == done
        with transaction.atomic():
            hand_on(Job.objects.select_for_update().get(pk=job.pk))
    read(scan)
    assert [page[:2] for page in pages_of(scan)] == [(n, "sheet") for n in range(1, 8)]
    assert Sheet.objects.count() == StoredImage.objects.count() == 7


def test_an_attempt_that_was_overtaken_writes_no_page_again(cast: School, piece: Piece) -> None:
    scan = read(received(cast, piece, a_page_of(piece), without_code()))
    before = pages_of(scan)
    kept = files_kept()
    for page in PageRead(1, None, refused="broken"), PageRead(2, None):
        service._write_down(scan, page, 2)
    assert pages_of(scan) == before
    assert files_kept() == kept
    # And one whose scan was read meanwhile has nothing to do.
    Job.objects.update(state=Job.State.WAITING)
    assert read(scan).state == "read"
    assert Sheet.objects.count() == 1


def test_a_scan_that_fails_again_and_again_is_given_up_and_may_come_again(
    cast: School,
    piece: Piece,
    monkeypatch: pytest.MonkeyPatch,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    scan = received(cast, piece, a_page_of(piece), without_code())
    usual = service._kept

    def fail(*_: object) -> Any:
        raise OSError("no space left on device")

    monkeypatch.setattr(service, "_kept", fail)
    with django_capture_on_commit_callbacks(execute=True):
        for _ in range(MAX_ATTEMPTS):
            read(scan)
    assert (scan.state, scan.refusal_code, scan.pages) == ("refused", "gave_up", 2)
    assert pages_of(scan) == [(1, "sheet", "", piece)]
    assert "no page is taken twice" in scan_sentence("gave_up", {})
    assert not default_storage.exists(scan.quarantine_file or "none")
    monkeypatch.setattr(service, "_kept", usual)
    again = read(received(cast, piece, a_page_of(piece), without_code()))
    assert [page[:2] for page in pages_of(again)] == [(1, "sheet"), (2, "waiting")]
    sheets = {page.sheet for each in (scan, again) for page in each.read_pages.filter(number=1)}
    assert sheets == {Sheet.objects.get()}


def test_a_page_is_given_upright_and_once(
    cast: School, piece: Piece, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    marked = without_code().copy()
    marked[-200:-100, 100:700] = 0  # at its foot, so it lies upside down
    read(received(cast, piece, marked))
    page = ScanPage.objects.select_related("image", "scan__assignment__section__studio").get()
    mate = piece_of(piece.assignment, cast.classmate)
    with django_capture_on_commit_callbacks(execute=True):
        give_page(page=page, piece=mate, by=cast.teacher, at=NOW, top="bottom")
    sheet = Sheet.objects.select_related("image").get()
    assert (sheet.piece, sheet.image.by) == (mate, cast.teacher)
    with default_storage.open(sheet.image.quarantine_file) as file, Image.open(file) as image:
        pixels = np.asarray(image.convert("L"))
    assert pixels[: len(pixels) // 3].min() < 40
    assert pixels[len(pixels) // 3 :].min() > 200
    assert pages_of(page.scan) == [(1, "sheet", "no_code", mate)]
    assert ScanPage.objects.get().image is None
    assert [name for name in files_kept() if name.startswith("images/")] == []
    for act in (
        lambda: give_page(page=page, piece=piece, by=cast.teacher, at=NOW),
        lambda: put_page_away(page=page, by=cast.teacher),
    ):
        with pytest.raises(Conflict, match="This page does not wait any more"):
            act()
    line = AuditEntry.objects.get(action="scanned page given")
    assert (line.by, line.after) == (cast.teacher, {"page": 1})


def test_a_page_that_is_nobodys_is_put_away_with_its_picture(
    cast: School, piece: Piece, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        page = waiting(cast, piece)
        put_page_away(page=page, by=cast.teacher)
    assert pages_of(page.scan) == [(1, "away", "no_code", None)]
    assert not StoredImage.objects.exists()
    assert not files_kept()
    assert AuditEntry.objects.filter(action="scanned page put away", by=cast.teacher).exists()


def test_only_who_teaches_the_class_and_the_piece_gives_a_page(cast: School, piece: Piece) -> None:
    page = waiting(cast, piece)
    (foreign,) = given(cast.other_teacher, cast.other_section)
    for person in (cast.other_teacher, cast.student, cast.technician, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            give_page(page=page, piece=piece, by=person, at=NOW)
        with pytest.raises(PermissionDenied):
            put_page_away(page=page, by=person)
    theirs = piece_of(foreign, cast.other_student)
    with pytest.raises(PermissionDenied):
        give_page(page=page, piece=theirs, by=cast.teacher, at=NOW)
    assert pages_of(page.scan) == [(1, "waiting", "no_code", None)]


def test_a_page_erased_while_it_is_given_makes_no_sheet(
    cast: School, piece: Piece, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = waiting(cast, piece)
    monkeypatch.setattr(
        "planning.services.scan_pages.add_sheet", lambda **_: page.delete() and None
    )
    with pytest.raises(Conflict, match="This page does not wait any more"):
        give_page(page=page, piece=piece, by=cast.teacher, at=NOW)
    assert ScanPage.objects.waiting().exists()


def test_a_page_whose_file_was_lost_is_told(cast: School, piece: Piece) -> None:
    page = waiting(cast, piece)
    assert page.image is not None
    default_storage.delete(page.image.full_file)
    with pytest.raises(Conflict):
        give_page(page=page, piece=piece, by=cast.teacher, at=NOW)


def test_a_brief_for_which_pages_wait_is_not_taken_back(cast: School, piece: Piece) -> None:
    scan = received(cast, piece, without_code())
    for _ in range(2):
        with pytest.raises(Refused, match="Scanned sheets of this class wait"):
            take_back_brief(assignment=piece.assignment, by=cast.teacher)
        read(scan)
    page = ScanPage.objects.select_related("image", "scan__assignment__section__studio").get()
    put_page_away(page=page, by=cast.teacher)
    take_back_brief(assignment=piece.assignment, by=cast.teacher)
    assert not Scan.objects.exists()


def test_pictures_of_single_sheets_are_scans_too(cast: School, piece: Piece) -> None:
    coded = files.saved(Image.fromarray(np.rot90(a_page_of(piece))))
    scan = read(received(cast, piece, content=coded))
    assert pages_of(scan) == [(1, "sheet", "", piece)]
    plain = read(received(cast, piece, content=photo(7).read()))
    assert pages_of(plain) == [(1, "waiting", "no_code", None)]
