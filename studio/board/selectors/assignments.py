"""The students of an assignment with the state of their pieces, and how its dates are kept."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.utils.translation import gettext as _

from assessments.selectors.exemptions import exemptions_counting
from planning.models import Adjustment, Assignment, Piece
from planning.selectors.assignments import DatedStep, steps_on
from planning.selectors.lateness import (
    Lateness,
    dates_of,
    lateness_of,
    milestone_dates,
    next_date,
)
from planning.selectors.progress import Progress, progress_of
from studio.people.models import User
from studio.ware.selectors import pots_and_built
from studio.web.shown import day_text

from .shelves import late_in_words, standing_in_words


@dataclass(frozen=True)
class StudentRow:
    """A student of the class; `piece` is None for one who joined later and has none yet.

    `late` says what is overdue, "" for nothing; `due` what comes next and when.
    """

    student: User
    piece: Piece | None
    standing: str
    adjusted: bool
    late: str = ""
    due: str = ""


@dataclass(frozen=True)
class KeptStep:
    """A milestone with how many pieces have reached it, and how many are late for it first."""

    step: DatedStep
    done: int
    late: int


@dataclass(frozen=True)
class Kept:
    """An assignment's students and dates, as far as they have come."""

    rows: list[StudentRow]
    steps: list[KeptStep]
    pieces: int


def kept_by_class(
    assignment: Assignment, lessons: Sequence[date], *, teaching: bool, today: date
) -> Kept:
    """Everybody now in the class, by name. Who has other terms is for those who teach."""
    students = User.objects.filter(
        enrolments__section=assignment.section_id, enrolments__left_on__isnull=True
    )
    pieces = list(Piece.objects.filter(assignment=assignment).select_related("assignment"))
    of_student = {piece.student_id: piece for piece in pieces}
    found = pots_and_built(pieces)
    pots, progress = found.pots, progress_of(pieces, built=found.built)
    kept_dates = dates_of([assignment.pk])
    dates = {piece.pk: kept_dates.of(piece) for piece in pieces}
    by_class = {assignment.section_id: lessons}
    late = lateness_of(pieces, progress, today, dates=dates, lessons=by_class)
    adjusted = _adjusted(assignment) if teaching else set()
    rows = []
    here = []
    for student in students:
        piece = of_student.get(student.pk)
        if piece is None:
            rows.append(StudentRow(student, None, "", adjusted=student.pk in adjusted))
            continue
        here.append(piece)
        row = StudentRow(
            student,
            piece,
            standing_in_words(progress[piece.pk], pots.get(piece.pk), today),
            adjusted=student.pk in adjusted,
            late=late_in_words(late[piece.pk]) if piece.pk in late else "",
            due=_due(dates[piece.pk], progress[piece.pk], today),
        )
        rows.append(row)
    of_class = kept_dates.of_class.get(assignment.pk, {})
    steps = steps_on(of_class, assignment.given_on, lessons)
    return Kept(rows, kept_steps(steps, here, progress, late), len(here))


def kept_steps(
    steps: Sequence[DatedStep],
    pieces: Sequence[Piece],
    progress: Mapping[UUID, Progress],
    late: Mapping[UUID, Lateness],
) -> list[KeptStep]:
    """How far these pieces have come along the dates."""
    first_late = Counter(late[piece.pk].kind for piece in pieces if piece.pk in late)
    return [
        KeptStep(
            step,
            done=sum(progress[piece.pk].reached(step.kind) for piece in pieces),
            late=first_late[step.kind],
        )
        for step in steps
    ]


def kept_by_student(
    piece: Piece, progress: Progress, lessons: Sequence[date], today: date
) -> list[KeptStep]:
    """A student's own dates: `done` and `late` are 1 or 0. Three queries."""
    dates, by_piece = milestone_dates([piece]), {piece.pk: progress}
    by_class = {piece.assignment.section_id: lessons}
    late = lateness_of([piece], by_piece, today, dates=dates, lessons=by_class)
    steps = steps_on(dates[piece.pk], piece.assignment.given_on, lessons)
    return kept_steps(steps, [piece], by_piece, late)


def _due(dates: Mapping[str, date], progress: Progress, today: date) -> str:
    coming = next_date(dates, progress)
    if coming is None:
        return _("all dates kept") if dates else ""
    return _("%(what)s by %(when)s") % {
        "what": coming.label,
        "when": day_text(coming.on, today),
    }


def _adjusted(assignment: Assignment) -> set[UUID]:
    own = Adjustment.objects.filter(assignment=assignment)
    exempt = exemptions_counting(assignment).order_by().values_list("student", flat=True)
    return set(own.order_by().values_list("student", flat=True).union(exempt))
