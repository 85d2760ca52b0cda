"""Where pots stand. A place's page is what its QR code opens, mostly on a phone."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.db.models import Count, Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.models import Role, Section, User
from studio.people.selectors import lessons_by_class
from studio.ware.forms.many import PlaceForm, PotsForm
from studio.ware.models import Place, Pot
from studio.ware.selectors import picks_of
from studio.ware.services import (
    add_place,
    bring_back_place,
    cover,
    edit_place,
    put_in_place,
    retire_place,
    uncover,
)
from studio.ware.stages import DAMP
from studio.ware.wording import pots_in_words

from .posting import done_once, pots_to_pick, tapped


@only(*STAFF)
def places(request: HttpRequest) -> HttpResponse:
    """All places with how many pots stand there, and a form for one more."""
    by = person_of(request)
    form = PlaceForm(request.POST or None)
    if form.is_valid() and done_once(
        request, form, lambda: add_place(studio=studio_of(by), by=by, **form.cleaned_data)
    ):
        message = _("%(name)s is on the list. Print its label from its page.")
        messages.success(request, message % {"name": form.cleaned_data["name"]})
        return redirect("places")
    standing = Q(pots__lost="")
    counted = Place.objects.visible_to(by).annotate(standing=Count("pots", filter=standing))
    rows = list(counted.order_by("name"))
    context = {
        "form": form,
        "places": [place for place in rows if not place.retired],
        "retired": [place for place in rows if place.retired],
    }
    return render(request, "ware/places.html", context)


@only(*STAFF)
def place_edit(request: HttpRequest, pk: UUID) -> HttpResponse:
    by, found = person_of(request), _place(request, pk)
    form = PlaceForm(request.POST or None, initial={"name": found.name, "kind": found.kind})
    if form.is_valid() and done_once(
        request, form, lambda: edit_place(place=found, by=by, values=form.cleaned_data)
    ):
        return redirect("place", pk)
    return render(request, "ware/place_edit.html", {"form": form, "place": found})


@only(*STAFF)
@require_POST
def place_retire(request: HttpRequest, pk: UUID) -> HttpResponse:
    retire_place(place=_place(request, pk), by=person_of(request))
    return redirect("places")


@only(*STAFF)
@require_POST
def place_bring_back(request: HttpRequest, pk: UUID) -> HttpResponse:
    bring_back_place(place=_place(request, pk), by=person_of(request))
    return redirect("place", pk)


@only(*STAFF, Role.STUDENT)
@require_safe
def place(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What stands here, and which pots may be put here."""
    return _page(request, _place(request, pk))


@only(*STAFF, Role.STUDENT)
@require_POST
def place_put(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Put these here; `do=put_wrapped` wraps them as well."""
    here, by, at = _place(request, pk), person_of(request), timezone.now()
    form = PotsForm(request.POST, among=pots_to_pick(by), auto_id="put_%s")
    wrapped = request.POST.get("do") == "put_wrapped"

    def act() -> None:
        put_in_place(pots=form.chosen, place=here, by=by, at=at)
        if wrapped:
            cover(pots=form.chosen, by=by, at=at)

    if form.is_valid() and done_once(request, form, act):
        words = {"pots": pots_in_words(len(form.chosen)), "place": here.name}
        message = _("%(pots)s put here, wrapped.") if wrapped else _("%(pots)s put here.")
        messages.success(request, message % words)
        return redirect("place", pk)
    return _page(request, here, put_form=form)


@only(*STAFF, Role.STUDENT)
@require_POST
def place_cover(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Wrap or unwrap those that stand here."""
    here, by, at = _place(request, pk), person_of(request), timezone.now()
    form = PotsForm(request.POST, among=pots_to_pick(by).filter(place=here))
    unwrapping = request.POST.get("do") == "uncover"
    act = uncover if unwrapping else cover
    if form.is_valid() and done_once(request, form, lambda: act(pots=form.chosen, by=by, at=at)):
        words = {"pots": pots_in_words(len(form.chosen))}
        message = _("%(pots)s unwrapped.") if unwrapping else _("%(pots)s wrapped.")
        messages.success(request, message % words)
        return redirect("place", pk)
    return _page(request, here, here_form=form)


def _page(request: HttpRequest, here: Place, **forms: Any) -> HttpResponse:
    person, today = person_of(request), timezone.localdate()
    among = pots_to_pick(person)
    standing = list(among.filter(place=here))
    damp = [pot.pk for pot in standing if pot.stage in DAMP]
    sections, current = _classes(request, person)
    context = {
        "place": here,
        "today": today,
        "here": picks_of(standing, today, chosen=damp),
        "others_here": Pot.objects.alive().filter(place=here).count() - len(standing),
        "any_damp": bool(damp),
        "sections": sections,
        "section": current,
        "elsewhere": picks_of(
            _elsewhere(among, here, current, person), today, chosen=tapped(request)
        ),
        "put_form": PotsForm(among=among, auto_id="put_%s"),
        "here_form": None,
    }
    return render(request, "ware/place.html", context | forms)


def _elsewhere(
    among: QuerySet[Pot], here: Place, section: Section | None, person: User
) -> list[Pot]:
    if section is not None:
        among = among.filter(piece__assignment__section=section)
    elif person.is_staff:
        return []
    return list(among.exclude(place=here))


def _classes(request: HttpRequest, person: User) -> tuple[list[Section], Section | None]:
    """The classes whose pots staff may choose from; first the one that meets today."""
    if person.is_student:
        return [], None
    sections = list(Section.objects.visible_to(person).current())
    wanted = request.GET.get("of", "") or request.POST.get("of", "")
    asked = next((each for each in sections if str(each.pk) == wanted), None)
    if asked is not None or not sections:
        return sections, asked
    today = timezone.localdate()
    lessons = lessons_by_class([each.pk for each in sections])
    meeting = next((each for each in sections if today in lessons[each.pk]), None)
    return sections, meeting or sections[0]


def _place(request: HttpRequest, pk: UUID) -> Place:
    seen = Place.objects.visible_to(person_of(request)).select_related("studio")
    return get_object_or_404(seen, pk=pk)
