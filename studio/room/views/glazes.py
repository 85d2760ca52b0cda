"""The studio's glazes: a list that staff keep, with what must be said beside them."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from studio.errors import Refused
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.models import Role
from studio.room.forms.glazes import GlazeForm, LeachTestForm, glaze_initial
from studio.room.models import Glaze
from studio.room.services import (
    add_glaze,
    bring_back_glaze,
    edit_glaze,
    record_leach_test,
    retire_glaze,
)
from studio.web.refusals import show_refusal

RECORDS_LEACH_TESTS = (Role.HEAD, Role.TECHNICIAN)


@only(*STAFF)
@require_safe
def glazes(request: HttpRequest) -> HttpResponse:
    seen = list(Glaze.objects.visible_to(person_of(request)))
    context = {
        "glazes": [glaze for glaze in seen if not glaze.retired],
        "retired": [glaze for glaze in seen if glaze.retired],
    }
    return render(request, "room/glazes.html", context)


@only(*STAFF)
def glaze_new(request: HttpRequest) -> HttpResponse:
    by = person_of(request)
    form = GlazeForm(request.POST or None)
    if form.is_valid():
        try:
            glaze = add_glaze(studio=studio_of(by), by=by, glaze=form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("%(name)s is on the list.") % {"name": glaze.name})
            return redirect("glazes")
    return render(request, "room/glaze_new.html", {"form": form})


@only(*STAFF)
def glaze_edit(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    glaze = _glaze(request, pk)
    form = GlazeForm(request.POST or None, initial=glaze_initial(glaze))
    if form.is_valid():
        try:
            edit_glaze(glaze=glaze, by=by, values=form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("Kept."))
            return redirect("glazes")
    return _glaze_page(request, glaze, form, None)


@only(*RECORDS_LEACH_TESTS)
@require_POST
def glaze_leach_test(request: HttpRequest, pk: UUID) -> HttpResponse:
    glaze = _glaze(request, pk)
    form = LeachTestForm(request.POST)
    if form.is_valid():
        try:
            by, result = person_of(request), form.cleaned_data["leach_test"]
            record_leach_test(glaze=glaze, by=by, result=result)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("Kept, with your name and the time."))
            return redirect("glaze_edit", glaze.pk)
    return _glaze_page(request, glaze, GlazeForm(initial=glaze_initial(glaze)), form)


@only(*STAFF)
@require_POST
def glaze_retire(request: HttpRequest, pk: UUID) -> HttpResponse:
    glaze = retire_glaze(glaze=_glaze(request, pk), by=person_of(request))
    message = _("%(name)s is no longer offered. You find it below the list.")
    messages.success(request, message % {"name": glaze.name})
    return redirect("glazes")


@only(*STAFF)
@require_POST
def glaze_bring_back(request: HttpRequest, pk: UUID) -> HttpResponse:
    glaze = bring_back_glaze(glaze=_glaze(request, pk), by=person_of(request))
    messages.success(request, _("%(name)s is offered again.") % {"name": glaze.name})
    return redirect("glazes")


def _glaze_page(
    request: HttpRequest, glaze: Glaze, form: GlazeForm, leach_test: LeachTestForm | None
) -> HttpResponse:
    """The label, and for those who answer for it the leach test."""
    context = {"glaze": glaze, "form": form}
    if person_of(request).role in RECORDS_LEACH_TESTS:
        initial = {"leach_test": glaze.leach_test}
        context["leach_test_form"] = leach_test or LeachTestForm(initial=initial)
    return render(request, "room/glaze_edit.html", context)


def _glaze(request: HttpRequest, pk: UUID) -> Glaze:
    seen = Glaze.objects.visible_to(person_of(request)).select_related("studio")
    return get_object_or_404(seen, pk=pk)
