"""Everybody in the studio, one person, accounts of staff."""

from uuid import UUID

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from studio.errors import Refused
from studio.people.access import TEACHING, only, person_of, studio_of
from studio.people.forms.people import PersonForm, StaffForm
from studio.people.models import Enrolment, Role, User
from studio.people.selectors import is_paused, people_named, sign_in_state, with_classes
from studio.people.services import (
    create_person,
    edit_person,
    let_sign_in,
    reset_password,
    unlock_sign_in,
)
from studio.web.refusals import show_refusal

PER_PAGE = 50


@only(Role.HEAD)
@require_safe
def people(request: HttpRequest) -> HttpResponse:
    """Staff and students, found by name."""
    words = request.GET.get("q", "")[:100]
    seen = people_named(User.objects.visible_to(person_of(request)), words)
    students = Paginator(with_classes(seen.students()), PER_PAGE)
    context = {
        "words": words,
        "staff": seen.staff(),
        "students": students.get_page(request.GET.get("page")),
    }
    return render(request, "people/people.html", context)


@only(Role.HEAD)
def staff_new(request: HttpRequest) -> HttpResponse:
    """An account for a colleague; its first password is shown once."""
    form = StaffForm(request.POST or None)
    if form.is_valid():
        by = person_of(request)
        try:
            made = create_person(
                studio=studio_of(by), by=by, at=timezone.now(), **form.cleaned_data
            )
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            return _first_password(request, made.person, made.first_password)
    return render(request, "people/staff_new.html", {"form": form})


@only(*TEACHING)
@require_safe
def person(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    shown = get_object_or_404(User.objects.visible_to(by), pk=pk)
    enrolments = Enrolment.objects.filter(student=shown).select_related("section")
    context = {
        "person": shown,
        "enrolments": enrolments.order_by("left_on", "section__title"),
        "state": sign_in_state(shown, timezone.now()),
        "paused": is_paused(shown),
        "may_help": shown.pk != by.pk,
    }
    return render(request, "people/person.html", context)


@only(Role.HEAD)
def person_edit(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    shown = get_object_or_404(User.objects.visible_to(by), pk=pk)
    now = {field: getattr(shown, field) for field in PersonForm.base_fields}
    form = PersonForm(request.POST or None, initial=now)
    if form.is_valid():
        try:
            edit_person(person=shown, by=by, **form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("person", pk)
    return render(request, "people/person_edit.html", {"form": form, "person": shown})


@only(*TEACHING)
@require_POST
def person_reset(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The new first password stands on the answer to this request and nowhere else."""
    by = person_of(request)
    shown = get_object_or_404(User.objects.visible_to(by), pk=pk)
    given = reset_password(person=shown, by=by, at=timezone.now())
    return _first_password(request, shown, given)


@only(*TEACHING)
@require_POST
def person_unlock(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    shown = get_object_or_404(User.objects.visible_to(by), pk=pk)
    unlock_sign_in(person=shown, by=by)
    messages.success(request, _("%(name)s can try again at once.") % {"name": shown.name})
    return redirect("person", pk)


@only(Role.HEAD)
@require_POST
def person_account(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Close the account or open it again."""
    by = person_of(request)
    shown = get_object_or_404(User.objects.visible_to(by), pk=pk)
    let_sign_in(person=shown, by=by, allowed=request.POST.get("allowed") == "yes")
    return redirect("person", pk)


@never_cache
def _first_password(request: HttpRequest, shown: User, given: str | None) -> HttpResponse:
    context = {"person": shown, "password": given}
    return render(request, "people/first_password.html", context)
