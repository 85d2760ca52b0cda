"""One pot: what it is now, what happened to it, what may be done with it."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from planning.models import Piece
from studio.people.access import STAFF, only, person_of
from studio.people.models import Role, User
from studio.ware.forms.pots import BackForm, CauseForm, PotPhotosForm, PotPlaceForm, StageForm
from studio.ware.models import Pot, PotPhoto
from studio.ware.selectors import History, history_of, looks_of, photos_missing
from studio.ware.selectors.drying import drying_pots
from studio.ware.services import (
    begin_pot,
    come_to_stage,
    cover,
    put_in_place,
    say_built,
    say_not_built,
    uncover,
)
from studio.ware.stages import BEFORE_BISQUE, DAMP, FIRED_BY_A_KILN, ORDER, offered
from studio.ware.wording import STEPS, standing_words

from .posting import done_once, seen_pot


@only(*STAFF, Role.STUDENT)
@require_safe
def pot(request: HttpRequest, pk: UUID) -> HttpResponse:
    """For its student and for staff; the buttons are those that are allowed now."""
    return pot_page(request, seen_pot(request, pk))


def pot_page(request: HttpRequest, found: Pot, *, status: int = 200, **forms: Any) -> HttpResponse:
    """The page of a pot, with a form that came back where one did."""
    person = person_of(request)
    history = history_of(found)
    context = _state(found, history, person) | _forms(found, person) | forms
    return render(request, "ware/pot.html", context, status=status)


def _state(found: Pot, history: History, person: User) -> dict[str, Any]:
    today = timezone.localdate()
    photos = list(PotPhoto.objects.filter(pot=found).select_related("image"))
    check = history.standing_check
    steps = []
    if not found.lost:
        steps = [
            {"stage": stage, "label": STEPS[stage], "fired": stage in FIRED_BY_A_KILN}
            for stage in offered(found.stage, staff=person.is_staff, checked=check is not None)
        ]
    drying = not found.lost and found.stage in {"leather_hard", "bone_dry"}
    asks = drying and check is not None and person.is_staff
    under_check = drying_pots([found], found.studio, now=timezone.now()) if asks else []
    return {
        "pot": found,
        "today": today,
        "look": looks_of([found])[found.pk],
        "standing": standing_words(found, today),
        "history": history,
        "check": check,
        "steps": steps,
        "damp": not found.lost and found.stage in DAMP,
        "drying": drying,
        "under_check": next(iter(under_check), None),
        "for_glaze": not found.lost and found.stage in {"bisque_fired", "glazed"},
        "unfired": not found.lost and found.stage in BEFORE_BISQUE,
        "photos": photos,
        "photo_asked": photos_missing([found]).get(found.pk),
    }


def _forms(found: Pot, person: User) -> dict[str, Any]:
    earlier = ORDER[: ORDER.index(found.stage)] if person.is_staff and not found.lost else ()
    return {
        "place_form": PotPlaceForm(studio=found.studio, initial={"place": found.place_id}),
        "back_form": BackForm(stages=earlier, auto_id="back_%s") if earlier else None,
        "photos_form": PotPhotosForm(
            auto_id="photo_%s", initial={"occasion": _likely_occasion(found)}
        ),
        "cause_form": CauseForm() if person.is_staff else None,
    }


def _likely_occasion(found: Pot) -> str:
    asked = {
        "bone_dry": "before_bisque",
        "glazed": "before_glaze",
        "wet": "building",
        "leather_hard": "building",
    }
    return asked.get(found.stage, "finished")


@only(*STAFF)
@require_POST
def pot_begin(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A pot for a piece whose plan is approved; another one after a loss."""
    pieces = Piece.objects.visible_to(person_of(request)).select_related("studio")
    piece = get_object_or_404(pieces, pk=pk)
    return redirect("pot", begin_pot(piece=piece, by=person_of(request), at=timezone.now()).pk)


@only(*STAFF, Role.STUDENT)
@require_POST
def pot_stage(request: HttpRequest, pk: UUID) -> HttpResponse:
    found = seen_pot(request, pk)
    form = StageForm(request.POST)
    if form.is_valid():
        said = form.cleaned_data

        def act() -> object:
            return come_to_stage(
                pots=[found],
                stage=said["stage"],
                reason=said["reason"],
                by=person_of(request),
                at=timezone.now(),
            )

        if done_once(request, form, act):
            return redirect("pot", pk)
    return pot_page(request, found, stage_form=form)


@only(*STAFF, Role.STUDENT)
@require_POST
def pot_place(request: HttpRequest, pk: UUID) -> HttpResponse:
    found = seen_pot(request, pk)
    form = PotPlaceForm(request.POST, studio=found.studio)
    if form.is_valid():

        def act() -> object:
            return put_in_place(
                pots=[found],
                place=form.cleaned_data["place"],
                by=person_of(request),
                at=timezone.now(),
            )

        if done_once(request, form, act):
            return redirect("pot", pk)
    return pot_page(request, found, place_form=form)


@only(*STAFF, Role.STUDENT)
@require_POST
def pot_cover(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Wrapped, or open to the air."""
    act = uncover if request.POST.get("do") == "uncover" else cover
    act(pots=[seen_pot(request, pk)], by=person_of(request), at=timezone.now())
    return redirect("pot", pk)


@only(*STAFF, Role.STUDENT)
@require_POST
def pot_built(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Building has ended, or goes on after all."""
    found = seen_pot(request, pk)
    if request.POST.get("do") == "go_on":
        say_not_built(pot=found, by=person_of(request))
    else:
        say_built(pot=found, by=person_of(request), at=timezone.now())
    return redirect("pot", pk)
