"""A slot's load: who stands where, what goes in and out, and lighting the kiln."""

from collections.abc import Sequence
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from studio.errors import Refused
from studio.kilns.forms.loads import LightForm
from studio.kilns.models import Slot
from studio.kilns.selectors.load_view import load_view, may_fill, of_section
from studio.kilns.selectors.waiting import waiting_for
from studio.kilns.services.firing import light, undo_light
from studio.kilns.services.loads import (
    pin_pots,
    place_anew,
    place_pots,
    take_out,
    work_out,
)
from studio.people.access import STAFF, only, person_of
from studio.people.idempotency import once_for_form
from studio.ware.models import Pot
from studio.web.refusals import show_refusal


@only(*STAFF)
@require_safe
def load(request: HttpRequest, pk: UUID) -> HttpResponse:
    return _page(request, slot_of(request, pk), LightForm())


@only(*STAFF)
@require_POST
def load_fill(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Whatever waits and fits; with `section` only that class's."""
    slot = slot_of(request, pk)
    waiting = waiting_for(slot, timezone.localdate())
    if section := uuid_of(request.POST.get("section", "")):
        waiting = of_section(waiting, section)
    pots = [each.pot for each in may_fill(slot, waiting)]
    return _placed(request, slot, pots)


@only(*STAFF)
@require_POST
def load_place(request: HttpRequest, pk: UUID) -> HttpResponse:
    slot = slot_of(request, pk)
    wanted = _chosen(request, slot)
    # As they wait: the most urgent goes in first.
    order = {each.pot.pk: n for n, each in enumerate(waiting_for(slot, timezone.localdate()))}
    pots = sorted(wanted, key=lambda pot: order.get(pot.pk, len(order)))
    return _placed(request, slot, pots)


@only(*STAFF)
@require_POST
def load_change(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The pots that are ticked in the list: out again, pinned or unpinned, by the button."""
    slot, by = slot_of(request, pk), person_of(request)
    pots = _chosen(request, slot)
    if "take_out" in request.POST:
        gone = take_out(slot=slot, pots=pots, by=by, at=timezone.now())
        said = ngettext(
            "%(howmany)s pot is out again.", "%(howmany)s pots are out again.", len(gone)
        )
        messages.success(request, said % {"howmany": len(gone)})
    else:
        pinned = "unpin" not in request.POST
        pin_pots(slot=slot, pots=pots, pinned=pinned, by=by)
        kept = _("Pinned: they stay where they are when the rest is placed anew.")
        messages.success(request, kept if pinned else _("No longer pinned."))
    return redirect("load", slot.pk)


@only(*STAFF)
@require_POST
def load_anew(request: HttpRequest, pk: UUID) -> HttpResponse:
    slot = slot_of(request, pk)
    if place_anew(slot=slot, by=person_of(request), at=timezone.now()):
        messages.success(request, _("Placed anew. Pinned pots stayed where they were."))
    else:
        messages.warning(request, _("Nothing moved: no other layout holds all of these pots."))
    return redirect("load", slot.pk)


@only(*STAFF)
@require_POST
def load_light(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Somebody has lit the kiln by hand and says so."""
    slot, form = slot_of(request, pk), LightForm(request.POST)
    if form.is_valid():
        try:
            light(slot=slot, by=person_of(request), at=timezone.now(), **form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("It is lit. Write down what you read at the kiln here."))
            return redirect("firing_log", slot.pk)
    return _page(request, slot, form)


@only(*STAFF)
@require_POST
def load_light_undo(request: HttpRequest, pk: UUID) -> HttpResponse:
    slot = undo_light(slot=slot_of(request, pk), by=person_of(request), at=timezone.now())
    messages.success(request, _("Taken back: it is not lit."))
    return redirect("load", slot.pk)


def slot_of(request: HttpRequest, pk: UUID) -> Slot:
    """A slot of the person's studio with all that these pages say of it."""
    seen = Slot.objects.visible_to(person_of(request)).select_related(
        "studio",
        "kiln",
        "program",
        "confirms_shut_off",
        "lit_by",
        "off_by",
        "unloaded_by",
    )
    return get_object_or_404(seen, pk=pk)


def _page(request: HttpRequest, slot: Slot, form: LightForm) -> HttpResponse:
    today = timezone.localdate()
    view = load_view(slot, today, person_of(request))
    context = {"slot": slot, "view": view, "form": form, "today": today}
    return render(request, "kilns/load.html", context)


def _placed(request: HttpRequest, slot: Slot, pots: Sequence[Pot]) -> HttpResponse:
    by = person_of(request)
    # Worked out before anything is held; the write compares and takes it over.
    worked_out = work_out(slot=slot, pots=pots, by=by)

    def act() -> dict[str, Any]:
        loaded = place_pots(slot=slot, pots=pots, by=by, at=timezone.now(), worked_out=worked_out)
        reasons = [each.reason for each in loaded.left_out]
        return {"placed": len(loaded.placed), "reasons": reasons}

    told = once_for_form(request, act)
    said = ngettext("%(howmany)s pot went in.", "%(howmany)s pots went in.", told["placed"])
    messages.success(request, said % {"howmany": told["placed"]})
    for reason in told["reasons"]:
        messages.warning(request, reason)
    return redirect("load", slot.pk)


def _chosen(request: HttpRequest, slot: Slot) -> list[Pot]:
    """The pots that are ticked, of the slot's studio: the kiln is shared by its classes."""
    ids = [found for each in request.POST.getlist("pots") if (found := uuid_of(each))]
    pots = Pot.objects.filter(studio=slot.studio_id, pk__in=ids)
    return list(pots.select_related("piece__assignment", "plan"))


def uuid_of(text: str) -> UUID | None:
    """What a form's field names; None for what is no id at all."""
    try:
        return UUID(text)
    except ValueError:
        return None
