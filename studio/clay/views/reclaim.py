"""Scrap on its way back to clay."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from studio.clay import services
from studio.clay.forms.reclaim import DryForm, EndForm, ReclaimForm, ThrowAwayForm
from studio.clay.models import Batch, Entry, Lot, LotKind
from studio.clay.selectors.reclaim import (
    buckets_waiting,
    drying_batches,
    expected_g,
    reclaimed,
    usual_yield,
)
from studio.errors import Refused
from studio.people.access import STAFF, only, person_of, studio_of
from studio.web.shown import day_text, mass_text

from .posting import posted


@only(*STAFF)
@require_safe
def reclaims(request: HttpRequest) -> HttpResponse:
    """Buckets that wait, batches that dry, and what became clay again with its loss."""
    person = person_of(request)
    studio = studio_of(person)
    share = usual_yield(studio)
    context = {
        "buckets": buckets_waiting(person),
        "batches": [
            {"batch": batch, "becomes_g": expected_g(batch, share)}
            for batch in drying_batches(studio)
        ],
        "done": reclaimed(studio),
        "today": timezone.localdate(),
    }
    return render(request, "clay/reclaims.html", context)


@only(*STAFF)
def reclaim(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Scrap is put out to dry; or it is ready already, and both weights count at once."""
    by = person_of(request)
    seen = Lot.objects.visible_to(by).select_related("body", "studio")
    source = get_object_or_404(seen, pk=pk)
    if source.kind != LotKind.RETURNED:
        raise Refused(_("Only clay that came back is reclaimed."))
    which = request.POST.get("which", "")
    initial = {"taken_g": source.balance_g or None}
    dry = DryForm(request.POST if which == "dry" else None, initial=initial, units=source.studio)
    ready = ReclaimForm(request.POST if which == "ready" else None, units=source.studio)

    def put_out() -> dict[str, Any]:
        batch = services.put_out_to_dry(
            returned_lot=source, by=by, at=timezone.now(), **dry.cleaned_data
        )
        return {"grams": batch.taken_g, "on": day_text(batch.ready_on)}

    def make() -> dict[str, Any]:
        lot = services.reclaim(returned_lot=source, by=by, at=timezone.now(), **ready.cleaned_data)
        return {"lot": str(lot.pk), "grams": lot.balance_g}

    if done := posted(request, dry, put_out):
        message = _("%(mass)s are drying, until about %(day)s. Weigh them again when it's firm.")
        words = {"mass": mass_text(done["grams"], source.studio), "day": done["on"]}
        messages.success(request, message % words)
        return redirect("reclaims")
    if done := posted(request, ready, make):
        message = _("%(mass)s are ready to be used again.")
        messages.success(request, message % {"mass": mass_text(done["grams"], source.studio)})
        return redirect("lot", done["lot"])
    context = {"dry": dry, "ready": ready, "lot": source}
    return render(request, "clay/reclaim.html", context)


@only(*STAFF)
def batch(request: HttpRequest, pk: UUID) -> HttpResponse:
    """It is firm: weighed again as clay, or thrown away."""
    by = person_of(request)
    seen = Batch.objects.visible_to(by).select_related("out__lot__body")
    found = get_object_or_404(seen, pk=pk)
    studio, which = studio_of(by), request.POST.get("which", "")
    end = EndForm(request.POST if which == "end" else None, units=studio)
    away = ThrowAwayForm(request.POST if which == "away" else None)

    def finish() -> dict[str, Any]:
        lot = services.end_batch(batch=found, by=by, at=timezone.now(), **end.cleaned_data)
        return {"lot": str(lot.pk), "grams": lot.balance_g}

    def throw() -> dict[str, Any]:
        reason = away.cleaned_data["reason"]
        services.throw_away_batch(batch=found, reason=reason, by=by, at=timezone.now())
        return {"done": True}

    if done := posted(request, end, finish):
        message = _("%(mass)s are ready to be used again.")
        messages.success(request, message % {"mass": mass_text(done["grams"], studio)})
        return redirect("lot", done["lot"])
    if posted(request, away, throw):
        messages.success(request, _("Thrown away, and written down so."))
        return redirect("reclaims")
    context = {
        "batch": found,
        "lot": found.out.lot,
        "end": end,
        "away": away,
        "may_put_back": Entry.objects.correctable_by(by).filter(pk=found.pk).exists(),
        "today": timezone.localdate(),
    }
    return render(request, "clay/batch.html", context)
