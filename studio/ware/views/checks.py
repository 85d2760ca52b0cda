"""What staff look at: greenware, glaze, flaws and losses."""

from collections.abc import Callable
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from studio.errors import Refused
from studio.people.access import STAFF, only, person_of
from studio.people.idempotency import once_for_form
from studio.people.models import Role
from studio.ware.forms.pots import (
    CauseForm,
    FlawForm,
    GlazeForm,
    GreenwareForm,
    LossForm,
    ReasonForm,
)
from studio.ware.models import Flaw, Loss, Pot
from studio.ware.selectors.seen import of_seen_pots
from studio.ware.services import (
    Asked,
    check_glaze,
    check_greenware,
    find_pot,
    lose_pots,
    note_flaw,
    set_flaw_cause,
    set_loss_cause,
    withdraw_greenware,
)
from studio.web.refusals import show_refusal

from .posting import done_once, seen_pot


@only(*STAFF)
def greenware(request: HttpRequest, pk: UUID) -> HttpResponse:
    """With a ruler beside the pot: sizes, code, cracks."""
    found = seen_pot(request, pk)
    form = GreenwareForm(request.POST or None, studio=found.studio)
    if form.is_valid() and _checked(request, form, found):
        message = _(
            "%(code)s is checked. It dries from now on; a photo is asked before the bisque."
        )
        messages.success(request, message % {"code": found.code})
        return redirect("pot", pk)
    return render(request, "ware/greenware.html", {"pot": found, "form": form})


def _checked(request: HttpRequest, form: GreenwareForm, found: Pot) -> bool:
    def act() -> dict[str, bool]:
        check_greenware(pot=found, by=person_of(request), at=timezone.now(), **form.cleaned_data)
        return {"done": True}

    try:
        once_for_form(request, act)
    except Refused as refusal:
        if isinstance(refusal, Asked):
            form.ask()
        show_refusal(form, refusal)
        return False
    return True


@only(*STAFF)
@require_POST
def greenware_take_back(request: HttpRequest, pk: UUID) -> HttpResponse:
    found = seen_pot(request, pk)
    form = ReasonForm(request.POST)
    reason = form.cleaned_data["reason"] if form.is_valid() else ""
    withdraw_greenware(pot=found, by=person_of(request), at=timezone.now(), reason=reason)
    return redirect("pot", pk)


@only(*STAFF)
def glaze_check(request: HttpRequest, pk: UUID) -> HttpResponse:
    found = seen_pot(request, pk)
    form = GlazeForm(request.POST or None, studio=found.studio)

    def act() -> object:
        return check_glaze(pot=found, by=person_of(request), at=timezone.now(), **form.cleaned_data)

    return _form_page(request, found, form, act, "ware/glaze_check.html")


@only(*STAFF, Role.STUDENT)
def pot_flaw(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A crack or the like; the pot goes on."""
    found = seen_pot(request, pk)
    form = FlawForm(request.POST or None)

    def act() -> object:
        return note_flaw(pot=found, by=person_of(request), at=timezone.now(), **form.cleaned_data)

    return _form_page(request, found, form, act, "ware/pot_flaw.html")


@only(*STAFF)
def pot_lost(request: HttpRequest, pk: UUID) -> HttpResponse:
    """It broke, or it is missing."""
    found = seen_pot(request, pk)
    form = LossForm(request.POST or None, initial={"cause": "unknown"})

    def act() -> object:
        said = form.cleaned_data
        return lose_pots(
            pots=[found],
            kind=said["kind"],
            note=said["note"],
            cause=said["cause"] or "unknown",
            by=person_of(request),
            at=timezone.now(),
        )

    return _form_page(request, found, form, act, "ware/pot_lost.html")


def _form_page(
    request: HttpRequest,
    found: Pot,
    form: forms.Form,
    act: Callable[[], object],
    template: str,
) -> HttpResponse:
    if form.is_valid() and done_once(request, form, act):
        return redirect("pot", found.pk)
    return render(request, template, {"pot": found, "form": form})


@only(*STAFF)
@require_POST
def pot_found(request: HttpRequest, pk: UUID) -> HttpResponse:
    find_pot(pot=seen_pot(request, pk), by=person_of(request), at=timezone.now())
    return redirect("pot", pk)


@only(*STAFF)
@require_POST
def flaw_cause(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    flaw = get_object_or_404(of_seen_pots(Flaw.objects.select_related("pot"), by), pk=pk)
    set_flaw_cause(flaw=flaw, cause=_cause(request), by=by)
    return redirect("pot", flaw.pot_id)


@only(*STAFF)
@require_POST
def loss_cause(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    loss = get_object_or_404(of_seen_pots(Loss.objects.select_related("pot"), by), pk=pk)
    set_loss_cause(loss=loss, cause=_cause(request), by=by)
    return redirect("pot", loss.pot_id)


def _cause(request: HttpRequest) -> str:
    """Empty, which the service refuses with a sentence, for what isn't on the list."""
    form = CauseForm(request.POST)
    return str(form.cleaned_data["cause"]) if form.is_valid() else ""
