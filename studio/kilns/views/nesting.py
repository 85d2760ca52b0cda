"""A pot of a bisque load is put in or on another one, or stands by itself again."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from studio.errors import Conflict, Refused
from studio.kilns.forms.nesting import NestForm, read
from studio.kilns.selectors.loads import contents
from studio.kilns.selectors.nesting import hosts_for, nest_cautions, why_not_nested
from studio.kilns.services.nesting_pots import nest_pot, stand_by_itself
from studio.people.access import STAFF, only, person_of
from studio.web.refusals import show_refusal

from .moving import held


@only(*STAFF)
def load_nest(request: HttpRequest, pk: UUID, pot: UUID) -> HttpResponse:
    """In or on a pot that is chosen by its code, or measured anew where it stands."""
    slot, load, row = held(request, pk, pot)
    if why := why_not_nested(slot, load, row):
        raise Conflict(why)
    data = request.POST if request.method == "POST" else None
    form = NestForm(data, load=load, row=row, studio=slot.studio)
    if form.is_valid():
        said = form.cleaned_data
        try:
            if (seen := read(said["seen"])) is None:
                raise Conflict(_("What stands in what is not known. Look at the load once more."))
            host = next(each.pot for each in load.placements if each.pot_id == said["host"])
            nest_pot(
                slot=slot,
                pot=row.pot,
                host=host,
                together_mm=said["together_mm"],
                seen=seen.get(host.pk, frozenset()),
                by=person_of(request),
            )
        except Refused as refusal:
            form.see_anew(contents(slot))
            show_refusal(form, refusal)
        else:
            kept = _("%(code)s stands in or on %(host)s now, and goes where that goes.")
            messages.success(request, kept % {"code": row.pot.code, "host": host.code})
            return redirect("load", slot.pk)
    context = {
        "slot": slot,
        "row": row,
        "host": load.host_of(row),
        "hosts": hosts_for(load, row),
        "form": form,
        "cautions": nest_cautions(load),
    }
    return render(request, "kilns/load_nest.html", context)


@only(*STAFF)
@require_POST
def load_by_itself(request: HttpRequest, pk: UUID, pot: UUID) -> HttpResponse:
    """At a place of its own again."""
    slot, _load, row = held(request, pk, pot)
    stand_by_itself(slot=slot, pot=row.pot, by=person_of(request), at=timezone.now())
    said = _("%(code)s stands by itself again.")
    messages.success(request, said % {"code": row.pot.code})
    return redirect("load", slot.pk)
