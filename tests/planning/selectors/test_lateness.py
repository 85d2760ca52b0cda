"""Late counts lessons that a student was there for."""

from datetime import timedelta

import pytest

from planning.models import Milestone, OwnDate, Piece
from planning.selectors.lateness import Lateness, lateness_of
from planning.selectors.progress import progress_of
from studio.people.models import Enrolment
from studio.people.selectors import lessons_of
from studio.people.services import mark_absent
from tests.cast import School
from tests.planning.work import a_piece, draw


@pytest.fixture
def piece(cast: School) -> Piece:
    return a_piece(cast)


def late(piece: Piece, lessons_after: int) -> Lateness | None:
    """How late the piece is so many lessons after its first milestone."""
    lessons = lessons_of(piece.assignment.section)
    due = first_due(piece)
    today = [day for day in lessons if day > due.on][lessons_after - 1]
    return lateness_of([piece], progress_of([piece]), today).get(piece.pk)


def first_due(piece: Piece) -> Milestone:
    return Milestone.objects.get(assignment=piece.assignment, kind="thumbnails")


def test_nobody_is_late_while_there_is_time(piece: Piece) -> None:
    due = first_due(piece).on
    assert lateness_of([piece], progress_of([piece]), due) == {}


def test_late_by_the_lessons_since_the_date(piece: Piece) -> None:
    assert late(piece, 2) == Lateness("thumbnails", first_due(piece).on, 2)


def test_a_missed_lesson_is_given_back(cast: School, piece: Piece) -> None:
    due = first_due(piece)
    meeting = piece.assignment.section.meetings.filter(on__lte=due.on).last()
    assert meeting is not None
    mark_absent(
        meeting=meeting, student=cast.student, by=cast.teacher, absent=True, today=meeting.on
    )
    found = late(piece, 2)
    assert found is not None
    assert found.lessons == 1


def test_lessons_before_a_student_joined_count_as_missed(cast: School, piece: Piece) -> None:
    due = first_due(piece)
    Enrolment.objects.filter(student=cast.student).update(joined_on=due.on + timedelta(days=1))
    assert late(piece, 1) is None


def test_an_own_date_comes_before_the_class_s(cast: School, piece: Piece) -> None:
    due = first_due(piece)
    OwnDate.objects.create(milestone=due, student=cast.student, on=due.on + timedelta(days=60))
    assert late(piece, 2) is None


def test_what_is_done_is_not_late(cast: School, piece: Piece) -> None:
    draw(cast, piece)
    assert late(piece, 1) is None
