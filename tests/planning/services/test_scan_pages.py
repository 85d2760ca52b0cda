"""Pages of a scan that wait: given to a student, or put away, once."""

import io
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from PIL import Image
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from planning.models import Assignment, Scan, ScanPage, Sheet
from planning.services import scan_pages as service
from planning.services import sheets
from planning.services.scan_pages import give_page, put_page_away
from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from studio.uploads.models import StoredImage
from tests.cast import NOW, School
from tests.planning.projects import given
from tests.planning.work import piece_of
from tests.studio.uploads.files import quarters, saved

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


@pytest.fixture
def assignment(cast: School) -> Assignment:
    return given(cast.teacher, cast.section)[0]


def waiting(cast: School, assignment: Assignment) -> ScanPage:
    """A page of four colours, none of whose turns look alike."""
    scan = Scan.objects.create(
        assignment=assignment,
        by=cast.teacher,
        created_at=NOW,
        state=Scan.State.READ,
        original_name="class.pdf",
        original_sha256="a" * 64,
        stem="scan",
        pages=1,
    )
    names = [
        default_storage.save(f"images/sc/scan-1-1{end}.jpg", ContentFile(saved(quarters())))
        for end in ("", "-small")
    ]
    image = StoredImage.objects.create(
        studio=cast.studio,
        by=cast.teacher,
        created_at=NOW,
        state=StoredImage.State.READY,
        original_bytes=0,
        stem="scan-1",
        full_file=names[0],
        small_file=names[1],
        width=320,
        height=240,
    )
    return ScanPage.objects.create(
        scan=scan, number=1, state=ScanPage.State.WAITING, why=ScanPage.Why.NO_CODE, image=image
    )


def colours(sheet: Sheet) -> list[str]:
    """Of the upper left, upper right, lower left and lower right quarter."""
    with default_storage.open(sheet.image.quarantine_file) as file:
        image = Image.open(io.BytesIO(file.read())).convert("RGB")
    wide, high = image.size
    names = ("red", "green", "blue")
    told = []
    for y in (high // 4, 3 * high // 4):
        for x in (wide // 4, 3 * wide // 4):
            seen: Any = image.getpixel((x, y))
            told.append(names[seen.index(max(seen))] if max(seen) > 100 else "black")
    return told


@pytest.mark.parametrize(
    ("top", "seen"),
    [
        ("top", ["red", "green", "blue", "black"]),
        ("bottom", ["black", "blue", "green", "red"]),
        # Its left side goes to the top: a quarter turn clockwise.
        ("left", ["blue", "red", "black", "green"]),
        ("right", ["green", "black", "red", "blue"]),
    ],
)
def test_a_page_that_is_given_becomes_an_upright_sheet_and_its_picture_goes(
    cast: School,
    assignment: Assignment,
    top: Any,
    seen: list[str],
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    page, piece = waiting(cast, assignment), piece_of(assignment, cast.student)
    kept = page.image
    assert kept is not None
    with django_capture_on_commit_callbacks() as after:
        given_page = give_page(page=page, piece=piece, by=cast.teacher, at=NOW, top=top)
    sheet = piece.sheets.get()
    assert colours(sheet) == seen
    page.refresh_from_db()
    for each in (page, given_page):
        assert (each.state, each.piece, each.sheet, each.image) == ("sheet", piece, sheet, None)
    assert not StoredImage.objects.filter(pk=kept.pk).exists()
    for done in after:
        done()
    assert not default_storage.exists(kept.full_file)
    assert sheet.image.original_name == "class, page 1.jpg"
    assert AuditEntry.objects.get(action="scanned page given").after == {"page": 1}


def test_a_page_is_given_once(cast: School, assignment: Assignment) -> None:
    page, piece = waiting(cast, assignment), piece_of(assignment, cast.student)
    here, there = ScanPage.objects.get(pk=page.pk), ScanPage.objects.get(pk=page.pk)
    give_page(page=here, piece=piece, by=cast.teacher, at=NOW)
    other = piece_of(assignment, cast.classmate)
    with pytest.raises(Conflict, match="does not wait any more"):
        give_page(page=there, piece=other, by=cast.teacher, at=NOW)
    with pytest.raises(Conflict, match="does not wait any more"):
        give_page(page=ScanPage.objects.get(pk=page.pk), piece=other, by=cast.teacher, at=NOW)
    with pytest.raises(Conflict, match="does not wait any more"):
        put_page_away(page=there, by=cast.teacher)
    assert Sheet.objects.get().piece == piece


def test_a_page_that_was_put_away_leaves_no_picture(
    cast: School,
    assignment: Assignment,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    page = waiting(cast, assignment)
    assert page.image is not None
    with django_capture_on_commit_callbacks(execute=True):
        put_page_away(page=page, by=cast.teacher)
    assert not default_storage.exists(page.image.full_file)
    assert not default_storage.exists(page.image.small_file)
    page = ScanPage.objects.get()
    assert (page.state, page.image, page.sheet) == ("away", None, None)
    assert not StoredImage.objects.exists()
    assert AuditEntry.objects.filter(action="scanned page put away").count() == 1
    with pytest.raises(Conflict):
        give_page(page=page, piece=piece_of(assignment, cast.student), by=cast.teacher, at=NOW)


def test_a_page_whose_file_is_lost_is_given_to_nobody(cast: School, assignment: Assignment) -> None:
    page = waiting(cast, assignment)
    assert page.image is not None
    default_storage.delete(page.image.full_file)
    with pytest.raises(Conflict):
        give_page(page=page, piece=piece_of(assignment, cast.student), by=cast.teacher, at=NOW)
    assert not Sheet.objects.exists()


def test_a_piece_that_is_full_leaves_the_page_waiting(
    cast: School, assignment: Assignment, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = waiting(cast, assignment)
    monkeypatch.setattr(sheets, "MOST_WAITING", 0)
    with pytest.raises(Refused, match="sheets wait here"):
        give_page(page=page, piece=piece_of(assignment, cast.student), by=cast.teacher, at=NOW)
    page.refresh_from_db()
    assert page.state == "waiting"
    assert page.image is not None
    assert default_storage.exists(page.image.full_file)


def test_a_page_erased_while_its_piece_was_waited_for_becomes_nothing(
    cast: School, assignment: Assignment, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = waiting(cast, assignment)

    def erased_meanwhile(**given: Any) -> Sheet:
        ScanPage.objects.filter(pk=page.pk).delete()
        return sheets.add_sheet(**given)

    monkeypatch.setattr(service, "add_sheet", erased_meanwhile)
    with pytest.raises(Conflict):
        give_page(page=page, piece=piece_of(assignment, cast.student), by=cast.teacher, at=NOW)
    assert not Sheet.objects.exists()


def test_only_those_who_teach_the_class_see_to_its_pages(
    cast: School, assignment: Assignment
) -> None:
    page, piece = waiting(cast, assignment), piece_of(assignment, cast.student)
    for other in (cast.other_teacher, cast.student, cast.technician, cast.elsewhere.teacher):
        with pytest.raises(PermissionDenied):
            give_page(page=page, piece=piece, by=other, at=NOW)
        with pytest.raises(PermissionDenied):
            put_page_away(page=page, by=other)
    (others,) = given(cast.other_teacher, cast.other_section)
    with pytest.raises(PermissionDenied):  # nor to a piece of a class that isn't theirs
        give_page(page=page, piece=piece_of(others, cast.other_student), by=cast.teacher, at=NOW)
    page.refresh_from_db()
    assert page.state == "waiting"
