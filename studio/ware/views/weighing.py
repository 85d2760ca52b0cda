"""Pots on the scale: the finished wet ones of a class, and one that dries."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.models import Assignment
from studio.people.access import STAFF, only, person_of
from studio.people.idempotency import once_or_shown
from studio.ware.forms.weighing import WeighBuiltForm, WeighDryingForm
from studio.ware.models import WeighedAs
from studio.ware.selectors.drying import drying_pots, on_scale
from studio.ware.selectors.weighing import newest_weights, wet_pots_of
from studio.ware.services import weigh_built as weigh
from studio.ware.services import weigh_drying as weigh_dry
from studio.ware.wording import pots_in_words
from studio.web.shown import mass_text

from .posting import done_once, seen_pot


@only(*STAFF)
def weigh_built(request: HttpRequest, pk: UUID) -> HttpResponse:
    """About ten pots on the day that they are finished; several in one post."""
    by = person_of(request)
    seen = Assignment.objects.visible_to(by).select_related("section__studio")
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

    if form.is_valid() and (done := once_or_shown(request, act, form.show)):
        message = _("Kept: %(pots)s.") % {"pots": pots_in_words(done["pots"])}
        messages.success(request, message)
        return redirect("weigh_built", pk)
    context = {"assignment": assignment, "form": form, "pots": pots, "weighed": len(weights)}
    return render(request, "ware/weigh_built.html", context)


@only(*STAFF)
def weigh_drying(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One of the thickest pots of a load, twice a day apart: whether it still loses water."""
    found = seen_pot(request, pk)
    form = WeighDryingForm(request.POST or None, units=found.studio)

    def act() -> object:
        by, at = person_of(request), timezone.now()
        return weigh_dry(pot=found, by=by, at=at, **form.cleaned_data)

    if form.is_valid() and done_once(request, form, act):
        messages.success(request, _("Kept. What it says stands here."))
        return redirect("weigh_drying", pk)
    now = timezone.now()
    context = {
        "pot": found,
        "form": form,
        "drying": next(iter(drying_pots([found], found.studio, now=now)), None),
        "scale": on_scale([found]).get(found.pk),
        "today": timezone.localdate(),
    }
    return render(request, "ware/weigh_drying.html", context)
