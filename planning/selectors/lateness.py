"""Which pieces are behind the class's milestones, counted in lessons that were attended."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from planning.models import Milestone, MilestoneKind, Piece
from studio.people.calendar import lessons_late
from studio.people.selectors import absences_by_class, joined_by_class, lessons_by_class

from .progress import Progress


@dataclass(frozen=True)
class Lateness:
    """The first milestone that is overdue, the date it had, and by how many lessons."""

    kind: str
    on: date
    lessons: int


@dataclass(frozen=True)
class Dates:
    """By milestone: the dates of classes, and the own dates of students in them."""

    of_class: Mapping[UUID, Mapping[str, date]]
    own: Mapping[tuple[UUID, UUID], Mapping[str, date]]

    def of(self, piece: Piece) -> dict[str, date]:
        """The student's own date before the class's."""
        own = self.own.get((piece.assignment_id, piece.student_id), {})
        return {**self.of_class.get(piece.assignment_id, {}), **own}


def dates_of(assignments: Collection[UUID]) -> Dates:
    """The milestones of some assignments; one query."""
    of_class: dict[UUID, dict[str, date]] = defaultdict(dict)
    own: dict[tuple[UUID, UUID], dict[str, date]] = defaultdict(dict)
    # A milestone comes once for each own date that it has, and once where it has none.
    rows = Milestone.objects.filter(assignment__in=assignments).values_list(
        "assignment", "kind", "on", "own_dates__student", "own_dates__on"
    )
    for assignment, kind, on, student, own_on in rows:
        of_class[assignment][kind] = on
        if student is not None:
            own[assignment, student][kind] = own_on
    return Dates(of_class, own)


def milestone_dates(pieces: Sequence[Piece]) -> dict[UUID, dict[str, date]]:
    """Each piece's dates by milestone; one query."""
    dates = dates_of({piece.assignment_id for piece in pieces})
    return {piece.pk: dates.of(piece) for piece in pieces}


def lateness_of(
    pieces: Sequence[Piece],
    progress: Mapping[UUID, Progress],
    today: date,
    *,
    dates: Mapping[UUID, Mapping[str, date]] | None = None,
    lessons: Mapping[UUID, Sequence[date]] | None = None,
) -> dict[UUID, Lateness]:
    """Pieces that are late, each with its first overdue milestone. Four queries, one less for each
    of `dates` (see `milestone_dates`) and `lessons` by class that is known already.

    Late counts lessons attended: a missed lesson moves the date on by a lesson, and so does each
    that was held before the student joined the class.
    """
    dates = milestone_dates(pieces) if dates is None else dates
    sections = {piece.assignment.section_id for piece in pieces}
    lessons = lessons_by_class(sections) if lessons is None else lessons
    absences = absences_by_class(sections)
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
