"""Drawings are read once and compared whenever they change."""

from typing import Any

import numpy as np
import pytest
from django.core.files.storage import default_storage
from django_tasks_db.models import DBTaskResult
from pytest_django import Settings

from planning.exploration.run import answer
from planning.models import DrawnForm, Ideas, Thumbnail
from planning.services import ideas as service
from planning.services.assignments import count_ideas
from planning.services.drawings import bring_back, move_thumbnail, withdraw
from planning.services.ideas import compare_ideas, compare_the_rest, read_form
from studio.jobs.models import Job
from studio.jobs.tasks import MAX_ATTEMPTS, run_job
from studio.jobs.work import claimed
from studio.uploads.services import erase_image
from tests.cast import NOW, School
from tests.planning.drawings import BLANK, forms_kept, ideas_of, picture, run_all, sent
from tests.planning.work import a_piece, draw

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    """Jobs wait on the queue, so that a test sees what happens in between."""
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def waiting(kind: str) -> int:
    return Job.objects.filter(kind=kind, state=Job.State.WAITING).count()


def test_drawings_are_read_once_each_and_compared_once_together(cast: School) -> None:
    piece = a_piece(cast)
    pictures = [picture(0), picture(1), picture(0, 1), picture(0, shot=1), BLANK]
    drawn = [sent(piece, each) for each in pictures]
    run_all()
    assert Job.objects.filter(kind="read_form", state="done").count() == 5
    assert Job.objects.filter(kind="compare_ideas", state="done").count() == 1
    found, ids = ideas_of(piece), [str(each.pk) for each in drawn]
    assert found.of == ids
    assert found.answer is not None
    assert found.answer["groups"] == [[ids[0], ids[2]], [ids[1]]]
    assert found.answer["copies"] == [[ids[0], ids[3]]]
    assert found.answer["unreadable"] == [
        {"id": ids[4], "at": "drawing", "code": "nothing_drawn", "values": {}}
    ]
    assert found.answer["shapes"].keys() == set(ids[:4])
    assert found.answer["readable"] == ids[:4]
    # The pictures themselves, opened in one go, as the compute endpoint does.
    told = answer(pictures)
    assert found.answer["distinct"] == pytest.approx(told["distinct"], abs=0.1)
    alike, again = np.array(found.answer["similarity"]), np.array(told["similarity"])
    assert alike == pytest.approx(again, abs=0.1)
    # What could not be compared may be an idea of its own.
    assert found.most == round(told["high"]) + 1


def test_photos_are_opened_before_drawings_are_read(cast: School) -> None:
    piece = a_piece(cast)
    for form in range(2):
        sent(piece, picture(form))
    run_job.call(str(Job.objects.filter(kind="read_image").earliest("asked_at").pk))
    queue = DBTaskResult.objects.ready().values_list("pk", flat=True)  # in the order of workers
    kinds = dict(Job.objects.values_list("queue_id", "kind"))
    left = [kinds[pk] for pk in queue if pk in kinds]
    assert (left[-1], left.count("read_form")) == ("read_form", 1)


def test_a_withdrawn_drawing_leaves_the_comparison_and_comes_back_to_it(cast: School) -> None:
    piece = a_piece(cast)
    first, second = (sent(piece, picture(form)) for form in range(2))
    run_all()
    assert ideas_of(piece).most == 2
    withdraw(drawing=second, by=cast.student, at=NOW)
    assert waiting("compare_ideas") == 1
    assert not ideas_of(piece).is_of({str(first.pk)})
    run_all()
    assert (ideas_of(piece).of, ideas_of(piece).most) == ([str(first.pk)], 1)
    bring_back(drawing=second, by=cast.student)
    run_all()
    assert (len(ideas_of(piece).of), ideas_of(piece).most) == (2, 2)
    assert forms_kept() == 2


def test_moving_drawings_about_compares_nothing_anew(cast: School) -> None:
    piece = a_piece(cast)
    first, second = (sent(piece, picture(form)) for form in range(2))
    run_all()
    move_thumbnail(thumbnail=second, earlier=True)
    assert waiting("compare_ideas") == 0
    assert ideas_of(piece).is_of({str(second.pk), str(first.pk)})


def test_a_change_while_they_are_compared_is_compared_too(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = a_piece(cast)
    first, second = (sent(piece, picture(form)) for form in range(2))
    usual = service._compared
    seen: list[int] = []

    def slow(work: Any, thumbnails: list[Thumbnail], read: Any) -> Any:
        if not seen:
            withdraw(drawing=second, by=cast.student, at=NOW)
        seen.append(len(thumbnails))
        return usual(work, thumbnails, read)

    monkeypatch.setattr(service, "_compared", slow)
    run_all()
    assert seen == [2, 1]
    assert ideas_of(piece).of == [str(first.pk)]


def test_comparing_twice_changes_nothing(cast: School, monkeypatch: pytest.MonkeyPatch) -> None:
    piece = a_piece(cast)
    sent(piece, picture(0))
    run_all()
    before = ideas_of(piece).answer
    monkeypatch.setattr(service, "_compared", lambda *_: pytest.fail("compared again"))
    service.ask_to_compare(piece=piece, by=cast.student)
    service.ask_to_compare(piece=piece, by=cast.student)
    assert waiting("compare_ideas") == 1
    run_all()
    assert ideas_of(piece).answer == before


def test_a_piece_from_before_is_compared_without_being_asked(cast: School) -> None:
    piece = a_piece(cast)
    sent(piece, picture(0))
    run_all()
    DrawnForm.objects.all().delete()
    Ideas.objects.all().delete()
    compare_the_rest(at=NOW)
    compare_the_rest(at=NOW)
    assert waiting("compare_ideas") == 1
    run_all()
    assert (ideas_of(piece).most, forms_kept()) == (1, 1)
    compare_the_rest(at=NOW)
    assert waiting("compare_ideas") == 0


def test_a_form_read_by_an_earlier_version_is_read_anew(cast: School) -> None:
    piece = a_piece(cast)
    sent(piece, picture(0))
    run_all()
    DrawnForm.objects.update(version=0, form=b"", strokes=b"", code="cut_off", at="drawing")
    Ideas.objects.update(version=0)
    compare_the_rest(at=NOW)
    run_all()
    kept = DrawnForm.objects.get()
    assert (kept.is_current, kept.code, ideas_of(piece).most) == (True, "", 1)


def test_a_drawing_whose_file_is_lost_is_held_against_nobody(cast: School) -> None:
    piece = a_piece(cast)
    (only,) = draw(cast, piece, 1)  # it has no file
    service.ask_to_compare(piece=piece, by=cast.student)
    Job.objects.filter(kind="read_image").delete()
    run_all()
    found = ideas_of(piece)
    assert found.answer is not None
    assert [each["id"] for each in found.answer["unreadable"]] == [str(only.pk)]
    assert (found.answer["distinct"], found.most) == (0, 1)


def test_drawings_that_are_erased_meanwhile_leave_nothing(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = a_piece(cast)
    drawing = sent(piece, picture(0))
    usual = service._told_of

    def slow(image: Any) -> Any:
        told = usual(image)
        Thumbnail.objects.all().delete()
        erase_image(image=drawing.image)
        return told

    monkeypatch.setattr(service, "_told_of", slow)
    run_all()
    assert (forms_kept(), Ideas.objects.count()) == (0, 0)
    assert not Job.objects.exclude(state="done").exists()


def test_without_its_image_or_its_piece_nothing_is_done(cast: School) -> None:
    piece = a_piece(cast)
    sent(piece, picture(0))
    run_job.call(str(Job.objects.get().pk))
    default_storage.delete(Thumbnail.objects.get().image.full_file)
    read = Job.objects.get(kind="read_form")
    run_job.call(str(read.pk))
    assert forms_kept() == 0  # its file was erased
    work = claimed(job_id=str(Job.objects.get(kind="compare_ideas").pk))
    assert work is not None
    Thumbnail.objects.all().delete()
    piece.delete()
    compare_ideas(work)
    assert not Ideas.objects.exists()


def test_a_form_whose_image_is_gone_is_not_read(cast: School) -> None:
    drawing = sent(a_piece(cast), picture(0))
    run_job.call(str(Job.objects.get().pk))
    work = claimed(job_id=str(Job.objects.get(kind="read_form").pk))
    assert work is not None
    drawing.delete()
    erase_image(image=drawing.image)
    read_form(work)
    assert (forms_kept(), waiting("compare_ideas")) == (0, 0)


def broken(*_: object) -> Any:
    raise RuntimeError("a fault of ours")


def test_a_form_that_cannot_be_read_is_said_so_after_three_attempts(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = a_piece(cast)
    sent(piece, picture(0))
    run_job.call(str(Job.objects.get().pk))
    monkeypatch.setattr(service, "form_of_photo", broken)
    for _ in range(MAX_ATTEMPTS):
        run_job.call(str(Job.objects.get(kind="read_form").pk))
    kept = DrawnForm.objects.get()
    assert (kept.code, kept.at) == ("gave_up", "file")
    run_all()
    assert ideas_of(piece).most == 1


def test_drawings_that_cannot_be_compared_all_count_as_ideas(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = a_piece(cast)
    for form in range(2):
        sent(piece, picture(form))
    monkeypatch.setattr(service, "comparison", broken)
    run_all()
    found = ideas_of(piece)
    assert (found.answer, found.most, found.count) == (None, 2, 2)


def test_a_file_that_is_no_picture_any_more_is_told(cast: School) -> None:
    piece = a_piece(cast)
    drawing = sent(piece, picture(0))
    run_job.call(str(Job.objects.get().pk))
    drawing.refresh_from_db()
    name = drawing.image.full_file
    default_storage.delete(name)
    with default_storage.open(name, "wb") as file:
        file.write(b"GIF89a")
    run_all()
    assert (DrawnForm.objects.get().code, DrawnForm.objects.get().at) == ("kind", "file")


def test_where_ideas_are_not_counted_no_drawing_is_compared_until_they_are_again(
    cast: School,
) -> None:
    piece = a_piece(cast)
    count_ideas(assignment=piece.assignment, counted=False, by=cast.teacher)
    piece.assignment.refresh_from_db()
    drawn = [sent(piece, picture(form)) for form in range(2)]
    run_all()
    withdraw(drawing=drawn[1], by=cast.student, at=NOW)
    compare_the_rest(at=NOW)
    assert waiting("compare_ideas") == 0
    assert not Ideas.objects.exists()
    count_ideas(assignment=piece.assignment, counted=True, by=cast.teacher)
    assert waiting("compare_ideas") == 1
    run_all()
    assert ideas_of(piece).of == [str(drawn[0].pk)]
