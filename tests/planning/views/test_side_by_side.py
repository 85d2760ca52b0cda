"""Two drawings that look the same are shown to a teacher of both students, and to nobody else."""

from functools import cache
from typing import Any

import pytest
from django.urls import reverse
from pytest_django import Settings

from planning.exploration.kept import VERSION as FORM_VERSION
from planning.exploration.kept import packed
from planning.exploration.side_by_side import near_pairs
from planning.exploration.silhouette import form_in
from planning.models import Assignment, DrawnForm, Piece
from planning.services import side_by_side as service
from planning.services.assignments import count_ideas
from planning.services.drawings import withdraw
from planning.services.side_by_side import ask_for_pairs
from studio.errors import Refused
from studio.jobs.models import Job
from studio.jobs.tasks import MAX_ATTEMPTS, run_job
from studio.people.models import Teaching, User
from tests.cast import NOW, School, signed_in
from tests.planning.drawings import picture, run_all
from tests.planning.projects import given
from tests.planning.views.test_choosing import words
from tests.planning.work import draw, piece_of

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


@pytest.fixture
def two_classes(cast: School) -> tuple[Assignment, Piece, Piece, Piece]:
    """A brief in both classes; `cast.teacher` teaches both. One drawing of the student's is the
    classmate's too, another the other class's."""
    Teaching.objects.create(section=cast.other_section, teacher=cast.teacher)
    first, second = given(cast.teacher, cast.section, cast.other_section)
    pieces = (
        piece_of(first, cast.student),
        piece_of(first, cast.classmate),
        piece_of(second, cast.other_student),
    )
    shots = (
        ((0, 0), (1, 0), (2, 0), (2, 1), None),
        ((0, 1), (3, 0)),
        ((1, 1), (4, 0)),
    )
    for piece, photos in zip(pieces, shots, strict=True):
        for drawn, shot in zip(draw(cast, piece, len(photos)), photos, strict=True):
            kept = {"code": "nothing_drawn", "at": "drawing"} if shot is None else kept_form(*shot)
            DrawnForm.objects.create(image=drawn.image, version=FORM_VERSION, **kept)
    Job.objects.all().delete()
    return (first, *pieces)


@cache
def kept_form(form: int, shot: int) -> dict[str, Any]:
    drawn = form_in(picture(form, shot=shot))
    return {"form": packed(drawn.form), "strokes": packed(drawn.strokes)}


def looked(assignment: Assignment, by: User, *, ask: bool = True) -> str:
    address = reverse("drawings_alike", args=[assignment.pk])
    client = signed_in(by)
    if ask:
        assert client.post(address).status_code == 302
        run_all()
    answer = client.get(address)
    return words(answer.content.decode()) if answer.status_code == 200 else str(answer.status_code)


def test_a_teacher_of_both_sees_the_pairs_side_by_side(
    cast: School, two_classes: tuple[Assignment, Piece, Piece, Piece]
) -> None:
    first = two_classes[0]
    assert "Nobody has looked yet." in looked(first, cast.teacher, ask=False)
    text = looked(first, cast.teacher)
    # The student's own two photos of one drawing are no pair of two people.
    assert text.count("Look at these two side by side.") == 2
    assert "8 drawings were compared." in text
    for name in ("Ode Amari", "Bram Vos", "Sunniva Kjeld"):
        assert name in text


def test_a_teacher_of_one_class_sees_its_own_pairs_only(
    cast: School, two_classes: tuple[Assignment, Piece, Piece, Piece]
) -> None:
    first = two_classes[0]
    assert looked(first, cast.teacher).count("Look at these two") == 2
    # No longer in charge of the other class: what was found before is not shown any more either.
    Teaching.objects.filter(section=cast.other_section, teacher=cast.teacher).delete()
    text = looked(first, cast.teacher, ask=False)
    assert text.count("Look at these two") == 1
    assert "Sunniva" not in text
    again = looked(first, cast.teacher)
    assert again.count("Look at these two") == 1
    assert "6 drawings were compared." in again
    assert looked(first, cast.other_teacher, ask=False) == "404"
    second = Assignment.objects.get(section=cast.other_section)
    assert "No two of them look the same." in looked(second, cast.other_teacher)


def test_what_one_teacher_looked_for_another_of_the_class_does_not_see(
    cast: School, two_classes: tuple[Assignment, Piece, Piece, Piece]
) -> None:
    first = two_classes[0]
    looked(first, cast.teacher)
    assert "Nobody has looked yet." in looked(first, cast.head, ask=False)


def test_no_student_and_no_technician_sees_it(
    cast: School, two_classes: tuple[Assignment, Piece, Piece, Piece]
) -> None:
    first, piece, _other, _third = two_classes
    looked(first, cast.teacher)
    for somebody in (cast.student, cast.technician):
        assert looked(first, somebody, ask=False) == "403"
    page = signed_in(cast.student).get(reverse("piece", args=[piece.pk])).content.decode()
    assert "side by side" not in page
    assert "Bram" not in page
    page = signed_in(cast.student).get(reverse("assignment", args=[first.pk])).content.decode()
    assert "alike" not in page


def test_what_is_withdrawn_or_switched_off_is_not_shown(
    cast: School, two_classes: tuple[Assignment, Piece, Piece, Piece]
) -> None:
    first, piece, _other, _third = two_classes
    looked(first, cast.teacher)
    withdraw(drawing=piece.thumbnails.earliest("position"), by=cast.student, at=NOW)
    assert looked(first, cast.teacher, ask=False).count("Look at these two") == 1
    second = Assignment.objects.get(section=cast.other_section)
    count_ideas(assignment=second, counted=False, by=cast.teacher)
    assert looked(first, cast.teacher, ask=False).count("Look at these two") == 0
    count_ideas(assignment=first, counted=False, by=cast.teacher)
    first.refresh_from_db()
    with pytest.raises(Refused, match="not compared in this class"):
        ask_for_pairs(assignment=first, by=cast.teacher, at=NOW)
    assert "not compared in this class" in looked(first, cast.teacher, ask=False)


def test_while_it_runs_the_page_says_so_and_a_failure_is_told(
    cast: School,
    two_classes: tuple[Assignment, Piece, Piece, Piece],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    first = two_classes[0]
    ask_for_pairs(assignment=first, by=cast.teacher, at=NOW)
    ask_for_pairs(assignment=first, by=cast.teacher, at=NOW)
    job = Job.objects.get(kind="side_by_side")
    assert "are being compared" in looked(first, cast.teacher, ask=False)

    def broken(*_: object) -> None:
        raise RuntimeError("a fault of ours")

    monkeypatch.setattr(service, "near_pairs", broken)
    for _ in range(MAX_ATTEMPTS):
        run_job.call(str(job.pk))
    job.refresh_from_db()
    assert job.refusal in looked(first, cast.teacher, ask=False)


def test_a_class_without_a_drawing_or_that_is_gone_is_no_trouble(cast: School) -> None:
    (first,) = given(cast.teacher, cast.section)
    assert "0 drawings were compared. No two of them" in looked(first, cast.teacher)
    ask_for_pairs(assignment=first, by=cast.teacher, at=NOW)
    first.delete()
    run_all()
    assert Job.objects.latest("asked_at").state == Job.State.DONE


def test_forms_that_are_erased_meanwhile_are_no_pair(
    cast: School,
    two_classes: tuple[Assignment, Piece, Piece, Piece],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def slow(*given_: object) -> object:
        found = near_pairs(*given_)  # type: ignore[arg-type]
        DrawnForm.objects.all().delete()
        return found

    monkeypatch.setattr(service, "near_pairs", slow)
    looked(two_classes[0], cast.teacher)
    assert Job.objects.get(kind="side_by_side").state == Job.State.DONE
