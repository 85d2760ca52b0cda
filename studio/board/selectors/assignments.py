"""The students of an assignment with the state of their pieces."""

from dataclasses import dataclass
from uuid import UUID

from assessments.selectors.exemptions import exempt_students
from planning.models import Adjustment, Assignment, Piece
from planning.selectors.progress import progress_of
from studio.people.models import User

from .shelves import standing_in_words


@dataclass(frozen=True)
class StudentRow:
    """A student of the class; `piece` is None for one who joined later and has none yet."""

    student: User
    piece: Piece | None
    standing: str
    adjusted: bool


def student_rows(assignment: Assignment, *, teaching: bool) -> list[StudentRow]:
    """Everybody now in the class, by name. Who has other terms is for those who teach."""
    students = User.objects.filter(
        enrolments__section=assignment.section_id, enrolments__left_on__isnull=True
    )
    pieces = list(Piece.objects.filter(assignment=assignment).select_related("assignment"))
    of_student = {piece.student_id: piece for piece in pieces}
    standing = {pk: standing_in_words(each) for pk, each in progress_of(pieces).items()}
    adjusted = _adjusted(assignment) if teaching else set()
    return [
        StudentRow(
            student=student,
            piece=(piece := of_student.get(student.pk)),
            standing=standing[piece.pk] if piece else "",
            adjusted=student.pk in adjusted,
        )
        for student in students
    ]


def _adjusted(assignment: Assignment) -> set[UUID]:
    own = Adjustment.objects.filter(assignment=assignment)
    return set(own.values_list("student", flat=True)) | exempt_students(assignment)
