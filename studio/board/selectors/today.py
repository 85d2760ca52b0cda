"""What needs a hand now, over all classes that a person sees."""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from django.db.models import Count, OuterRef, Subquery
from django.db.models.functions import Coalesce

from planning.models import Assignment, Piece
from planning.selectors.lateness import Lateness, lateness_of
from planning.selectors.progress import progress_of
from planning.selectors.scans import pages_waiting
from studio.people.models import Enrolment, Meeting, Section, User
from studio.people.models.section import SectionQuerySet

from .shelves import late_in_words


@dataclass(frozen=True)
class PagesWaiting:
    assignment: Assignment
    pages: int


@dataclass(frozen=True)
class ClassRow:
    """A class, what it works on, and when it meets next."""

    section: Section
    assignment: Assignment | None
    students: int
    next_meeting: date | None
    meets_today: bool
    following: date | None
    """The lesson after today's."""
    scanned: list[PagesWaiting]
    """By what it works on, where pages of its scans wait for a hand."""


@dataclass(frozen=True)
class LateRow:
    piece: Piece
    late: Lateness
    words: str


def class_rows(sections: SectionQuerySet, *, today: date) -> list[ClassRow]:
    """Two queries however many classes."""
    here = Enrolment.objects.current().filter(section=OuterRef("pk")).order_by().values("section")
    coming = Meeting.objects.held().filter(section=OuterRef("pk"), on__gte=today).order_by("on")
    listed: list[Any] = list(
        sections.annotate(
            students=Coalesce(Subquery(here.values(n=Count("pk"))), 0),
            next_meeting=Subquery(coming.values("on")[:1]),
            following=Subquery(coming.filter(on__gt=today).values("on")[:1]),
        )
    )
    newest: dict[object, Assignment] = {}
    scanned: dict[object, list[PagesWaiting]] = defaultdict(list)
    given: Any = Assignment.objects.filter(section__in=listed).order_by("given_on")
    for assignment in given.annotate(scanned=pages_waiting()):
        newest[assignment.section_id] = assignment
        if assignment.scanned:
            scanned[assignment.section_id].append(PagesWaiting(assignment, assignment.scanned))
    return [
        ClassRow(
            section=section,
            assignment=newest.get(section.pk),
            students=section.students,
            next_meeting=section.next_meeting,
            meets_today=section.next_meeting == today,
            following=section.following,
            scanned=scanned[section.pk],
        )
        for section in listed
    ]


def late_rows(
    person: User, *, built: Collection[UUID], today: date
) -> list[tuple[Section, list[LateRow]]]:
    """Who is behind, by class; constant queries. `built` are pieces of which a pot was built."""
    pieces = list(
        Piece.objects.taught_by(person)
        .of_enrolled()
        .filter(assignment__section__archived=False, assignment__given_on__lte=today)
        .select_related("student", "assignment__section")
    )
    late = lateness_of(pieces, progress_of(pieces, built=built), today)
    by_class: dict[Section, list[LateRow]] = defaultdict(list)
    for piece in pieces:
        if piece.pk in late:
            row = LateRow(piece, late[piece.pk], late_in_words(late[piece.pk]))
            by_class[piece.assignment.section].append(row)
    return sorted(by_class.items(), key=lambda item: item[0].title)
