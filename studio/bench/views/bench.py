"""At the bench: what to do next on one pot."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from planning.pictures.clock import seam_clock
from planning.statics.strength import SOFT_CLAY
from studio.bench.forms.measuring import HeightForm
from studio.bench.forms.rows import RowForm
from studio.bench.selectors.bench import bench_of
from studio.bench.selectors.finding import seen_pots
from studio.bench.services import lay_rows, measure_wall, take_back_row
from studio.people.access import STAFF, only, person_of
from studio.people.models import Role
from studio.ware.models import Pot
from studio.ware.views.posting import done_once


@only(*STAFF, Role.STUDENT)
@require_safe
def bench(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The row to lay now, what was laid, what comes after; checks of the pot."""
    return bench_page(request, get_object_or_404(seen_pots(person_of(request)), pk=pk))


def bench_page(request: HttpRequest, pot: Pot, *, status: int = 200, **forms: Any) -> HttpResponse:
    """With a form that came back, where one did."""
    today = timezone.localdate()
    found = bench_of(pot, today, pot.studio)
    clock = None
    if found.now is not None:
        clock = seam_clock(found.now.row.seams, found.below.seams if found.below else ())
    context = {
        "pot": pot,
        "bench": found,
        "picture": found.picture,
        "clock": clock,
        "strength": SOFT_CLAY,
        "today": today,
        "height_form": HeightForm(studio=pot.studio, initial={"after_row": found.laid}),
    }
    return render(request, "bench/bench.html", context | forms, status=status)


@only(*STAFF, Role.STUDENT)
@require_POST
def bench_row(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A row stands, with all below it; or the highest one doesn't after all."""
    pot = get_object_or_404(seen_pots(person_of(request)), pk=pk)
    form = RowForm(request.POST)
    if form.is_valid():
        act = take_back_row if form.cleaned_data["do"] == "take_back" else lay_rows

        def done() -> object:
            row = form.cleaned_data["row"]
            return act(pot=pot, row=row, by=person_of(request), at=timezone.now())

        if done_once(request, form, done):
            return redirect("bench", pk)
    return bench_page(request, pot, row_form=form)


@only(*STAFF, Role.STUDENT)
@require_POST
def bench_height(request: HttpRequest, pk: UUID) -> HttpResponse:
    """How high the first rows stand; the page says the wall that this means."""
    pot = get_object_or_404(seen_pots(person_of(request)), pk=pk)
    form = HeightForm(request.POST, studio=pot.studio)
    if form.is_valid():

        def act() -> object:
            said = form.cleaned_data
            return measure_wall(pot=pot, by=person_of(request), at=timezone.now(), **said)

        if done_once(request, form, act):
            return redirect("bench", pk)
    return bench_page(request, pot, height_form=form)
