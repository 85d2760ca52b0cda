"""A class: its name, its teachers, who is in it."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from studio.errors import Refused
from studio.people.access import TEACHING, only, person_of, studio_of
from studio.people.forms.classes import ClassForm
from studio.people.forms.people import NameForm
from studio.people.models import Section, User
from studio.people.selectors import (
    class_members,
    classes_to_move_to,
    meeting_on,
    students_to_enrol,
)
from studio.people.services import (
    create_class,
    edit_class,
    end_enrolment,
    enrol,
    enrol_new_student,
    mark_absent,
    move_student,
)
from studio.web.refusals import show_refusal


@only(*TEACHING)
def class_new(request: HttpRequest) -> HttpResponse:
    by = person_of(request)
    form = ClassForm(request.POST or None, person=by, new=True)
    if form.is_valid():
        try:
            section = create_class(studio=studio_of(by), by=by, **form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("class_dates", section.pk)
    return render(request, "people/class_new.html", {"form": form})


@only(*TEACHING)
def class_edit(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    section = _section(by, pk)
    now = {
        "title": section.title,
        "code": section.code,
        "sourced_id": section.sourced_id,
        "archived": section.archived,
        "teachers": section.teachers.all(),
    }
    form = ClassForm(request.POST or None, person=by, new=False, initial=now)
    if form.is_valid():
        try:
            edit_class(section=section, by=by, **form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("class_people", pk)
    return render(request, "people/class_edit.html", {"form": form, "section": section})


@only(*TEACHING)
@require_safe
def class_people(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Who is here today, who is in the class, who comes in."""
    by = person_of(request)
    return _people_page(request, _section(by, pk), NameForm())


@only(*TEACHING)
@require_POST
def class_student_new(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A student without an account, made and enrolled."""
    by = person_of(request)
    section = _section(by, pk)
    form = NameForm(request.POST)
    if form.is_valid():
        try:
            student = enrol_new_student(
                section=section,
                by=by,
                at=timezone.now(),
                on=timezone.localdate(),
                **form.cleaned_data,
            )
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            return _back_to(pk, student)
    return _people_page(request, section, form)


@only(*TEACHING)
@require_POST
def class_enrol(request: HttpRequest, pk: UUID, student: UUID) -> HttpResponse:
    by = person_of(request)
    section, who = _section(by, pk), _student(by, student)
    enrol(section=section, student=who, by=by, on=timezone.localdate())
    return _back_to(pk, who)


@only(*TEACHING)
@require_POST
def class_leave(request: HttpRequest, pk: UUID, student: UUID) -> HttpResponse:
    by = person_of(request)
    section, who = _section(by, pk), _student(by, student)
    end_enrolment(section=section, student=who, by=by, on=timezone.localdate())
    message = _("%(name)s has left %(section)s. The work stays.")
    messages.success(request, message % {"name": who, "section": section})
    return redirect("class_people", pk)


@only(*TEACHING)
@require_POST
def class_move(request: HttpRequest, pk: UUID, student: UUID) -> HttpResponse:
    by = person_of(request)
    section, who = _section(by, pk), _student(by, student)
    others = {str(each.pk): each for each in classes_to_move_to(section, by)}
    to = others.get(request.POST.get("to", ""))
    if to is None:
        raise Refused(_("Choose the class to move to."))
    move_student(student=who, section=section, to=to, by=by, on=timezone.localdate())
    message = _("%(name)s is in %(section)s now.")
    messages.success(request, message % {"name": who, "section": to})
    return redirect("class_people", pk)


@only(*TEACHING)
@require_POST
def class_absent(request: HttpRequest, pk: UUID, student: UUID) -> HttpResponse:
    """One tap says that somebody is absent from today's lesson, the next takes it back."""
    by, today = person_of(request), timezone.localdate()
    section, who = _section(by, pk), _student(by, student)
    meeting = meeting_on(section, today)
    if meeting is None:
        raise Refused(_("This class doesn't meet today. Add the lesson under its dates."))
    absent = request.POST.get("absent") == "yes"
    mark_absent(meeting=meeting, student=who, by=by, absent=absent, today=today)
    return _back_to(pk, who)


def _people_page(request: HttpRequest, section: Section, form: NameForm) -> HttpResponse:
    by, today = person_of(request), timezone.localdate()
    words = request.GET.get("q", "")[:100]
    context = {
        "section": section,
        "today": today,
        "meeting": meeting_on(section, today),
        "members": class_members(section, today),
        "others": classes_to_move_to(section, by),
        "words": words,
        "found": students_to_enrol(section, by, words),
        "form": form,
    }
    return render(request, "people/class_people.html", context)


def _section(by: User, pk: UUID) -> Section:
    return get_object_or_404(Section.objects.taught_by(by).select_related("studio"), pk=pk)


def _student(by: User, pk: UUID) -> User:
    return get_object_or_404(User.objects.visible_to(by).students(), pk=pk)


def _back_to(section: UUID, student: User) -> HttpResponse:
    """The page again, at the student's line."""
    address = reverse("class_people", args=[section])
    return HttpResponseRedirect(f"{address}#student-{student.pk}")
