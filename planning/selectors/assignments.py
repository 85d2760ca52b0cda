"""A brief in a class: its dates, and how far each student has come. Few queries, however many."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from planning.models import Adjustment, Assignment, Milestone, MilestoneKind, Piece
from studio.people.calendar import nth_lesson_before
from studio.people.models import User

from .lateness import Lateness, lateness_of, milestone_dates
from .progress import Progress, progress_of


@dataclass(frozen=True)
class DatedStep:
    """A milestone of a class, and how it lies to the lessons."""

    kind: str
    label: str
    on: date
    in_lesson: bool
    lesson_before: date | None
    """The last lesson before, where the day has none and the class has one since it was given."""


@dataclass(frozen=True)
class StudentRow:
    """A student of the class; `piece` is None for one who joined later and has none yet."""

    student: User
    piece: Piece | None
    progress: Progress | None
    late: Lateness | None
    adjusted: bool


def milestones_of(assignment: Assignment) -> list[Milestone]:
    """In the order of the job."""
    order = list(MilestoneKind.values)
    return sorted(assignment.milestones.all(), key=lambda row: order.index(row.kind))


def dated_steps(assignment: Assignment, lessons: Sequence[date]) -> list[DatedStep]:
    """The class's milestones; `lessons` are its meeting dates in order."""
    return [
        _step(row.kind, row.on, assignment.given_on, lessons) for row in milestones_of(assignment)
    ]


def own_steps(piece: Piece, lessons: Sequence[date]) -> list[DatedStep]:
    """The same for one student: own dates before the class's."""
    dates = milestone_dates([piece])[piece.pk]
    given_on = piece.assignment.given_on
    return [
        _step(kind, dates[kind], given_on, lessons)
        for kind in MilestoneKind.values
        if kind in dates
    ]


def student_rows(assignment: Assignment, today: date) -> list[StudentRow]:
    """Everybody now in the class, by name, with the state of their piece."""
    students = User.objects.filter(
        enrolments__section=assignment.section_id, enrolments__left_on__isnull=True
    )
    pieces = list(Piece.objects.filter(assignment=assignment).select_related("assignment"))
    progress = progress_of(pieces)
    late = lateness_of(pieces, progress, today)
    of_student = {piece.student_id: piece for piece in pieces}
    adjusted = _adjusted(assignment)
    return [
        StudentRow(
            student=student,
            piece=(piece := of_student.get(student.pk)),
            progress=progress[piece.pk] if piece else None,
            late=late.get(piece.pk) if piece else None,
            adjusted=student.pk in adjusted,
        )
        for student in students
    ]


def _adjusted(assignment: Assignment) -> set[UUID]:
    rows = Adjustment.objects.filter(assignment=assignment)
    return set(rows.values_list("student", flat=True))


def _step(kind: str, on: date, given_on: date, lessons: Sequence[date]) -> DatedStep:
    before = nth_lesson_before(lessons, on - timedelta(1), 0)
    return DatedStep(
        kind=kind,
        label=str(MilestoneKind(kind).label),
        on=on,
        in_lesson=on in lessons,
        lesson_before=before if before is not None and before >= given_on else None,
    )
