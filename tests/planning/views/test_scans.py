"""Scanned sheets of a class: sent, read, sorted by their codes, and what waits for the teacher."""

import io
from typing import Any

import pypdfium2
import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from planning.models import Piece, Scan, ScanPage, Sheet
from planning.services.scan_pages import put_page_away
from planning.services.scans import add_scan
from studio.paper.pages import WITH_LARGE_PAGES
from studio.uploads.models import StoredImage
from tests.cast import NOW, School, signed_in
from tests.planning.scanned import blank_page, of_piece, pdf_of, scan_file, without_code
from tests.planning.work import a_piece, photo, piece_of

pytestmark = pytest.mark.django_db
FETCH = {"X-Requested-With": "fetch"}


@pytest.fixture
def piece(cast: School) -> Piece:
    return a_piece(cast)


@pytest.fixture
def teacher(cast: School) -> Client:
    return signed_in(cast.teacher)


def address(piece: Piece) -> str:
    return reverse("scans", args=[piece.assignment_id])


def page(client: Client, piece: Piece) -> str:
    return client.get(address(piece)).content.decode()


def a_page(piece: Piece, cast: School, **changed: Any) -> ScanPage:
    """One that waits, with a picture; the scan was read."""
    scan = Scan.objects.create(
        assignment=piece.assignment,
        by=cast.teacher,
        created_at=NOW,
        state=Scan.State.READ,
        original_name="class.pdf",
        original_sha256="a" * 64,
        stem="stem",
        pages=1,
    )
    return scan.read_pages.create(
        **{
            "number": 1,
            "state": ScanPage.State.WAITING,
            "why": ScanPage.Why.NO_CODE,
            "image": _picture(cast),
        }
        | changed
    )


def _picture(cast: School) -> StoredImage:
    full, small = (
        default_storage.save(f"images/stem-1-{size}.jpg", ContentFile(photo(3).read()))
        for size in ("full", "small")
    )
    return StoredImage.objects.create(
        studio=cast.studio,
        by=cast.teacher,
        created_at=NOW,
        state=StoredImage.State.READY,
        original_bytes=0,
        stem="stem-1",
        full_file=full,
        small_file=small,
        width=24,
        height=24,
    )


def give(client: Client, page: ScanPage, to: Piece, **sent: str) -> Any:
    posted = {"piece": str(to.pk), "top": "bottom"} | sent
    return client.post(reverse("scan_page_give", args=[page.pk]), posted, follow=True)


def test_a_scan_is_read_and_each_page_goes_to_its_student(
    piece: Piece,
    teacher: Client,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    assert "No scan yet." in page(teacher, piece)
    scanned = scan_file(pdf_of([blank_page(of_piece(piece)), without_code()]))
    with django_capture_on_commit_callbacks(execute=True):
        answer = teacher.post(address(piece), {"scans": scanned})
    assert answer.headers["Location"] == address(piece)
    text = page(teacher, piece)
    assert "1 page is with its student" in text
    assert f"{piece.student.name}, {piece.code}" in text
    assert Sheet.objects.get().piece == piece
    assert "1 page waits for you" in text
    assert "No code can be read on this page." in text
    waiting = ScanPage.objects.waiting().get()
    image = teacher.get(reverse("scan_page_image", args=[waiting.pk, "full"]))
    assert b"".join(image.streaming_content).startswith(b"\xff\xd8\xff")  # type: ignore[attr-defined]
    assert teacher.get(reverse("scan_page_image", args=[waiting.pk, "huge"])).status_code == 404


def test_a_scan_that_is_being_read_says_how_far_it_is(
    cast: School, piece: Piece, teacher: Client, settings: Settings
) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
    file = scan_file(b"%PDF-1.7 not read here")
    scan = add_scan(assignment=piece.assignment, by=cast.teacher, file=file, at=NOW)
    part = reverse("scan", args=[scan.pk])
    assert "Waiting to be read." in teacher.get(part).content.decode()
    Scan.objects.update(pages=30)
    for number in (1, 2):
        scan.read_pages.create(number=number, state="waiting", why="no_code", image=None)
    text = teacher.get(part).content.decode()
    assert "Being read: 2 of 30 pages. 2 pages will wait for you." in text
    assert f'hx-get="{part}"' in text
    assert "<form" not in text, "what is chosen in it would be lost when it asks again"
    Scan.objects.update(state=Scan.State.READ)
    text = teacher.get(part).content.decode()
    assert "2 pages wait for you" in text
    assert "hx-get" not in text


def test_a_script_that_sends_a_scan_gets_its_line_or_a_reason(
    piece: Piece, teacher: Client
) -> None:
    """Read once the request is over, so here it waits."""
    said = teacher.post(address(piece), {"scans": scan_file(b"%PDF-1.7 1")}, headers=FETCH).json()
    assert said["ok"]
    assert reverse("scan", args=[Scan.objects.get().pk]) in said["html"]
    for sent in ({"scans": SimpleUploadedFile("notes.txt", b"words")}, {}):
        refused = teacher.post(address(piece), sent, headers=FETCH)
        assert (refused.status_code, refused.json()["ok"]) == (422, False)
    assert refused.json()["message"] == "Choose the scan first."


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"words", "This is not a scan that can be read here. Send the PDF"),
        (b"", "This file is empty. Choose the scan again."),
    ],
)
def test_a_file_that_is_refused_says_why_at_its_field(
    piece: Piece, teacher: Client, content: bytes, sentence: str
) -> None:
    files = [scan_file(content, "notes.txt"), scan_file(b"%PDF-1.7 good")]
    answer = teacher.post(address(piece), {"scans": files})
    text = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in text[text.index('id="id_scans_error"') :].partition("</ul>")[0]
    assert [scan.original_name for scan in Scan.objects.all()] == ["class.pdf"]
    again = teacher.post(address(piece), {"scans": scan_file(b"%PDF-1.7 good")})
    assert "This scan is here already; it stands below." in again.content.decode()


def test_a_scan_that_could_not_be_opened_says_why(
    piece: Piece,
    teacher: Client,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        teacher.post(address(piece), {"scans": scan_file(b"%PDF-1.7\n1 0 obj\n<<")})
    assert "This file is damaged or incomplete." in page(teacher, piece)


def test_a_page_is_given_to_a_student(cast: School, piece: Piece, teacher: Client) -> None:
    waiting = a_page(piece, cast)
    given = piece_of(piece.assignment, cast.classmate)
    text = give(teacher, waiting, given).content.decode()
    assert f"{cast.classmate.short_name} has page 1 now." in text
    assert "wait for you" not in text
    assert Sheet.objects.get().piece == given
    assert "This page does not wait any more" in give(teacher, waiting, given).content.decode()
    assert Sheet.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("piece", "", "Choose a student first."),
        ("piece", "somebody", "“somebody” is not on the list."),
        ("top", "", "Say where the top of the page is."),
    ],
)
def test_a_page_that_cannot_be_given_says_why_at_its_field(
    cast: School, piece: Piece, field: str, value: str, sentence: str
) -> None:
    waiting = a_page(piece, cast)
    answer = give(signed_in(cast.teacher), waiting, piece, **{field: value})
    text = answer.content.decode()
    assert answer.status_code == 422
    where = f'id="page-{waiting.pk.hex}-{field}_error"'
    assert sentence in text[text.index(where) :].partition("</ul>")[0]
    assert ScanPage.objects.waiting().exists()


def test_a_page_is_put_away(cast: School, piece: Piece, teacher: Client) -> None:
    waiting = a_page(piece, cast)
    away = reverse("scan_page_put_away", args=[waiting.pk])
    text = teacher.post(away, follow=True).content.decode()
    assert "1 page put away" in text
    assert "waits for you" not in text
    assert not StoredImage.objects.exists()
    again = teacher.post(away, follow=True).content.decode()
    assert "This page does not wait any more" in again


def test_what_was_put_away_has_no_picture(cast: School, piece: Piece, teacher: Client) -> None:
    waiting = a_page(piece, cast)
    put_page_away(page=waiting, by=cast.teacher)
    image = reverse("scan_page_image", args=[waiting.pk, "small"])
    assert teacher.get(image).status_code == 404


def test_other_teachers_find_nothing_and_students_are_refused(cast: School, piece: Piece) -> None:
    waiting = a_page(piece, cast)
    pages = [address(piece), reverse("scan", args=[waiting.scan_id])]
    writes = [
        address(piece),
        *(reverse(f"scan_page_{what}", args=[waiting.pk]) for what in ("give", "put_away")),
    ]
    sent = {"piece": str(piece.pk), "top": "top"}
    for person, status in ((cast.other_teacher, 404), (cast.student, 403)):
        client = signed_in(person)
        got = {each: client.get(each).status_code for each in pages}
        got |= {f"post {each}": client.post(each, sent).status_code for each in writes}
        assert set(got.values()) == {status}, got
    assert ScanPage.objects.waiting().get() == waiting


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_the_sheets_of_a_class_are_one_page_a_student(
    cast: School, piece: Piece, teacher: Client, size: str
) -> None:
    answer = teacher.get(
        reverse("thumbnail_sheets_pdf", args=[piece.assignment_id]), {"paper": size}
    )
    assert answer.headers["Content-Type"] == "application/pdf"
    document = pypdfium2.PdfDocument(io.BytesIO(answer.content))
    texts = [each.get_textpage().get_text_range() for each in document]
    pieces = Piece.objects.filter(assignment=piece.assignment)
    assert len(texts) == pieces.count() > 1
    assert all(any(each.code in text for text in texts) for each in pieces)
    paper = WITH_LARGE_PAGES[size]
    points = (paper.width_mm / 25.4 * 72, paper.height_mm / 25.4 * 72)
    assert document[0].get_size() == pytest.approx(points, abs=0.5)


def test_a_student_prints_a_sheet_of_their_own(cast: School, piece: Piece) -> None:
    own = reverse("thumbnail_sheet_pdf", args=[piece.pk])
    answer = signed_in(cast.student).get(own)
    document = pypdfium2.PdfDocument(io.BytesIO(answer.content))
    assert [piece.code in page.get_textpage().get_text_range() for page in document] == [True]
    assert signed_in(cast.classmate).get(own).status_code == 404


def test_a_class_without_pieces_has_no_sheets_to_print(piece: Piece, teacher: Client) -> None:
    Piece.objects.filter(assignment=piece.assignment).delete()
    answer = teacher.get(reverse("thumbnail_sheets_pdf", args=[piece.assignment_id]))
    sentence = "Nobody in this class has a piece yet, so there is no sheet to print."
    assert 400 <= answer.status_code < 500
    assert sentence in answer.content.decode()
    assert sentence in page(teacher, piece)
