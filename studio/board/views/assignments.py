"""A brief in one class: its terms, its dates, and how far each student has come."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from planning.models import Assignment, Piece
from planning.selectors.assignments import dated_steps
from planning.selectors.progress import progress_of
from studio.board.selectors.assignments import kept_by_class, kept_by_student, kept_steps
from studio.kilns.selectors.firing_dates import firing_dates
from studio.people.access import STAFF, only, person_of
from studio.people.models import Role, User
from studio.people.selectors import lessons_of
from studio.ware.selectors import built_pieces


@only(*STAFF, Role.STUDENT)
@require_safe
def assignment(request: HttpRequest, pk: UUID) -> HttpResponse:
    person = person_of(request)
    seen = Assignment.objects.visible_to(person).select_related("section", "clay_body", "brief")
    found = get_object_or_404(seen, pk=pk)
    context: dict[str, Any] = {"assignment": found, "today": timezone.localdate()}
    context |= _mine(found, person) if person.is_student else _of_class(found, person)
    return render(request, "board/assignment.html", context)


def _mine(assignment: Assignment, person: User) -> dict[str, Any]:
    """The student's own dates and counts, nobody else's, and when the kilns fire."""
    mine = Piece.objects.drawn_by(person).filter(assignment=assignment)
    piece = mine.select_related("assignment").first()
    lessons = lessons_of(assignment.section)
    context: dict[str, Any] = {"firings": firing_dates(assignment.section, timezone.now())}
    if piece is None:
        steps = kept_steps(dated_steps(assignment, lessons), [], {}, {})
        return context | {"steps": steps}
    progress = progress_of([piece], built=built_pieces([piece.pk]))[piece.pk]
    assignment.least_thumbnails = progress.asked.thumbnails
    assignment.least_source_forms = progress.asked.source_forms
    assignment.least_refinements = progress.asked.refinements
    steps = kept_by_student(piece, progress, lessons, timezone.localdate())
    return context | {"steps": steps, "piece": piece}


def _of_class(assignment: Assignment, person: User) -> dict[str, Any]:
    lessons, today = lessons_of(assignment.section), timezone.localdate()
    kept = kept_by_class(assignment, lessons, teaching=person.teaches, today=today)
    return {
        "steps": kept.steps,
        "rows": kept.rows,
        "pieces": kept.pieces,
        "missing": sum(1 for row in kept.rows if row.piece is None),
        "teaching": person.teaches,
    }
