"""Which criteria a student is exempt from, and who has an exemption."""

from collections import defaultdict
from collections.abc import Iterable
from uuid import UUID

from django.db.models import Exists, OuterRef, Q, QuerySet

from assessments.models import Criterion, Exemption
from planning.models import Assignment, Piece
from studio.people.models import Studio, User


def criteria_of(studio: Studio) -> QuerySet[Criterion]:
    """The studio's criteria in their order."""
    return Criterion.objects.filter(studio=studio)


def exemptions_of(assignment: Assignment, student: User) -> QuerySet[Exemption]:
    """Those that count for the student's piece in this assignment.

    They are kept with the assignment in which they were agreed. A piece that came along from
    another class brings them: there the brief is the same, and the student has no piece any more.
    """
    return exemptions_counting(assignment).filter(student=student)


def exempt_students(assignment: Assignment) -> set[UUID]:
    """Students with an exemption that counts in this assignment; one query."""
    return set(exemptions_counting(assignment).values_list("student", flat=True))


def exempt_criteria(pieces: Iterable[Piece]) -> dict[UUID, frozenset[UUID]]:
    """By piece, the criteria that its student isn't judged by; one query.

    The pieces' `assignment` is loaded.
    """
    listed = list(pieces)
    rows = (
        Exemption.objects.filter(
            assignment__brief__in={piece.assignment.brief_id for piece in listed},
            student__in={piece.student_id for piece in listed},
        )
        .annotate(left=~_piece_stays())
        .values_list("assignment", "assignment__brief", "student", "criterion", "left")
    )
    here: dict[tuple[UUID, UUID], set[UUID]] = defaultdict(set)
    brought: dict[tuple[UUID, UUID], set[UUID]] = defaultdict(set)
    for assignment, brief, student, criterion, left in rows:
        here[assignment, student].add(criterion)
        if left:
            brought[brief, student].add(criterion)
    return {
        piece.pk: frozenset(
            here[piece.assignment_id, piece.student_id]
            | brought[piece.assignment.brief_id, piece.student_id]
        )
        for piece in listed
    }


def exemptions_counting(assignment: Assignment) -> QuerySet[Exemption]:
    """Those of all students that count in this assignment."""
    of_brief = Exemption.objects.filter(assignment__brief=assignment.brief_id)
    return of_brief.filter(Q(assignment=assignment) | ~_piece_stays())


def _piece_stays() -> Exists:
    """Whether the student still has a piece in the assignment in which it was agreed."""
    pieces = Piece.objects.filter(assignment=OuterRef("assignment"), student=OuterRef("student"))
    return Exists(pieces.order_by())
