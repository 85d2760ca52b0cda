"""Carrying on from the pot as it stands: what was asked, and the teacher's answer."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from studio.bench.forms.measuring import AnswerForm
from studio.bench.models import CarryOn, CarryOnState
from studio.bench.selectors.check import carry_on_seen
from studio.bench.selectors.finding import seen_carry_ons
from studio.bench.services import agree_to_carry_on, decline_to_carry_on, take_back_asking
from studio.people.access import STAFF, TEACHING, only, person_of
from studio.people.models import Role
from studio.ware.views.posting import done_once


@only(*STAFF, Role.STUDENT)
@require_safe
def carry_on(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The pot over its plan, the outline from here, the new rows."""
    return _page(
        request, get_object_or_404(seen_carry_ons(person_of(request)), pk=pk), AnswerForm()
    )


def _page(request: HttpRequest, asked: CarryOn, form: AnswerForm) -> HttpResponse:
    person = person_of(request)
    waits = asked.state == CarryOnState.ASKED
    context = {
        "pot": asked.pot,
        "asked": asked,
        "seen": carry_on_seen(asked, asked.pot.studio),
        "today": timezone.localdate(),
        "may_answer": waits and person.teaches,
        "may_take_back": waits and person.pk in {asked.asked_by_id, asked.pot.piece.student_id},
        "form": form,
    }
    return render(request, "bench/carry_on.html", context)


@only(*TEACHING)
@require_POST
def carry_on_answer(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Yes or no, with a note."""
    asked = get_object_or_404(seen_carry_ons(person_of(request)), pk=pk)
    form = AnswerForm(request.POST)
    if form.is_valid():
        agrees = request.POST.get("do") == "agree"
        answer = agree_to_carry_on if agrees else decline_to_carry_on

        def act() -> object:
            note = form.cleaned_data["note"]
            return answer(asked=asked, by=person_of(request), at=timezone.now(), note=note)

        if done_once(request, form, act):
            said = (
                _("%(code)s carries on by the new rows.")
                if agrees
                else _("%(code)s goes on by the rows that it has.")
            )
            messages.success(request, said % {"code": asked.pot.code})
            return redirect("bench", asked.pot_id)
    return _page(request, asked, form)


@only(*STAFF, Role.STUDENT)
@require_POST
def carry_on_take_back(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The question is taken back; the rows stay as they are."""
    asked = get_object_or_404(seen_carry_ons(person_of(request)), pk=pk)
    take_back_asking(asked=asked, by=person_of(request), at=timezone.now())
    return redirect("bench", asked.pot_id)
