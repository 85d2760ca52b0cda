"""Test bars of a clay body: the log, new bars, bars that wait for their measures, one put right."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe
from django_stubs_ext import StrOrPromise

from studio.errors import Refused
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.idempotency import once_for_form
from studio.room.forms.bars import (
    BarForm,
    BarRow,
    FiringForm,
    NewBarsForm,
    bar_initial,
    bars_from,
    measured_from,
    new_bars,
    show_bar_refusal,
    waiting_rows,
)
from studio.room.forms.rows import filled_rows
from studio.room.models import ClayBody, ShrinkageBar
from studio.room.selectors.bars import BarGroup, bar_groups, next_mark, waiting_bars
from studio.room.services import add_bars, edit_bar, measure_bars, use_bars
from studio.room.services.bar_figures import figures_for_body
from studio.room.services.bars import MOST_AT_ONCE
from studio.web.refusals import show_refusal
from studio.web.shown import number_text, percent_text

from .bodies import body_of

NAMES = {
    "drying_shrinkage_pct": _lazy("Drying shrinkage"),
    "total_shrinkage_pct": _lazy("Total shrinkage"),
    "water_pct_wet_basis": _lazy("Water in the wet clay"),
    "loss_on_ignition_pct": _lazy("Loss on ignition"),
}
AT_FIRST = 5
MANY = 10


@only(*STAFF)
@require_safe
def test_bars(request: HttpRequest, pk: UUID) -> HttpResponse:
    body = body_of(request, pk)
    groups = bar_groups(body)
    context = {
        "body": body,
        "groups": [(group, proposed(body, group)) for group in groups],
        "to_measure": any(
            not each.bar.left_out for group in groups if not group.cone for each in group.bars
        ),
        "today": timezone.localdate(),
    }
    return render(request, "room/test_bars.html", context)


@only(*STAFF)
def test_bars_new(request: HttpRequest, pk: UUID) -> HttpResponse:
    by, body, today = person_of(request), body_of(request, pk), timezone.localdate()
    data = request.POST if request.method == "POST" else None
    form = NewBarsForm(data, initial={"made_on": today, "cone": body.cone})
    first = next_mark(list(body.bars.values_list("mark", flat=True)))
    lines = _lines(request)
    marks = [str(first + place) for place in range(lines)]
    rows = new_bars(data, units=studio_of(by), marks=marks)

    def act() -> dict[str, Any]:
        made = add_bars(body=body, by=by, bars=bars_from(form, rows.forms), today=today)
        return {"bars": len(made)}

    if form.is_valid() and rows.is_valid():
        filled = filled_rows(rows.forms)
        try:
            done = once_for_form(request, act)
        except Refused as refusal:
            show_bar_refusal(form, filled, refusal)
        else:
            text = ngettext(
                "%(bars)s bar is in the log.", "%(bars)s bars are in the log.", done["bars"]
            )
            messages.success(request, text % {"bars": number_text(done["bars"])})
            return redirect("test_bars", body.pk)
    more = MANY if lines < MANY else 0
    context = {"body": body, "form": form, "rows": rows, "more": more, "wrong": _wrong(rows)}
    return render(request, "room/test_bars_new.html", context)


@only(*STAFF)
def test_bars_measure(request: HttpRequest, pk: UUID) -> HttpResponse:
    by, body = person_of(request), body_of(request, pk)
    data = request.POST if request.method == "POST" else None
    form = FiringForm(data, initial={"cone": body.cone})
    rows = waiting_rows(data, units=studio_of(by), bars=waiting_bars(body))
    if form.is_valid() and all(row.is_valid() for row in rows):
        measured = measured_from(form, rows)
        try:
            bars = measure_bars(body=body, by=by, measured=measured, today=timezone.localdate())
        except Refused as refusal:
            show_bar_refusal(form, filled_rows(rows), refusal)
        else:
            text = ngettext("%(bars)s bar measured.", "%(bars)s bars measured.", len(bars))
            messages.success(request, text % {"bars": number_text(len(bars))})
            return redirect("test_bars", body.pk)
    context = {"body": body, "form": form, "rows": rows, "wrong": _wrong(rows)}
    return render(request, "room/test_bars_measure.html", context)


@only(*STAFF)
@require_POST
def test_bars_use(request: HttpRequest, pk: UUID) -> HttpResponse:
    body = use_bars(
        body=body_of(request, pk),
        by=person_of(request),
        cone=request.POST.get("cone", ""),
        on=timezone.localdate(),
    )
    text = _(
        "%(name)s now shrinks %(drying)s in drying and %(total)s in all. Plans that were sent keep "
        "the figures they were sent with."
    )
    words = {
        "name": body.name,
        "drying": percent_text(body.drying_shrinkage_pct),
        "total": percent_text(body.total_shrinkage_pct),
    }
    messages.success(request, text % words)
    return redirect("body_edit", body.pk)


@only(*STAFF)
def test_bar_edit(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    seen = ShrinkageBar.objects.visible_to(by).select_related("body__studio", "made_by")
    bar = get_object_or_404(seen, pk=pk)
    form = BarForm(request.POST or None, initial=bar_initial(bar), units=studio_of(by))
    if form.is_valid():
        try:
            edit_bar(bar=bar, by=by, values=form.cleaned_data, today=timezone.localdate())
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("Kept."))
            return redirect("test_bars", bar.body_id)
    return render(request, "room/test_bar_edit.html", {"form": form, "bar": bar})


def proposed(body: ClayBody, group: BarGroup) -> list[tuple[StrOrPromise, Decimal, Decimal]]:
    """What the group's means would change in the body: name, now, then; empty where nothing."""
    if not group.usable:
        return []
    return [
        (NAMES[name], getattr(body, name), value)
        for name, value in figures_for_body(group.figures).items()
        if getattr(body, name) != value
    ]


def _wrong(rows: Iterable[BarRow]) -> list[BarRow]:
    return [row for row in rows if row.errors]


def _lines(request: HttpRequest) -> int:
    """How many empty lines the page has; `?lines=10` asks for more."""
    asked = request.GET.get("lines", "")
    wanted = int(asked) if asked.isdecimal() and len(asked) <= len(str(MOST_AT_ONCE)) else AT_FIRST
    return max(1, min(MOST_AT_ONCE, wanted))
