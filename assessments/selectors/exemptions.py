"""Which criteria a student is exempt from, and who has an exemption."""

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
    return _counting(assignment).filter(student=student)


def exempt_students(assignment: Assignment) -> set[UUID]:
    """Students with an exemption that counts in this assignment; one query."""
    return set(_counting(assignment).values_list("student", flat=True))


def _counting(assignment: Assignment) -> QuerySet[Exemption]:
    still_there = Piece.objects.filter(
        assignment=OuterRef("assignment"), student=OuterRef("student")
    )
    of_brief = Exemption.objects.filter(assignment__brief=assignment.brief_id)
    return of_brief.filter(Q(assignment=assignment) | ~Exists(still_there.order_by()))
