"""How far marking has come, over the person's classes and in one of them."""

from collections import defaultdict
from dataclasses import dataclass
from uuid import UUID

from planning.models import Assignment
from studio.people.models import User

from .marks import PieceMarks, marks_of, pieces_to_mark


@dataclass(frozen=True)
class MarkedAssignment:
    """`marked` to the end by somebody; released ones count as marked."""

    assignment: Assignment
    pieces: int
    marked: int
    released: int


def marked_assignments(person: User) -> list[MarkedAssignment]:
    """Those of classes that aren't over, by class; constant queries."""
    assignments = (
        Assignment.objects.taught_by(person)
        .filter(section__archived=False)
        .select_related("section")
        .order_by("section__title", "-given_on", "title")
    )
    pieces = pieces_to_mark(assignments)
    by_assignment: dict[UUID, list[PieceMarks]] = defaultdict(list)
    for found in marks_of(pieces).values():
        by_assignment[found.piece.assignment_id].append(found)
    return [_counted(each, by_assignment[each.pk]) for each in assignments]


def class_marks(assignment: Assignment) -> list[PieceMarks]:
    """The pieces of an assignment with their marks, by name."""
    pieces = pieces_to_mark(Assignment.objects.filter(pk=assignment.pk))
    found = marks_of(pieces)
    return [found[piece.pk] for piece in pieces]


def _counted(assignment: Assignment, marks: list[PieceMarks]) -> MarkedAssignment:
    return MarkedAssignment(
        assignment=assignment,
        pieces=len(marks),
        marked=sum(1 for each in marks if each.result is not None or each.is_marked()),
        released=sum(1 for each in marks if each.result is not None),
    )
