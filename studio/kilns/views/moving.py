"""A pot of a load is moved on the map of its shelf, by hand or by figures."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from studio.errors import Conflict, Refused
from studio.kilns.forms.moving import MoveForm, read
from studio.kilns.models import Placement, Slot
from studio.kilns.selectors.loads import Contents, contents
from studio.kilns.selectors.maps import surface_of
from studio.kilns.selectors.moving import row_of, spot_of, tried
from studio.kilns.services.moving_pots import move_pot
from studio.people.access import STAFF, only, person_of
from studio.ware.models import Pot
from studio.web.refusals import show_refusal

from .loads import slot_of


@only(*STAFF)
def load_move(request: HttpRequest, pk: UUID, pot: UUID) -> HttpResponse:
    """A place is kept only when the pot fits there."""
    slot, load, row = held(request, pk, pot)
    form = _form(request, slot, load, row)
    if form.is_valid():
        seen = read(form.cleaned_data["seen"])
        try:
            if seen is None:
                raise Conflict(_("Where the pot stood is not known. Move it again."))
            at, by = timezone.now(), person_of(request)
            move_pot(slot=slot, pot=row.pot, to=form.spot(), seen=seen, by=by, at=at)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            kept = _("%(code)s stands there now and is pinned: it stays when the rest is moved.")
            messages.success(request, kept % {"code": row.pot.code})
            return redirect("load", slot.pk)
    context = _context(slot, load, row, form)
    return render(request, "kilns/load_move.html", context)


@only(*STAFF)
@require_POST
def load_move_live(request: HttpRequest, pk: UUID, pot: UUID) -> HttpResponse:
    """Whether it fits where the form has it; nothing is kept."""
    slot, load, row = held(request, pk, pot)
    context = _context(slot, load, row, _form(request, slot, load, row))
    # Under a finger the pot stays the thing that the finger holds.
    context["still"] = "still" in request.POST
    return render(request, "kilns/_move_live.html", context)


def held(request: HttpRequest, pk: UUID, pot: UUID) -> tuple[Slot, Contents, Placement]:
    """A load that is still open, and where one pot stands in it."""
    slot = slot_of(request, pk)
    if slot.lit_at is not None or slot.cancelled_at is not None:
        raise Conflict(_("Nothing moves in this load: its kiln is lit, or it is cancelled."))
    # One that nobody has is not found; one that was taken out is told so.
    kept = get_object_or_404(Pot, studio=slot.studio, pk=pot)
    load = contents(slot)
    return slot, load, row_of(load, kept.pk)


def _form(request: HttpRequest, slot: Slot, load: Contents, row: Placement) -> MoveForm:
    data = request.POST if request.method == "POST" else None
    return MoveForm(data, kiln=slot.kiln, load=load, spot=spot_of(row), studio=slot.studio)


def _context(slot: Slot, load: Contents, row: Placement, form: MoveForm) -> dict[str, object]:
    asked = form.is_bound and form.is_valid()
    return {
        "slot": slot,
        "row": row,
        "form": form,
        "surface": surface_of(slot.program.firing),
        "tried": tried(slot, load, row.pot_id, form.spot() if asked else spot_of(row)),
        "readable": asked or not form.is_bound,
    }
