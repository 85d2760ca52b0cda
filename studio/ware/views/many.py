"""Many pots at once: a class's stages, dryness before loading, the cover list."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.models import Section
from studio.ware.forms.many import ManyDrynessForm, ManyStagesForm, PotsForm
from studio.ware.models import Stage
from studio.ware.selectors import (
    by_class,
    checked_pots,
    not_ready_reasons,
    picks_of,
    pots_of_class,
)
from studio.ware.selectors import cover_list as covers_of
from studio.ware.selectors.drying import drying_pots, thickest_of
from studio.ware.services import check_dryness, come_to_stage, cover
from studio.ware.wording import pots_in_words

from .posting import done_once, pots_to_pick, tapped


@only(*STAFF)
def class_pots(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A class's pots by stage, to be moved on together."""
    by, section = person_of(request), _section(request, pk)
    among = pots_of_class(section).exclude(stage=Stage.COLLECTED)
    form = ManyStagesForm(request.POST or None, among=among)

    def act() -> object:
        said = form.cleaned_data
        return come_to_stage(
            pots=form.chosen,
            stage=said["stage"],
            reason=said["reason"],
            by=by,
            at=timezone.now(),
        )

    if form.is_valid() and done_once(request, form, act):
        stage = Stage(form.cleaned_data["stage"]).label
        words = {"pots": pots_in_words(len(form.chosen)), "stage": stage}
        messages.success(request, _("%(pots)s: now %(stage)s.") % words)
        return redirect("class_pots", pk)
    picks = picks_of(list(among), timezone.localdate(), chosen=tapped(request))
    groups = [(stage.label, [pick for pick in picks if pick.pot.stage == stage]) for stage in Stage]
    context = {
        "section": section,
        "form": form,
        "groups": [(label, inside) for label, inside in groups if inside],
    }
    return render(request, "ware/class_pots.html", context)


@only(*STAFF)
def dryness(request: HttpRequest) -> HttpResponse:
    """Felt by hand before loading: pots that dry, by class, those that need a check first."""
    by = person_of(request)
    among = pots_to_pick(by).filter(stage__in=[Stage.LEATHER_HARD, Stage.BONE_DRY])
    form = ManyDrynessForm(request.POST or None, among=among)

    def act() -> object:
        said = form.cleaned_data
        return check_dryness(
            pots=form.chosen,
            air_dry=said["air_dry"],
            note=said["note"],
            by=by,
            at=timezone.now(),
        )

    if form.is_valid() and done_once(request, form, act):
        words = {"pots": pots_in_words(len(form.chosen))}
        messages.success(request, _("Kept for %(pots)s.") % words)
        return redirect("dryness")
    drying = list(among)
    checked = checked_pots(drying)
    waiting = not_ready_reasons(drying, "bisque")
    asked = [pot for pot in drying if pot.pk in checked and pot.pk in waiting]
    picks = picks_of(asked, timezone.localdate(), chosen=tapped(request))
    under_check = drying_pots(asked, studio_of(by), now=timezone.now())
    context = {
        "form": form,
        "groups": by_class(picks),
        "unchecked": [pot for pot in drying if pot.pk not in checked],
        "drying": under_check,
        "thickest": thickest_of(under_check),
        "today": timezone.localdate(),
    }
    return render(request, "ware/dryness.html", context)


@only(*STAFF)
def cover_list(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What is wrapped at the end of a lesson, and until when it has to last."""
    by, section = person_of(request), _section(request, pk)
    form = PotsForm(request.POST or None, among=pots_of_class(section))
    if form.is_valid() and done_once(
        request, form, lambda: cover(pots=form.chosen, by=by, at=timezone.now())
    ):
        words = {"pots": pots_in_words(len(form.chosen))}
        messages.success(request, _("%(pots)s wrapped.") % words)
        return redirect("cover_list", pk)
    today = timezone.localdate()
    context = {"list": covers_of(section, today), "form": form, "today": today}
    return render(request, "ware/cover_list.html", context)


def _section(request: HttpRequest, pk: UUID) -> Section:
    return get_object_or_404(Section.objects.visible_to(person_of(request)), pk=pk)
