"""A class's plans at true size, asked for at once and fetched when they are ready."""

from uuid import UUID

from django.http import FileResponse, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from planning.models import Assignment
from planning.plans.papers import Paper
from studio.board.forms.class_set import ClassSetForm
from studio.board.selectors.class_sets import KIND, class_sets, shown
from studio.board.services.class_sets import ask_for_class_set, opened_class_set
from studio.jobs.models import Job
from studio.people.access import TEACHING, only, person_of


@only(*TEACHING)
def class_set(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Chooses what is printed; below it what was asked for before."""
    assignment = _assignment(request, pk)
    first = {
        "papers": [Paper.TEMPLATE, Paper.BASE, Paper.BENCH],
        "page": assignment.section.studio.paper,
    }
    form = ClassSetForm(request.POST or None, initial=first)
    if request.method == "POST" and form.is_valid():
        ask_for_class_set(
            assignment=assignment,
            by=person_of(request),
            papers=form.chosen(),
            page=form.cleaned_data["page"],
            origin=request.build_absolute_uri("/"),
            at=timezone.now(),
        )
        return redirect("class_set", assignment.pk)
    context = {
        "assignment": assignment,
        "form": form,
        "sets": class_sets(assignment),
        "today": timezone.localdate(),
    }
    return render(request, "board/class_set.html", context)


@only(*TEACHING)
@require_safe
def class_set_progress(request: HttpRequest, pk: UUID, job: UUID) -> HttpResponse:
    """One set as it stands now; the page asks for it while it is being made."""
    assignment = _assignment(request, pk)
    (found,) = shown([_job(assignment, job)])
    context = {"assignment": assignment, "set": found, "today": timezone.localdate()}
    return render(request, "board/_class_set.html", context)


@only(*TEACHING)
@require_safe
def class_set_pdf(request: HttpRequest, pk: UUID, job: UUID) -> HttpResponseBase:
    """The PDF, for who teaches the class. Raises `Refused` where it is kept no longer."""
    found = _job(_assignment(request, pk), job)
    response = FileResponse(
        opened_class_set(found), filename="class-plans.pdf", content_type="application/pdf"
    )
    response["Cache-Control"] = "no-store, private"
    response["X-Content-Type-Options"] = "nosniff"
    return response


def _assignment(request: HttpRequest, pk: UUID) -> Assignment:
    seen = Assignment.objects.taught_by(person_of(request))
    return get_object_or_404(seen.select_related("section__studio"), pk=pk)


def _job(assignment: Assignment, pk: UUID) -> Job:
    own = Job.objects.filter(kind=KIND, unique_key__startswith=f"{assignment.pk}:")
    return get_object_or_404(own, pk=pk)
