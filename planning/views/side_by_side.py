"""Drawings of two students that look the same, for a teacher of both to look at."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from planning.models import Assignment
from planning.selectors.side_by_side import looked_at
from planning.services.side_by_side import ask_for_pairs
from studio.people.access import TEACHING, only, person_of


@only(*TEACHING)
def drawings_alike(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What the last look found; a POST looks again."""
    person = person_of(request)
    taught = Assignment.objects.taught_by(person).select_related("section__studio")
    assignment = get_object_or_404(taught, pk=pk)
    if request.method == "POST":
        ask_for_pairs(assignment=assignment, by=person, at=timezone.now())
        return redirect("drawings_alike", pk)
    context = {
        "assignment": assignment,
        "looked": looked_at(assignment, person),
        "today": timezone.localdate(),
    }
    return render(request, "planning/drawings_alike.html", context)
