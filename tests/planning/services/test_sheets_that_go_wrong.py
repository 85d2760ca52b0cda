"""Sheets that are put away, can't be read or cut, or whose worker was killed."""

from typing import Any

import pytest
from django.core.files.storage import default_storage
from pytest_django import Settings

from planning.models import Choice, Sheet, Thumbnail
from planning.photos.sheets import drawings_of_sheet
from planning.services import sheets as service
from planning.services.assignments import take_back_brief
from planning.services.choosing import choose_design
from planning.services.drawings import withdraw
from planning.services.sheets import add_sheet, put_away
from studio.errors import Conflict, Refused
from studio.jobs.models import Job
from studio.jobs.tasks import MAX_ATTEMPTS
from studio.jobs.work import claimed
from studio.uploads.models import StoredImage
from studio.uploads.reading import Unreadable
from tests.cast import NOW, School
from tests.planning.drawings import run_all
from tests.planning.sheet_photos import (
    BOXES,
    now,
    proposed,
    run_one,
    sent,
    take,
)
from tests.planning.work import a_piece, draw, photo

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    """Jobs wait on the queue, so that a test sees what happens in between."""
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def test_what_was_put_away_leaves_nothing_and_may_come_again(
    cast: School, django_capture_on_commit_callbacks: Any
) -> None:
    piece = a_piece(cast)
    sheet = proposed(sent(piece))
    name = sheet.image.full_file
    with django_capture_on_commit_callbacks(execute=True):
        put_away(sheet=sheet, by=cast.student)
    assert not StoredImage.objects.exists()
    assert not default_storage.exists(name)
    with pytest.raises(Conflict, match="put away meanwhile"):
        take(sheet)
    sent(piece)


def test_a_sheet_put_away_while_it_is_taken_apart_leaves_nothing(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    sheet = add_sheet(piece=a_piece(cast), by=cast.student, file=photo(1), at=NOW)

    def slow(chunks: Any) -> Any:
        told = drawings_of_sheet(chunks)
        put_away(sheet=sheet, by=cast.student)
        return told

    run_one("read_image")
    monkeypatch.setattr(service, "drawings_of_sheet", slow)
    run_one("take_sheet_apart")
    assert not Sheet.objects.exists()
    assert not StoredImage.objects.exists()


def test_a_job_for_a_sheet_that_is_gone_does_nothing(cast: School) -> None:
    sheet = sent(a_piece(cast))
    run_one("read_image")
    put_away(sheet=now(sheet), by=cast.student)
    run_one("take_sheet_apart")
    assert not Job.objects.exclude(state=Job.State.DONE).exists()


def broken(*_: object) -> Any:
    raise RuntimeError("a fault of ours")


def too_heavy(*_: object) -> Any:
    raise Unreadable("too_heavy", {})


@pytest.mark.parametrize("fault", [broken, too_heavy])
def test_what_cannot_be_taken_apart_is_boxed_by_hand(
    cast: School, monkeypatch: pytest.MonkeyPatch, fault: Any
) -> None:
    sheet = sent(a_piece(cast))
    monkeypatch.setattr(service, "drawings_of_sheet", fault)
    run_all()
    sheet = now(sheet)
    assert (sheet.found, sheet.boxes) == (Sheet.Found.UNREAD, [[0, 0, 24, 24]])
    assert len(take(sheet)) == 1


@pytest.mark.parametrize("fault", [broken, too_heavy])
def test_what_cannot_be_cut_out_waits_again(
    cast: School, monkeypatch: pytest.MonkeyPatch, fault: Any
) -> None:
    sheet = proposed(sent(a_piece(cast)))
    withdraw(drawing=take(sheet)[0], by=cast.student, at=NOW)
    with monkeypatch.context() as meanwhile:
        meanwhile.setattr(service, "drawings_cut", fault)
        for _ in range(MAX_ATTEMPTS if fault is broken else 1):
            run_one("cut_sheet")
    kept = now(sheet)
    assert (kept.state, kept.found, kept.boxes) == ("proposed", Sheet.Found.UNCUT, BOXES)
    assert not Thumbnail.objects.exists()
    assert StoredImage.objects.get() == sheet.image
    with pytest.raises(Conflict):  # the tap of a window from before
        take(sheet)
    take(kept)
    run_one("cut_sheet")
    assert Thumbnail.objects.readable().count() == 4


def test_what_was_chosen_before_it_could_not_be_cut_out_stays(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = a_piece(cast)
    draw(cast, piece)
    made = take(proposed(sent(piece)))
    choose_design(piece=piece, thumbnail=made[1], reason="Its foot", by=cast.student, at=NOW)
    monkeypatch.setattr(service, "drawings_cut", too_heavy)
    run_one("cut_sheet")
    assert Choice.objects.get().thumbnail == made[1]
    assert {each.image.state for each in Thumbnail.objects.filter(sheet__isnull=False)} == {
        "refused"
    }


def test_a_lost_file_is_told_and_not_cut(cast: School) -> None:
    sheet = proposed(sent(a_piece(cast)))
    default_storage.delete(sheet.image.full_file)
    take(sheet)
    run_one("cut_sheet")
    assert (now(sheet).found, Thumbnail.objects.count()) == (Sheet.Found.UNCUT, 0)


def test_a_lost_file_is_not_taken_apart(cast: School) -> None:
    sheet = sent(a_piece(cast))
    run_one("read_image")
    default_storage.delete(now(sheet).image.full_file)
    run_one("take_sheet_apart")
    assert now(sheet).found == Sheet.Found.UNREAD


def test_a_killed_worker_loses_nothing_and_repeats_nothing(cast: School) -> None:
    """An attempt that never said anything again is taken over; coming back, it writes nothing."""
    sheet = proposed(sent(a_piece(cast)))
    made = take(sheet)
    job = Job.objects.get(kind="cut_sheet")
    first = claimed(job_id=str(job.pk))
    assert first is not None
    Job.objects.filter(pk=job.pk).update(state=Job.State.WAITING)  # as the sweep hands it on
    run_one("cut_sheet")
    before = list(StoredImage.objects.order_by("pk").values())
    service.cut_sheet(first)
    assert list(StoredImage.objects.order_by("pk").values()) == before
    assert list(Thumbnail.objects.readable()) == made
    assert Job.objects.filter(kind="read_form").count() == 4


def test_a_late_attempt_proposes_nothing_over_what_was_put_right(cast: School) -> None:
    sheet = sent(a_piece(cast))
    run_one("read_image")
    job = Job.objects.get(kind="take_sheet_apart")
    late = claimed(job_id=str(job.pk))
    assert late is not None
    kept = proposed(now(sheet), BOXES[:1])
    service.take_sheet_apart(late)
    assert now(sheet).boxes == kept.boxes
    service._not_apart(job)
    assert (now(sheet).boxes, now(sheet).edition) == (kept.boxes, kept.edition)


def test_a_brief_for_which_a_sheet_came_is_not_taken_back(cast: School) -> None:
    piece = a_piece(cast)
    sent(piece)
    with pytest.raises(Refused, match="Somebody has drawn for it already"):
        take_back_brief(assignment=piece.assignment, by=cast.teacher)


def test_a_sheet_whose_piece_is_gone_is_not_cut(cast: School) -> None:
    sheet = proposed(sent(a_piece(cast)))
    take(sheet)
    Thumbnail.objects.all().delete()
    run_one("cut_sheet")
    Sheet.objects.all().delete()
    job = Job.objects.get(kind="cut_sheet")
    Job.objects.filter(pk=job.pk).update(state=Job.State.WAITING)
    run_one("cut_sheet")
    sheet.piece.delete()
    service._take_back(sheet)
    assert not Sheet.objects.exists()
