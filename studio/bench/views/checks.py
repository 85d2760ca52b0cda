"""Build checks: a form for the places, the answer with its picture, a wrong one struck out."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from planning.plans.inputs import drawn_from_json
from studio.bench.forms.measuring import (
    AskForm,
    PlaceForm,
    PlacesForms,
    StrikeForm,
    places_forms,
)
from studio.bench.models import BuildCheck
from studio.bench.selectors.bench import ring_of_pot
from studio.bench.selectors.check import CheckSeen, check_seen
from studio.bench.selectors.finding import seen_checks, seen_pots
from studio.bench.services import ask_to_carry_on, check_build, strike_out
from studio.bench.services.checks import MOST_PLACES
from studio.errors import Refused
from studio.people.access import STAFF, only, person_of
from studio.people.idempotency import once_for_form
from studio.people.models import Role
from studio.ware.models import Pot
from studio.ware.views.posting import done_once

FIRST_PLACES = 2


@only(*STAFF, Role.STUDENT)
def build_check_new(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Height and widths of several places, soft or stiff."""
    pot = get_object_or_404(seen_pots(person_of(request)), pk=pk)
    if request.method != "POST":
        return _form_page(request, pot, _empty(pot, FIRST_PLACES))
    if "more" in request.POST:
        return _form_page(request, pot, _one_more(pot, request.POST))
    given = places_forms(0)(request.POST, form_kwargs=_kwargs(pot))
    if given.is_valid():
        try:
            kept = once_for_form(request, lambda: _checked(request, pot, given))
        except Refused as refusal:
            given.show(refusal)
        else:
            return redirect("build_check", kept["check"])
    return _form_page(request, pot, given)


def _checked(request: HttpRequest, pot: Pot, given: PlacesForms) -> dict[str, str]:
    check = check_build(pot=pot, measured=given.measured, by=person_of(request), at=timezone.now())
    return {"check": str(check.pk)}


def _form_page(request: HttpRequest, pot: Pot, places: PlacesForms) -> HttpResponse:
    terms = pot.piece.assignment
    context = {
        "pot": pot,
        "places": places,
        "may_grow": len(places.forms) < MOST_PLACES,
        "tolerance_mm": terms.tolerance_mm,
        "ring": ring_of_pot(pot, pot.studio),
    }
    return render(request, "bench/build_check_new.html", context)


def _kwargs(pot: Pot) -> dict[str, object]:
    is_round = drawn_from_json(pot.plan.inputs).is_round
    return {"studio": pot.studio, "is_round": is_round}


def _empty(pot: Pot, count: int) -> PlacesForms:
    return places_forms(count)(form_kwargs=_kwargs(pot))


def _one_more(pot: Pot, typed: QueryDict) -> PlacesForms:
    """What was typed so far, as it was typed, and one more empty place."""
    count = 0
    while any(f"form-{count}-{name}" in typed for name in PlaceForm.base_fields):
        count += 1
    before = [
        {name: typed.get(f"form-{place}-{name}", "") for name in PlaceForm.base_fields}
        for place in range(min(count, MOST_PLACES - 1))
    ]
    return places_forms(len(before) + 1)(initial=before, form_kwargs=_kwargs(pot))


@only(*STAFF, Role.STUDENT)
@require_safe
def build_check(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One sentence a place and one picture; carrying on is always offered."""
    return check_page(request, get_object_or_404(seen_checks(person_of(request)), pk=pk))


def check_page(
    request: HttpRequest, check: BuildCheck, **forms: AskForm | StrikeForm
) -> HttpResponse:
    person, pot = person_of(request), check.pot
    seen: CheckSeen = check_seen(check, pot.studio)
    context = {
        "pot": pot,
        "check": check,
        "seen": seen,
        "today": timezone.localdate(),
        "may_strike": check.struck_out_at is None and (person.is_staff or check.by_id == person.pk),
        "ask_form": AskForm(initial={"laid": seen.rows_likely}, auto_id="ask_%s"),
        "strike_form": StrikeForm(auto_id="strike_%s"),
    }
    return render(request, "bench/build_check.html", context | forms)


@only(*STAFF, Role.STUDENT)
@require_POST
def build_check_strike(request: HttpRequest, pk: UUID) -> HttpResponse:
    """It was wrong: by who made it, or by staff."""
    check = get_object_or_404(seen_checks(person_of(request)), pk=pk)
    form = StrikeForm(request.POST, auto_id="strike_%s")
    if form.is_valid():

        def act() -> object:
            said = form.cleaned_data
            return strike_out(check=check, by=person_of(request), at=timezone.now(), **said)

        if done_once(request, form, act):
            return redirect("bench", check.pot_id)
    return check_page(request, check, strike_form=form)


@only(*STAFF, Role.STUDENT)
@require_POST
def carry_on_ask(request: HttpRequest, pk: UUID) -> HttpResponse:
    """New rows from the pot as it stands, if the teacher agrees."""
    check = get_object_or_404(seen_checks(person_of(request)), pk=pk)
    form = AskForm(request.POST, auto_id="ask_%s")
    if form.is_valid():
        said = form.cleaned_data

        def act() -> dict[str, str]:
            asked = ask_to_carry_on(check=check, by=person_of(request), at=timezone.now(), **said)
            return {"asked": str(asked.pk)}

        try:
            kept = once_for_form(request, act)
        except Refused as refusal:
            for problem in refusal.problems:
                form.add_error("laid" if problem.field == "laid" else None, problem.message)
        else:
            return redirect(reverse("carry_on", args=[kept["asked"]]))
    return check_page(request, check, ask_form=form)
