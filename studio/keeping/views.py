"""A head erases a person, or the students whose years are over."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from studio.errors import Refused
from studio.people.access import only, person_of, studio_of
from studio.people.models import Role, User
from studio.web.refusals import show_refusal

from .forms import ChosenForm, SureForm
from .selectors import belongings_of, students_past_keeping
from .services import erase_person

# One erasing takes a moment, and a page must answer.
AT_ONCE = 25


@only(Role.HEAD)
def person_erase(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What goes and what stays; then, once the head says so, it is done."""
    by = person_of(request)
    shown = get_object_or_404(User.objects.visible_to(by).select_related("erasure"), pk=pk)
    form = SureForm(request.POST or None)
    if form.is_valid():
        try:
            erase_person(person=shown, by=by, at=timezone.now())
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("Erased. What was made stays, with nobody's name on it."))
            return redirect("person", pk)
    context = {"form": form, "person": shown, "belongings": belongings_of(shown)}
    return render(request, "keeping/person_erase.html", context)


@only(Role.HEAD)
def past_keeping(request: HttpRequest) -> HttpResponse:
    """Students who left longer ago than the studio keeps work; a head ticks whom to erase."""
    by = person_of(request)
    studio = studio_of(by)
    students = students_past_keeping(studio, timezone.localdate())
    shown = list(students[:AT_ONCE])
    # Only whom the page shows: what was never read can't be agreed to.
    offered = students.filter(pk__in=[each.pk for each in shown])
    form = ChosenForm(request.POST or None, students=offered)
    if form.is_valid():
        chosen = form.cleaned_data["chosen"]
        try:
            for student in chosen:
                erase_person(person=student, by=by, at=timezone.now())
        except Refused as refusal:  # another head is at it too
            show_refusal(form, refusal)
        else:
            said = ngettext("%(n)d student is erased.", "%(n)d students are erased.", len(chosen))
            messages.success(request, said % {"n": len(chosen)})
            return redirect("past_keeping")
    context = {
        "form": form,
        "students": shown,
        "more": students.count() - len(shown),
        "years": studio.retention_years,
    }
    return render(request, "keeping/past_keeping.html", context)
