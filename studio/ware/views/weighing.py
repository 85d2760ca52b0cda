"""Finished wet pots of a class on the scale."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.models import Assignment
from studio.errors import Refused
from studio.people.access import STAFF, only, person_of
from studio.people.idempotency import once_for_form
from studio.ware.forms.weighing import WeighBuiltForm
from studio.ware.models import WeighedAs
from studio.ware.selectors.weighing import newest_weights, wet_pots_of
from studio.ware.services import weigh_built as weigh
from studio.ware.wording import pots_in_words
from studio.web.shown import mass_text


@only(*STAFF)
def weigh_built(request: HttpRequest, pk: UUID) -> HttpResponse:
    """About ten pots on the day that they are finished; several in one post."""
    by = person_of(request)
    seen = Assignment.objects.visible_to(by).select_related("section__studio", "brief")
    assignment = get_object_or_404(seen, pk=pk)
    studio = assignment.section.studio
    pots = wet_pots_of(assignment)
    weights = newest_weights(pots, WeighedAs.BUILT)
    said = {
        pot: _("weighed: %(mass)s") % {"mass": mass_text(weight.grams, studio)}
        for pot, weight in weights.items()
    }
    form = WeighBuiltForm(request.POST or None, pots=pots, weighed=said, units=studio)

    def act() -> dict[str, int]:
        return {"pots": len(weigh(rows=form.chosen(), by=by, at=timezone.now()))}

    if request.method == "POST" and form.is_valid():
        try:
            done = once_for_form(request, act)
        except Refused as refusal:
            form.show(refusal)
        else:
            message = _("Kept: %(pots)s.") % {"pots": pots_in_words(done["pots"])}
            messages.success(request, message)
            return redirect("weigh_built", pk)
    context = {"assignment": assignment, "form": form, "pots": pots, "weighed": len(weights)}
    return render(request, "ware/weigh_built.html", context)
