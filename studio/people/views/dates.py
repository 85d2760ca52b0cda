"""A class's meeting dates."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from studio.errors import Refused
from studio.people.access import TEACHING, only, person_of
from studio.people.forms.classes import MeetingForm, pattern_forms
from studio.people.models import Meeting, Section, User
from studio.people.selectors import dates_of
from studio.people.services import (
    add_meeting,
    cancel_meeting,
    edit_meeting,
    restore_meeting,
    set_pattern,
)
from studio.web.refusals import show_refusal


@only(*TEACHING)
def class_dates(request: HttpRequest, pk: UUID) -> HttpResponse:
    """How the dates are made, and each one."""
    by = person_of(request)
    section = _section(by, pk)
    both = pattern_forms(section, request.POST or None)
    for form in both:
        if not form.is_valid():
            continue
        try:
            set_pattern(
                section=section,
                by=by,
                pattern=form.pattern(),
                starts_on=form.cleaned_data["starts_on"],
                ends_on=form.cleaned_data["ends_on"],
                today=timezone.localdate(),
            )
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("The dates are made. Each one can still be changed."))
            return redirect("class_dates", pk)
    weekdays, cycle = both
    return _page(request, section, weekdays=weekdays, cycle=cycle)


@only(*TEACHING)
@require_POST
def class_date_new(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One more lesson."""
    by = person_of(request)
    section = _section(by, pk)
    form = MeetingForm(request.POST)
    if form.is_valid():
        try:
            add_meeting(section=section, by=by, today=timezone.localdate(), **form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("class_dates", pk)
    return _page(request, section, form=form)


@only(*TEACHING)
def class_date(request: HttpRequest, pk: UUID, meeting: UUID) -> HttpResponse:
    """Move one lesson, or note something about it."""
    by = person_of(request)
    shown = _meeting(by, pk, meeting)
    form = MeetingForm(request.POST or None, initial={"on": shown.on, "note": shown.note})
    if form.is_valid():
        try:
            edit_meeting(meeting=shown, by=by, today=timezone.localdate(), **form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("class_dates", pk)
    context = {"form": form, "meeting": shown, "section": shown.section}
    return render(request, "people/class_date.html", context)


@only(*TEACHING)
@require_POST
def class_date_cancel(request: HttpRequest, pk: UUID, meeting: UUID) -> HttpResponse:
    """The lesson falls out; the next tap brings it back."""
    by = person_of(request)
    shown = _meeting(by, pk, meeting)
    if request.POST.get("cancelled") == "yes":
        cancel_meeting(meeting=shown, by=by)
    else:
        restore_meeting(meeting=shown, by=by)
    return redirect("class_dates", pk)


def _page(request: HttpRequest, section: Section, **forms: object) -> HttpResponse:
    weekdays, cycle = pattern_forms(section, None)
    context = {
        "section": section,
        "today": timezone.localdate(),
        "meetings": dates_of(section),
        "closures": section.studio.closures.all(),
        "weekdays": weekdays,
        "cycle": cycle,
        "form": MeetingForm(),
    }
    return render(request, "people/class_dates.html", context | forms)


def _section(by: User, pk: UUID) -> Section:
    return get_object_or_404(Section.objects.taught_by(by).select_related("studio"), pk=pk)


def _meeting(by: User, pk: UUID, meeting: UUID) -> Meeting:
    taught = Section.objects.taught_by(by).filter(pk=pk)
    found = Meeting.objects.select_related("section__studio").filter(section__in=taught)
    return get_object_or_404(found, pk=meeting)
