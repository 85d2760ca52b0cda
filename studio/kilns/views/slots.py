"""Firing slots: planned, moved, cancelled, brought back."""

from datetime import date
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from studio.errors import Refused
from studio.kilns.forms.slots import MoveSlotForm, NewSlotForm, new_initial
from studio.kilns.models import Program, Slot
from studio.kilns.selectors.program_view import fits_of, view_of
from studio.kilns.selectors.slots import obstacles, slots_between
from studio.kilns.selectors.weeks import lines_of, with_what_counts
from studio.kilns.services.slots import (
    Weekly,
    add_slot,
    add_weekly_slots,
    bring_back_slot,
    cancel_slot,
    move_slot,
)
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.idempotency import once_for_form
from studio.room.models import Kiln
from studio.web.refusals import show_refusal
from studio.web.shown import day_text


@only(*STAFF)
def slot_new(request: HttpRequest) -> HttpResponse:
    """One firing, or the same one every week."""
    person = person_of(request)
    kilns = list(Kiln.objects.visible_to(person).in_use())
    programs = list(Program.objects.visible_to(person).in_use())
    initial = new_initial(kilns[0] if len(kilns) == 1 else None, _asked_day(request))
    # As the week's plan links to it; what is nobody's choice just isn't chosen.
    initial |= {name: request.GET[name] for name in _LINKED if request.GET.get(name)}
    form = NewSlotForm(request.POST or None, studio=studio_of(person), initial=initial)
    if form.is_valid():
        try:
            told = once_for_form(request, lambda: _plan(request, form))
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            for level, message in told["messages"]:
                messages.add_message(request, level, message)
            return redirect("kiln_room")
    context = {
        "form": form,
        "kilns": kilns,
        "programs": [(row, view_of(row, ()), fits_of(row, kilns)) for row in programs],
    }
    return render(request, "kilns/slot_new.html", context)


@only(*STAFF)
@require_safe
def slot(request: HttpRequest, pk: UUID) -> HttpResponse:
    kept = _slot(request, pk)
    [line] = lines_of([kept])
    near = slots_between(kept.studio, kept.starts_at, kept.unload_at)
    waits = kept.lit_at is None and kept.cancelled_at is None
    context = {
        "slot": kept,
        "line": line,
        "in_the_way": [each.message for each in obstacles(kept, near)] if waits else [],
        "view": view_of(kept.program, ()),
        "waits": waits,
    }
    return render(request, "kilns/slot.html", context)


@only(*STAFF)
def slot_move(request: HttpRequest, pk: UUID) -> HttpResponse:
    kept = _slot(request, pk)
    form = MoveSlotForm(request.POST or None, studio=studio_of(person_of(request)), slot=kept)
    if form.is_valid():
        try:
            move_slot(slot=kept, by=person_of(request), at=timezone.now(), **form.slot())
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("Kept."))
            return redirect("slot", kept.pk)
    return render(request, "kilns/slot_move.html", {"form": form, "slot": kept})


@only(*STAFF)
@require_POST
def slot_cancel(request: HttpRequest, pk: UUID) -> HttpResponse:
    cancel_slot(slot=_slot(request, pk), by=person_of(request), at=timezone.now())
    messages.success(request, _("Cancelled. You can bring it back while its time is free."))
    return redirect("slot", pk)


@only(*STAFF)
@require_POST
def slot_bring_back(request: HttpRequest, pk: UUID) -> HttpResponse:
    bring_back_slot(slot=_slot(request, pk), by=person_of(request), at=timezone.now())
    messages.success(request, _("It fires after all. It is empty."))
    return redirect("slot", pk)


def _plan(request: HttpRequest, form: NewSlotForm) -> dict[str, Any]:
    """Write, and what is said about it: kept with the form's key for a second tap. A single firing
    may be on a closed day: whoever plans it knows.
    """
    by, at, weeks = person_of(request), timezone.now(), form.cleaned_data["weeks"]
    if weeks == 1:
        done = Weekly([add_slot(by=by, at=at, **form.slot())], [])
    else:
        done = add_weekly_slots(by=by, at=at, weeks=weeks, **form.slot())
    howmany = len(done.made)
    planned = ngettext("One firing is planned.", "%(howmany)s firings are planned.", howmany)
    told: list[tuple[int, str]] = [(messages.SUCCESS, planned % {"howmany": howmany})]
    left_out = _("Left out on %(day)s: %(reason)s")
    for each in done.left_out:
        words = {"day": day_text(each.on), "reason": each.reason}
        told.append((messages.WARNING, left_out % words))
    return {"messages": told}


_LINKED = ("kiln", "program", "start")


def _asked_day(request: HttpRequest) -> date:
    """`?on=2026-03-19`, as the kiln room links to it; else today."""
    try:
        asked = parse_date(request.GET.get("on", ""))
    except ValueError:  # such as 31 February
        asked = None
    return asked or timezone.localdate()


def _slot(request: HttpRequest, pk: UUID) -> Slot:
    return get_object_or_404(with_what_counts(Slot.objects.visible_to(person_of(request))), pk=pk)
