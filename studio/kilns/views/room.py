"""The kiln room: the coming weeks, and the studio's kilns."""

from uuid import UUID

from django.contrib import messages
from django.forms import BaseFormSet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST, require_safe

from studio.errors import Refused
from studio.kilns.selectors.learned import corrections, logged_cooling
from studio.kilns.selectors.weeks import coming_weeks
from studio.kilns.services.kilns import change_kiln, put_kiln_away, set_up_kiln
from studio.kilns.services.learning import (
    put_back_cooling,
    put_back_heat,
    take_over_cooling,
    take_over_heat,
)
from studio.people.access import STAFF, only, person_of, studio_of
from studio.room.forms.kilns import KilnForm, PostForm, PostsFormSet, posts_from, posts_initial
from studio.room.forms.rows import filled_rows, show_row_refusal
from studio.room.models import Kiln
from studio.room.services import bring_back_kiln


@only(*STAFF)
@require_safe
def kiln_room(request: HttpRequest) -> HttpResponse:
    person = person_of(request)
    today = timezone.localdate()
    context = {
        "coming": coming_weeks(person, today, timezone.now()),
        "kilns": Kiln.objects.visible_to(person).in_use(),
        "today": today,
    }
    return render(request, "kilns/kiln_room.html", context)


@only(*STAFF)
@require_safe
def kilns(request: HttpRequest) -> HttpResponse:
    seen = Kiln.objects.visible_to(person_of(request)).select_related("confirms_shut_off")
    rows = list(seen.prefetch_related("not_together_with", "posts"))
    context = {
        "kilns": [kiln for kiln in rows if not kiln.retired],
        "retired": [kiln for kiln in rows if kiln.retired],
    }
    return render(request, "kilns/kilns.html", context)


@only(*STAFF)
def kiln_new(request: HttpRequest) -> HttpResponse:
    by = person_of(request)
    form, rows = _forms(request, None)
    if form.is_valid() and rows.is_valid():
        try:
            values = form.cleaned_data | {"posts": posts_from(rows)}
            kiln = set_up_kiln(studio=studio_of(by), by=by, kiln=values)
        except Refused as refusal:
            show_row_refusal(form, filled_rows(rows.forms), "posts", refusal)
        else:
            message = _("%(name)s is in the kiln room. Look at its programs next.")
            messages.success(request, message % {"name": kiln.name})
            return redirect("programs")
    return render(request, "kilns/kiln_new.html", {"form": form, "posts": rows})


@only(*STAFF)
def kiln(request: HttpRequest, pk: UUID) -> HttpResponse:
    kept = _kiln(request, pk)
    form, rows = _forms(request, kept)
    if form.is_valid() and rows.is_valid():
        values = form.cleaned_data | {"posts": posts_from(rows)}
        try:
            change_kiln(kiln=kept, by=person_of(request), values=values, at=timezone.now())
        except Refused as refusal:
            show_row_refusal(form, filled_rows(rows.forms), "posts", refusal)
        else:
            messages.success(request, _("Kept. Firings to come keep their start."))
            return redirect("kiln_room")
    cooling = logged_cooling(kept)
    context = {
        "form": form,
        "posts": rows,
        "kiln": kept,
        "cooling": cooling,
        # A tenth of an hour is more than a log shows.
        "logged_h": round(cooling.time_constant_h, 1),
        "correction": corrections([kept]).get(kept.pk),
    }
    return render(request, "kilns/kiln.html", context)


TAUGHT = {
    "take_heat": (take_over_heat, gettext_lazy("Cones are computed with it from now on.")),
    "put_back_heat": (put_back_heat, gettext_lazy("Cones are computed without it again.")),
}
TAUGHT_COOLING = {
    "take_cooling": (take_over_cooling, gettext_lazy("Unloading is planned with it from now on.")),
    "put_back_cooling": (put_back_cooling, gettext_lazy("Unloading is planned as before.")),
}


@only(*STAFF)
@require_POST
def kiln_learned(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What its log says is taken over, or put back, by the button."""
    kept, by = _kiln(request, pk), person_of(request)
    for name, (act, said) in TAUGHT.items():
        if name in request.POST:
            act(kiln=kept, by=by)
            messages.success(request, said)
    for name, (change, said) in TAUGHT_COOLING.items():
        if name in request.POST:
            change(kiln=kept, by=by, at=timezone.now())
            messages.success(request, said)
    return redirect("kiln", kept.pk)


@only(*STAFF)
@require_POST
def kiln_put_away(request: HttpRequest, pk: UUID) -> HttpResponse:
    kept = put_kiln_away(kiln=_kiln(request, pk), by=person_of(request), at=timezone.now())
    message = _("%(name)s is no longer fired. You find it below the list.")
    messages.success(request, message % {"name": kept.name})
    return redirect("kilns")


@only(*STAFF)
@require_POST
def kiln_bring_back(request: HttpRequest, pk: UUID) -> HttpResponse:
    kept = bring_back_kiln(kiln=_kiln(request, pk), by=person_of(request))
    messages.success(request, _("%(name)s is fired again.") % {"name": kept.name})
    return redirect("kilns")


def _forms(request: HttpRequest, kept: Kiln | None) -> tuple[KilnForm, "BaseFormSet[PostForm]"]:
    studio = studio_of(person_of(request))
    data = request.POST if request.method == "POST" else None
    initial = posts_initial(kept) if kept else []
    form = KilnForm(data, studio=studio, kiln=kept)
    rows = PostsFormSet(data, initial=initial, prefix="posts", form_kwargs={"units": studio})
    return form, rows


def _kiln(request: HttpRequest, pk: UUID) -> Kiln:
    seen = Kiln.objects.visible_to(person_of(request)).select_related("studio")
    return get_object_or_404(seen, pk=pk)
