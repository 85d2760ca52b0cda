"""What needs a hand now, over all classes that a person sees."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from django.db.models import Count

from planning.models import Assignment, Piece
from planning.selectors.lateness import Lateness, lateness_of
from planning.selectors.progress import progress_of
from studio.people.models import Enrolment, Meeting, Section, User
from studio.people.models.section import SectionQuerySet

from .shelves import late_in_words


@dataclass(frozen=True)
class ClassRow:
    """A class, what it works on, and when it meets next."""

    section: Section
    assignment: Assignment | None
    students: int
    next_meeting: date | None
    meets_today: bool


@dataclass(frozen=True)
class LateRow:
    piece: Piece
    late: Lateness
    words: str


def class_rows(sections: SectionQuerySet, *, today: date) -> list[ClassRow]:
    """Four queries however many classes."""
    listed = list(sections)
    counted = Enrolment.objects.current().filter(section__in=listed).values_list("section")
    students: dict[object, int] = dict(counted.annotate(n=Count("pk")))
    newest: dict[object, Assignment] = {}
    for assignment in Assignment.objects.filter(section__in=listed).order_by("given_on"):
        newest[assignment.section_id] = assignment
    meetings = Meeting.objects.held().filter(section__in=listed, on__gte=today).order_by("-on")
    # The last one set is the earliest.
    coming = dict(meetings.values_list("section", "on"))
    return [
        ClassRow(
            section=section,
            assignment=newest.get(section.pk),
            students=students.get(section.pk, 0),
            next_meeting=coming.get(section.pk),
            meets_today=coming.get(section.pk) == today,
        )
        for section in listed
    ]


def late_rows(person: User, *, today: date) -> list[tuple[Section, list[LateRow]]]:
    """Who is behind, by class; constant queries."""
    pieces = list(
        Piece.objects.taught_by(person)
        .of_enrolled()
        .filter(assignment__section__archived=False, assignment__given_on__lte=today)
        .select_related("student", "assignment__section")
    )
    late = lateness_of(pieces, progress_of(pieces), today)
    by_class: dict[Section, list[LateRow]] = defaultdict(list)
    for piece in pieces:
        if piece.pk in late:
            row = LateRow(piece, late[piece.pk], late_in_words(late[piece.pk]))
            by_class[piece.assignment.section].append(row)
    return sorted(by_class.items(), key=lambda item: item[0].title)
