"""A sheet of drawings from its photo to its thumbnails, as it should go."""

import numpy as np
import pytest
from django.core.exceptions import PermissionDenied
from django.core.files.uploadedfile import SimpleUploadedFile
from pytest_django import Settings

from planning.models import DrawnForm, Sheet, SourceForm, Thumbnail
from planning.services import sheets as service
from planning.services.choosing import GateShut, choose_design
from planning.services.sheets import add_sheet, put_away, set_boxes, take_sheet
from planning.services.source_forms import add_source_form
from studio.errors import Conflict, Refused
from studio.jobs.models import Job
from studio.people.models import AuditEntry
from tests.cast import NOW, School
from tests.planning.drawings import BLANK, ideas_of, run_all
from tests.planning.drawings import file_of as drawing_file
from tests.planning.sheet_photos import (
    BOXES,
    HIGH,
    WIDE,
    file_of,
    now,
    photographed,
    proposed,
    run_one,
    sent,
    take,
)
from tests.planning.splitting.counting import overlap
from tests.planning.work import a_piece, draw

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    """Jobs wait on the queue, so that a test sees what happens in between."""
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def test_a_photo_of_a_sheet_becomes_its_thumbnails(cast: School) -> None:
    piece, truth = a_piece(cast), photographed()
    sheet = add_sheet(piece=piece, by=cast.student, file=file_of(truth), at=NOW)
    assert sheet.state == "reading"
    run_one("read_image")
    assert now(sheet).state == "apart"
    run_one("take_sheet_apart")
    sheet = now(sheet)
    assert (sheet.state, sheet.found, sheet.edition) == ("proposed", "several", 1)
    # The generator knows where it drew; each box holds its own drawing, in the order of reading.
    found = np.array(sheet.boxes, float)
    assert found.shape == truth.boxes.shape
    assert overlap(truth.boxes, found).diagonal().min() > 0.5
    ends, true_ends = found[:, :2] + found[:, 2:], truth.boxes[:, :2] + truth.boxes[:, 2:]
    assert (found[:, :2] <= truth.boxes[:, :2] + 8).all()
    assert (ends >= true_ends - 8).all()

    made = take(sheet)
    assert [each.position for each in made] == [1, 2, 3, 4]
    assert [each.box for each in made] == sheet.boxes
    assert {each.image.state for each in made} == {"received"}
    run_all()
    assert now(sheet).state == "taken"
    stand = Thumbnail.objects.readable().filter(piece=piece)
    assert list(stand) == made
    for each, (_x, _y, wide, high) in zip(stand, sheet.boxes or [], strict=True):
        room = 2 * round(0.1 * max(wide, high))
        assert (each.image.width, each.image.height) == (wide + room, high + room)
        assert each.image.by == cast.student
    assert DrawnForm.objects.filter(code="").count() == 4
    # Four outlines that are no two one idea (the generator's seeds differ).
    assert ideas_of(piece).of == [str(each.pk) for each in made]
    assert not Job.objects.exclude(state=Job.State.DONE).exists()


def test_a_photo_of_one_drawing_stays_one(cast: School) -> None:
    truth = photographed(3, 1)
    sheet = add_sheet(piece=a_piece(cast), by=cast.student, file=file_of(truth), at=NOW)
    run_all()
    sheet = now(sheet)
    assert sheet.found == Sheet.Found.ONE
    assert overlap(truth.boxes, np.array(sheet.boxes, float)).min() > 0.5
    assert len(take(sheet)) == 1


def test_where_no_drawing_is_found_the_whole_page_is_proposed(cast: School) -> None:
    sheet = add_sheet(piece=a_piece(cast), by=cast.student, file=drawing_file(BLANK), at=NOW)
    run_all()
    sheet = now(sheet)
    assert (sheet.found, sheet.boxes) == (Sheet.Found.NONE, [[0, 0, 200, 300]])


def test_a_teacher_may_scan_for_the_class_and_nobody_else(cast: School) -> None:
    piece = a_piece(cast)
    sheet = proposed(sent(piece, by=cast.teacher))
    assert sheet.image.by == cast.teacher
    for other in (cast.other_teacher, cast.classmate, cast.technician, cast.elsewhere.teacher):
        with pytest.raises(PermissionDenied):
            sent(piece, 91, by=other)
        with pytest.raises(PermissionDenied):
            set_boxes(sheet=sheet, boxes=[], edition=1, by=other)
        with pytest.raises(PermissionDenied):
            take(sheet, by=other)
        with pytest.raises(PermissionDenied):
            put_away(sheet=sheet, by=other)
    made = take(sheet, by=cast.teacher)
    assert {each.image.by for each in made} == {cast.student}


def test_a_sheet_is_not_sent_twice(cast: School) -> None:
    piece = a_piece(cast)
    sheet = proposed(sent(piece))
    with pytest.raises(Refused, match="This photo is here already"):
        sent(piece)
    take(sheet)
    with pytest.raises(Refused, match="among the thumbnails already"):
        sent(piece)


def test_a_refused_photo_is_told_and_may_come_again(cast: School) -> None:
    piece = a_piece(cast)
    broken = b"\xff\xd8\xff\xe0 no more"
    files = [SimpleUploadedFile("sheet.jpg", broken, content_type="image/jpeg") for _ in range(2)]
    sheet = add_sheet(piece=piece, by=cast.student, file=files[0], at=NOW)
    run_all()
    sheet = now(sheet)
    assert (sheet.state, sheet.boxes) == ("refused", None)
    assert not Job.objects.filter(kind="take_sheet_apart").exists()
    with pytest.raises(Refused) as refused:
        take(sheet)
    assert str(refused.value) == sheet.image.refusal
    add_sheet(piece=piece, by=cast.student, file=files[1], at=NOW)
    put_away(sheet=sheet, by=cast.student)


def test_only_so_many_sheets_wait(cast: School, monkeypatch: pytest.MonkeyPatch) -> None:
    piece = a_piece(cast)
    monkeypatch.setattr(service, "MOST_WAITING", 1)
    sent(piece)
    with pytest.raises(Refused, match="1 sheets wait here") as refused:
        sent(piece, 91)
    assert refused.value.problems[0].field == "sheet"


def test_the_most_drawings_are_said_before_and_after(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = a_piece(cast)
    sheet = proposed(sent(piece))
    draw(cast, piece, 3)
    monkeypatch.setattr(service, "MOST_DRAWINGS", 5)
    with pytest.raises(Refused, match=r"at most 5 drawings, .*: there is room for 2 more\.") as too:
        take(sheet)
    assert too.value.problems[0].field == "boxes"
    assert now(sheet).state == "proposed"
    monkeypatch.setattr(service, "MOST_DRAWINGS", 3)
    with pytest.raises(Refused, match="A piece holds at most 3 drawings") as full:
        sent(piece, 91)
    assert full.value.problems[0].field == "sheet"
    assert piece.thumbnails.count() == 3


def test_boxes_are_laid_inside_the_picture_and_put_in_order(cast: School) -> None:
    sheet = proposed(sent(a_piece(cast)))
    boxes: list[list[float]] = [
        [400, 500, 900, 900],
        [-50, 10.4, 200, 100],
        [700, 900, 5, 5],
        [300, 20, 1, 100],
    ]
    kept = set_boxes(sheet=sheet, boxes=boxes, edition=1, by=cast.student)
    assert kept.edition == 2
    assert kept.boxes == [
        [0, 10, 150, 100],
        [300, 20, 16, 100],  # 2 % of the longer side: what a finger can still hold
        [400, 500, 200, 300],
        [WIDE - 16, HIGH - 16, 16, 16],
    ]
    again = set_boxes(sheet=sheet, boxes=kept.boxes, edition=2, by=cast.student)
    assert again.edition == 2  # nothing changed


def test_an_older_edition_overwrites_nothing(cast: School) -> None:
    sheet = proposed(sent(a_piece(cast)))
    set_boxes(sheet=sheet, boxes=BOXES[:2], edition=1, by=cast.student)
    with pytest.raises(Conflict, match="The boxes changed meanwhile"):
        set_boxes(sheet=sheet, boxes=BOXES[:1], edition=1, by=cast.student)
    with pytest.raises(Conflict, match="The boxes changed meanwhile"):
        take(sheet)
    assert (now(sheet).boxes, now(sheet).taken_at) == (BOXES[:2], None)


def test_too_many_boxes_and_none_are_refused(cast: School) -> None:
    sheet = proposed(sent(a_piece(cast)))
    many = [BOXES[0]] * (service.MOST_BOXES + 1)
    with pytest.raises(Refused, match="at most 40 drawings"):
        set_boxes(sheet=sheet, boxes=many, edition=1, by=cast.student)
    sheet = set_boxes(sheet=sheet, boxes=[], edition=1, by=cast.student)
    with pytest.raises(Refused, match="Put a box around a drawing first"):
        take(sheet)


def test_a_sheet_that_is_not_apart_yet_has_no_boxes_to_change(cast: School) -> None:
    sheet = sent(a_piece(cast))
    with pytest.raises(Refused, match="still being taken apart"):
        take(sheet)
    with pytest.raises(Refused, match="still being taken apart"):
        set_boxes(sheet=sheet, boxes=[], edition=0, by=cast.student)


def test_a_double_tap_takes_the_drawings_once(cast: School) -> None:
    sheet = proposed(sent(a_piece(cast)))
    assert take(sheet) == take(sheet)
    assert Thumbnail.objects.count() == 4
    assert Job.objects.filter(kind="cut_sheet").count() == 1
    assert AuditEntry.objects.get(action="sheet taken").after == {"drawings": 4}
    with pytest.raises(Conflict, match="among the thumbnails already"):
        set_boxes(sheet=sheet, boxes=[], edition=1, by=cast.student)
    with pytest.raises(Conflict, match="among the thumbnails already"):
        put_away(sheet=sheet, by=cast.student)


def test_what_they_grew_from_is_said_of_all_and_only_of_the_studios_list(cast: School) -> None:
    piece = a_piece(cast)
    sheet = proposed(sent(piece))
    seen, *_ = SourceForm.objects.filter(studio=cast.studio)
    foreign = add_source_form(studio=cast.elsewhere.studio, by=cast.elsewhere.head, name="whelk")
    with pytest.raises(Refused, match="Choose a source form from the list"):
        take_sheet(sheet=sheet, by=cast.student, edition=1, at=NOW, source_form=foreign)
    assert now(sheet).state == "proposed"
    made = take_sheet(sheet=sheet, by=cast.student, edition=1, at=NOW, source_form=seen)
    assert {each.source_form for each in made} == {seen}
    again = take_sheet(sheet=sheet, by=cast.student, edition=1, at=NOW)
    assert {each.source_form for each in again} == {seen}


def test_they_stand_after_those_that_stand_already(cast: School) -> None:
    piece = a_piece(cast)
    draw(cast, piece, 2)
    made = take(proposed(sent(piece)))
    assert [each.position for each in made] == [3, 4, 5, 6]


def test_the_choice_waits_until_they_are_cut_out(cast: School) -> None:
    """The brief of `projects.TERMS` asks for six thumbnails and three source forms."""
    piece = a_piece(cast)
    draw(cast, piece, 3)
    made = take(proposed(sent(piece)))
    with pytest.raises(GateShut, match="Before you choose: 3 more thumbnails"):
        choose_design(piece=piece, thumbnail=made[0], reason="Its foot", by=cast.student, at=NOW)
    run_one("cut_sheet")
    choose_design(piece=piece, thumbnail=made[0], reason="Its foot", by=cast.student, at=NOW)
