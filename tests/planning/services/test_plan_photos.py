"""A photo of a full-size drawing: received, traced in the background, removed."""

from datetime import datetime, timedelta

import numpy as np
import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from planning.models import PlanPhoto
from planning.services import plan_photos
from planning.services.plan_photos import (
    Scaled,
    add_plan_photo,
    remove_plan_photo,
    rescale,
    tap,
    trace_drawing,
)
from studio.errors import Conflict, Refused
from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from studio.jobs.work import claimed
from studio.people.models import User
from studio.uploads.models import StoredImage
from studio.uploads.reading import Unreadable
from tests.cast import NOW, School
from tests.meanwhile import Meanwhile
from tests.planning.plan_photos import (
    CARD,
    FOUR,
    chosen_piece,
    photographed,
    read,
    sent,
    traced,
    untraced,
)
from tests.planning.work import a_piece

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]
LATER = NOW + timedelta(minutes=5)


@pytest.fixture
def queued(settings: Settings) -> None:
    """Jobs wait on the queue, so that a test sees what happens in between."""
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def run_all() -> None:
    """Every job that waits, and what it asks for."""
    while job := Job.objects.filter(state=Job.State.WAITING).first():
        run_job.call(str(job.pk))


def test_a_photo_with_a_card_is_traced_as_soon_as_it_was_read(
    cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        photo = sent(chosen_piece(cast))
    photo.refresh_from_db()
    assert photo.is_trusted
    assert (photo.sides, photo.asked) == ("both", 0)
    truth = photographed()
    rows = np.array(photo.lines, dtype=float)
    assert rows[:, 0] == pytest.approx(np.arange(0, 161, 20), abs=0.5)
    heights = np.minimum(rows[:, 0], truth.height_mm)
    assert rows[:, 1] == pytest.approx(truth.left(heights), abs=1)
    assert rows[:, 2] == pytest.approx(truth.right(heights), abs=1)


def test_a_photo_without_a_card_is_traced_once_its_points_are_tapped(
    cast: School, queued: None
) -> None:
    photo = sent(chosen_piece(cast), scaled=FOUR, half=True, card=False)
    run_all()
    photo.refresh_from_db()
    assert photo.image.is_ready
    assert photo.answer is None
    truth = photographed(half=True, card=False)
    paper = np.array(photo.paper_mm)
    assert paper.tolist() == [[0, 0], [45, 0], [45, 140], [0, 140]]
    seen = truth.photo.seen(paper * (1, -1) + truth.axis_and_table)
    tap(photo=photo, by=cast.student, points=seen.tolist(), at=LATER)
    run_all()
    photo.refresh_from_db()
    assert photo.is_trusted
    assert photo.sides == "right"
    assert photo.lines[3][2] == pytest.approx(float(truth.right(60)), abs=1)


def test_without_a_chosen_design_there_is_no_plan_to_photograph(cast: School) -> None:
    with pytest.raises(Refused, match="Choose a design first"):
        sent(a_piece(cast))


def test_the_same_photo_of_the_same_thing_is_kept_once(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = chosen_piece(cast)
    photo = sent(piece)
    with pytest.raises(Refused, match="This photo is here already") as caught:
        sent(piece)
    assert caught.value.problems[0].field == "photo"
    sent(piece, shows="side")
    StoredImage.objects.filter(pk=photo.image_id).update(
        state=StoredImage.State.REFUSED, refusal_code="broken"
    )
    monkeypatch.setattr(plan_photos, "MOST_PLAN_PHOTOS", 2)
    with pytest.raises(Refused, match="at most 2 photos of its plan"):
        sent(piece)


@pytest.mark.parametrize(
    ("shows", "scaled", "fields"),
    [
        ("base", FOUR, ["scale"]),
        ("front", Scaled("four", 20.0), ["upper", "right"]),
        ("front", Scaled("two", 20.0, 100.0, 100.0), ["upper"]),
        ("front", Scaled("four", 20.0, 0.0, 100.0, 0.0, None), ["right"]),
    ],
)
def test_a_scale_that_says_nothing_is_refused_at_all_its_fields(
    cast: School, shows: str, scaled: Scaled, fields: list[str]
) -> None:
    with pytest.raises(Refused) as caught:
        sent(chosen_piece(cast), shows=shows, scaled=scaled)
    assert [each.field for each in caught.value.problems] == fields
    assert not StoredImage.objects.filter(original_name="drawing.jpg").exists()


def test_another_scale_is_traced_anew_and_what_was_read_by_the_old_one_is_dropped(
    cast: School, queued: None
) -> None:
    photo = traced(sent(chosen_piece(cast)))
    rescale(photo=photo, by=cast.student, scaled=Scaled("card", 25.0), at=LATER)
    photo.refresh_from_db()
    assert (photo.answer, photo.lines, photo.asked, photo.spacing_mm) == (None, [], 1, 25)
    assert Job.objects.filter(kind="trace_drawing", unique_key__endswith="-1").count() == 1
    rescale(photo=photo, by=cast.student, scaled=FOUR, at=LATER)
    photo.refresh_from_db()
    assert photo.wants_taps
    assert not Job.objects.filter(kind="trace_drawing", unique_key__endswith="-2").exists()
    corners = [[1.0, 9.0], [9.0, 9.0], [9.0, 1.0], [1.0, 1.0]]
    tap(photo=photo, by=cast.student, points=corners, at=LATER)
    rescale(photo=photo, by=cast.student, scaled=FOUR, at=LATER)
    photo.refresh_from_db()
    assert photo.taps == corners


def test_points_for_another_scale_are_a_conflict(cast: School) -> None:
    photo = read(sent(chosen_piece(cast)))
    with pytest.raises(Conflict, match="The scale changed meanwhile"):
        tap(photo=photo, by=cast.student, points=[[1.0, 2.0]] * 4, at=LATER)


def test_the_answer_to_an_earlier_asking_is_dropped(
    cast: School, queued: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    photo = sent(chosen_piece(cast))
    run_job.call(str(Job.objects.get(kind="read_image", unique_key=str(photo.image_id)).pk))
    (job,) = Job.objects.filter(kind="trace_drawing")
    answer = {"trusted": True, "drawn_on": "both", "profile": []}

    def meanwhile(_chunks: object, _asked: object) -> dict[str, object]:
        rescale(photo=photo, by=cast.student, scaled=Scaled("card", 25.0), at=LATER)
        return answer

    monkeypatch.setattr(plan_photos, "traced_photo", meanwhile)
    run_job.call(str(job.pk))
    photo.refresh_from_db()
    assert (photo.answer, photo.asked) == (None, 1)
    monkeypatch.setattr(plan_photos, "traced_photo", lambda _chunks, _asked: answer)
    run_all()
    photo.refresh_from_db()
    assert photo.answer == answer


def _ready_to_trace(cast: School) -> tuple[PlanPhoto, Job]:
    photo = sent(chosen_piece(cast))
    run_job.call(str(Job.objects.get(kind="read_image", unique_key=str(photo.image_id)).pk))
    return photo, Job.objects.get(kind="trace_drawing")


@pytest.mark.django_db(transaction=True)
def test_a_scale_that_changes_while_the_photo_is_read_is_traced_by(
    cast: School, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
    photo = sent(chosen_piece(cast))
    answer = {"trusted": True, "drawn_on": "both", "profile": []}
    monkeypatch.setattr(plan_photos, "traced_photo", lambda _chunks, _asked: answer)
    others: list[Meanwhile] = []

    def read_meanwhile(kept: PlanPhoto, by: User, at: datetime) -> None:
        ask_again(kept, by, at)
        others.append(Meanwhile(run_all))

    ask_again = plan_photos._ask_again
    monkeypatch.setattr(plan_photos, "_ask_again", read_meanwhile)
    rescale(photo=photo, by=cast.student, scaled=Scaled("card", 25.0), at=LATER)
    assert others[0].ended() is None
    run_all()
    photo.refresh_from_db()
    assert (photo.asked, photo.answer) == (1, answer)


def test_what_was_put_right_is_not_written_over_by_a_second_tracing_of_the_same_asking(
    cast: School, queued: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The scale changed just before the photo was read and just after: both ask for one thing."""
    photo, job = _ready_to_trace(cast)
    rescale(photo=photo, by=cast.student, scaled=Scaled("card", 25.0), at=LATER)
    row = {"height_mm": 0.0, "left_mm": 40.0, "right_mm": 40.0}
    answer = {"trusted": True, "drawn_on": "both", "profile": [row]}
    monkeypatch.setattr(plan_photos, "traced_photo", lambda _chunks, _asked: answer)
    run_job.call(str(job.pk))
    mended = [[0.0, 41.0, 40.0]]
    PlanPhoto.objects.filter(pk=photo.pk).update(lines=mended)
    run_all()
    photo.refresh_from_db()
    assert photo.lines == mended
    assert not Job.objects.open().exists()


def test_an_earlier_asking_that_is_given_up_leaves_the_later_one_to_answer(
    cast: School, queued: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    photo, job = _ready_to_trace(cast)
    rescale(photo=photo, by=cast.student, scaled=Scaled("card", 25.0), at=LATER)

    def fault(_chunks: object, _asked: object) -> None:
        raise RuntimeError("a fault of ours")

    with monkeypatch.context() as patched:
        patched.setattr(plan_photos, "traced_photo", fault)
        for _attempt in range(3):
            run_job.call(str(job.pk))
    photo.refresh_from_db()
    assert photo.answer is None
    answer = {"trusted": True, "drawn_on": "both", "profile": []}
    monkeypatch.setattr(plan_photos, "traced_photo", lambda _chunks, _asked: answer)
    run_all()
    photo.refresh_from_db()
    assert photo.answer == answer


def test_a_photo_that_can_not_be_opened_again_says_why(
    cast: School, queued: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    photo, job = _ready_to_trace(cast)

    def heavy(_chunks: object, _asked: object) -> None:
        raise Unreadable("too_heavy", {})

    monkeypatch.setattr(plan_photos, "traced_photo", heavy)
    run_job.call(str(job.pk))
    photo.refresh_from_db()
    assert photo.answer == {"trusted": False, "reason": {"code": "too_heavy", "values": {}}}


def test_tracing_that_breaks_off_every_time_is_given_up_in_words(
    cast: School, queued: None, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    photo, _job = _ready_to_trace(cast)

    def fault(_chunks: object, _asked: object) -> None:
        raise RuntimeError("a fault of ours")

    monkeypatch.setattr(plan_photos, "traced_photo", fault)
    run_all()
    photo.refresh_from_db()
    assert photo.answer == {"trusted": False, "reason": {"code": "gave_up", "values": {}}}
    assert caplog.text.count("broke off") == 3


def test_a_removed_photo_is_gone_with_its_files_and_tracing_it_does_nothing(
    cast: School, queued: None, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    photo, job = _ready_to_trace(cast)
    photo.refresh_from_db()
    name = photo.image.full_file
    assert default_storage.exists(name)
    other = claimed(job_id=str(job.pk))
    assert other is not None
    with django_capture_on_commit_callbacks(execute=True):
        remove_plan_photo(photo=photo)
    assert not default_storage.exists(name)
    assert not StoredImage.objects.filter(pk=photo.image_id).exists()
    trace_drawing(other)
    with pytest.raises(Conflict, match="This photo was removed meanwhile"):
        remove_plan_photo(photo=photo)


def test_a_file_that_goes_while_it_is_opened_leaves_nothing_to_do(
    cast: School, queued: None
) -> None:
    photo, job = _ready_to_trace(cast)
    photo.refresh_from_db()
    default_storage.delete(photo.image.full_file)
    run_job.call(str(job.pk))
    photo.refresh_from_db()
    assert photo.answer is None


def test_what_is_no_picture_is_refused_at_the_photo(cast: School) -> None:
    piece = chosen_piece(cast)
    with pytest.raises(Refused, match="This is not a picture") as caught:
        add_plan_photo(
            piece=piece,
            by=cast.student,
            file=SimpleUploadedFile("a.gif", b"GIF89a"),
            shows="front",
            scaled=CARD,
            at=NOW,
        )
    assert caught.value.problems[0].field == "photo"


def test_only_points_place_a_photo_that_could_not_be_traced(cast: School) -> None:
    photo = sent(chosen_piece(cast))
    assert not photo.may_be_placed_by_hand
    assert not untraced(photo, placed=False).may_be_placed_by_hand
    assert untraced(photo, placed=True).may_be_placed_by_hand
    assert not traced(photo).may_be_placed_by_hand
