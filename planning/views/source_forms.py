"""The studio's list of source forms, which its teachers keep."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from planning.forms.source_form import SourceFormForm
from planning.models import SourceForm
from planning.services.source_forms import (
    add_source_form,
    ensure_source_forms,
    offer_source_form,
    rename_source_form,
    retire_source_form,
)
from studio.errors import Refused
from studio.people.access import TEACHING, only, person_of, studio_of
from studio.web.refusals import show_refusal


@only(*TEACHING)
def source_forms(request: HttpRequest) -> HttpResponse:
    by = person_of(request)
    ensure_source_forms(studio=studio_of(by))
    form = SourceFormForm(request.POST or None)
    if form.is_valid():
        try:
            added = add_source_form(studio=studio_of(by), by=by, name=form.cleaned_data["name"])
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("“%(name)s” is on the list.") % {"name": added.name})
            return redirect("source_forms")
    listed = list(SourceForm.objects.visible_to(by))
    context = {
        "form": form,
        "offered": [each for each in listed if not each.retired],
        "retired": [each for each in listed if each.retired],
    }
    return render(request, "planning/source_forms.html", context)


@only(*TEACHING)
def source_form_edit(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    found = _source_form(request, pk)
    form = SourceFormForm(request.POST or None, initial={"name": found.name})
    if form.is_valid():
        try:
            rename_source_form(source_form=found, by=by, name=form.cleaned_data["name"])
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            return redirect("source_forms")
    context = {"form": form, "source_form": found}
    return render(request, "planning/source_form_edit.html", context)


@only(*TEACHING)
@require_POST
def source_form_retire(request: HttpRequest, pk: UUID) -> HttpResponse:
    retire_source_form(source_form=_source_form(request, pk), by=person_of(request))
    return redirect("source_forms")


@only(*TEACHING)
@require_POST
def source_form_offer(request: HttpRequest, pk: UUID) -> HttpResponse:
    offer_source_form(source_form=_source_form(request, pk), by=person_of(request))
    return redirect("source_forms")


def _source_form(request: HttpRequest, pk: UUID) -> SourceForm:
    seen = SourceForm.objects.visible_to(person_of(request)).select_related("studio")
    return get_object_or_404(seen, pk=pk)
