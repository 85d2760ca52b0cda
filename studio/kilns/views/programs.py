"""Firing programs: a list, and an editor that shows what a program does while it is typed."""

from uuid import UUID

from django.contrib import messages
from django.forms import BaseFormSet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from studio.errors import Refused
from studio.kilns.forms.programs import (
    ProgramForm,
    SegmentForm,
    SegmentsFormSet,
    program_from,
    program_initial,
    segments_initial,
)
from studio.kilns.models import Program
from studio.kilns.refusal import KilnRefused
from studio.kilns.selectors.program_view import ProgramView, program_view, view_of
from studio.kilns.services.programs import (
    add_program,
    bring_back_program,
    edit_program,
    retire_program,
)
from studio.people.access import STAFF, only, person_of, studio_of
from studio.room.forms.rows import filled_rows, show_row_refusal
from studio.room.models import Kiln

Segments = BaseFormSet[SegmentForm]


@only(*STAFF)
@require_safe
def programs(request: HttpRequest) -> HttpResponse:
    rows = list(Program.objects.visible_to(person_of(request)))
    context = {
        "programs": [(row, view_of(row, ())) for row in rows if not row.retired],
        "retired": [row for row in rows if row.retired],
    }
    return render(request, "kilns/programs.html", context)


@only(*STAFF)
def program_new(request: HttpRequest) -> HttpResponse:
    by = person_of(request)
    form, rows = _forms(request, None)
    if form.is_valid() and rows.is_valid():
        try:
            made = add_program(studio=studio_of(by), by=by, program=program_from(form, rows))
        except Refused as refusal:
            show_row_refusal(form, filled_rows(rows.forms), "segments", refusal)
        else:
            messages.success(request, _("%(name)s is on the list.") % {"name": made.name})
            return redirect("program", made.pk)
    context = {"form": form, "segments": rows, "view": _view(request, form, rows)}
    return render(request, "kilns/program_new.html", context)


@only(*STAFF)
def program(request: HttpRequest, pk: UUID) -> HttpResponse:
    kept = _program(request, pk)
    form, rows = _forms(request, kept)
    if form.is_valid() and rows.is_valid():
        try:
            values = program_from(form, rows)
            changed = edit_program(program=kept, by=person_of(request), values=values)
        except Refused as refusal:
            show_row_refusal(form, filled_rows(rows.forms), "segments", refusal)
        else:
            new = _("Kept as a new program. Firings that were planned keep the old one.")
            messages.success(request, _("Kept.") if changed.pk == kept.pk else new)
            return redirect("program", changed.pk)
    context = {
        "form": form,
        "segments": rows,
        "program": kept,
        "used": kept.slots.exists(),
        "view": _view(request, form, rows, kept),
    }
    return render(request, "kilns/program.html", context)


@only(*STAFF)
@require_POST
def program_live(request: HttpRequest) -> HttpResponse:
    """What the program in the form does; nothing is kept."""
    form, rows = _forms(request, None)
    context = {"view": _view(request, form, rows)}
    return render(request, "kilns/_program_figures.html", context)


@only(*STAFF)
@require_POST
def program_retire(request: HttpRequest, pk: UUID) -> HttpResponse:
    kept = retire_program(program=_program(request, pk), by=person_of(request))
    message = _("%(name)s is no longer offered. You find it below the list.")
    messages.success(request, message % {"name": kept.name})
    return redirect("programs")


@only(*STAFF)
@require_POST
def program_bring_back(request: HttpRequest, pk: UUID) -> HttpResponse:
    kept = bring_back_program(program=_program(request, pk), by=person_of(request))
    messages.success(request, _("%(name)s is offered again.") % {"name": kept.name})
    return redirect("programs")


def _forms(request: HttpRequest, kept: Program | None) -> tuple[ProgramForm, Segments]:
    data = request.POST if request.method == "POST" else None
    form = ProgramForm(data, initial=program_initial(kept) if kept else None)
    initial = segments_initial(kept) if kept else []
    return form, SegmentsFormSet(data, initial=initial, prefix="segments")


def _view(
    request: HttpRequest, form: ProgramForm, rows: Segments, kept: Program | None = None
) -> ProgramView | None:
    """Of what is in the form, else of what is kept; None where it can't be followed."""
    kilns = list(Kiln.objects.visible_to(person_of(request)).in_use())
    if not form.is_bound:
        return view_of(kept, kilns) if kept else None
    form.is_valid()
    start_c = form.cleaned_data.get("start_c")
    if start_c is None or not rows.is_valid():
        return None
    segments = [row.cleaned_data for row in filled_rows(rows.forms)]
    try:
        return program_view(start_c, segments, kilns)
    except KilnRefused:
        return None


def _program(request: HttpRequest, pk: UUID) -> Program:
    seen = Program.objects.visible_to(person_of(request)).select_related("studio")
    return get_object_or_404(seen, pk=pk)
