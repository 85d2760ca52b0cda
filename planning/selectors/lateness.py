"""Which pieces are behind the class's milestones, counted in lessons that were attended."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from planning.models import Milestone, MilestoneKind, OwnDate, Piece
from studio.people.calendar import lessons_late
from studio.people.selectors import absences_by_class, joined_by_class, lessons_by_class

from .progress import Progress


@dataclass(frozen=True)
class Lateness:
    """The first milestone that is overdue, the date it had, and by how many lessons."""

    kind: str
    on: date
    lessons: int


def milestone_dates(pieces: Sequence[Piece]) -> dict[UUID, dict[str, date]]:
    """Each piece's dates by milestone: the student's own date before the class's. Two queries."""
    assignments = {piece.assignment_id for piece in pieces}
    by_assignment: dict[UUID, list[Milestone]] = defaultdict(list)
    for milestone in Milestone.objects.filter(assignment__in=assignments):
        by_assignment[milestone.assignment_id].append(milestone)
    own = {
        (row.milestone_id, row.student_id): row.on
        for row in OwnDate.objects.filter(
            milestone__assignment__in=assignments,
            student__in={piece.student_id for piece in pieces},
        )
    }
    return {
        piece.pk: {
            each.kind: own.get((each.pk, piece.student_id), each.on)
            for each in by_assignment[piece.assignment_id]
        }
        for piece in pieces
    }


def lateness_of(
    pieces: Sequence[Piece], progress: Mapping[UUID, Progress], today: date
) -> dict[UUID, Lateness]:
    """Pieces that are late, each with its first overdue milestone. Five queries.

    Late counts lessons attended: a missed lesson moves the date on by a lesson, and so does each
    that was held before the student joined the class.
    """
    dates = milestone_dates(pieces)
    sections = {piece.assignment.section_id for piece in pieces}
    lessons, absences = lessons_by_class(sections), absences_by_class(sections)
    joined = joined_by_class(sections)
    found: dict[UUID, Lateness] = {}
    for piece in pieces:
        section = piece.assignment.section_id
        here = (section, piece.student_id)
        missed = absences.get(here, set())
        if here in joined:
            missed = missed | {day for day in lessons[section] if day < joined[here]}
        for kind in MilestoneKind.values:
            on = dates[piece.pk].get(kind)
            if on is None or progress[piece.pk].reached(kind):
                continue
            by = lessons_late(
                lessons[section],
                starts_on=piece.assignment.given_on,
                due=on,
                today=today,
                absent=missed,
            )
            if by:
                found[piece.pk] = Lateness(kind, on, by)
            break
    return found


@dataclass(frozen=True)
class NextDate:
    label: str
    on: date


def next_date(dates: Mapping[str, date], progress: Progress) -> NextDate | None:
    """The first milestone that is still ahead of a piece."""
    for kind in MilestoneKind:
        if kind in dates and not progress.reached(kind):
            return NextDate(str(kind.label), dates[kind])
    return None
