"""Releasing marks, and what was released."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from assessments.forms.releasing import ReleaseAgainForm, ReleaseForm
from assessments.models import Result
from assessments.selectors.classes import class_marks
from assessments.selectors.marks import marks_of
from assessments.selectors.results import result_seen
from assessments.services.releasing import release
from assessments.services.releasing import release_again as mark_again
from planning.models import Piece
from studio.errors import Refused
from studio.people.access import TEACHING, only, person_of
from studio.people.idempotency import once_for_form
from studio.people.models import Role, User
from studio.web.refusals import show_refusal

from .finding import released_result, taught_assignment, taught_piece


@only(*TEACHING)
def marking_release(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Tick what students may read from now on."""
    person = person_of(request)
    assignment = taught_assignment(person, pk)
    form = ReleaseForm(request.POST or None, rows=class_marks(assignment), person=person)

    def act() -> dict[str, Any]:
        made = release(
            pieces=form.chosen_pieces(),
            by=person,
            at=timezone.now(),
            with_open=form.cleaned_data["with_open"],
            chosen=form.chosen_markings(),
        )
        return {"released": len(made)}

    if form.is_valid():
        try:
            count = once_for_form(request, act)["released"]
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            text = ngettext("%(n)d pot is released.", "%(n)d pots are released.", count)
            messages.success(request, text % {"n": count})
            return redirect("marking_class", pk)
    context = {"assignment": assignment, "form": form, "rows": list(form.rows())}
    return render(request, "assessments/marking_release.html", context)


@only(*TEACHING, Role.STUDENT)
@require_safe
def result(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What was released for a piece: its student reads it, and those who teach them."""
    person = person_of(request)
    found = released_result(person, pk)
    again = None
    if person.teaches:
        again = _again_form(None, taught_piece(person, pk), person, found.number)
    return _result_page(request, found, again)


@only(*TEACHING)
@require_POST
def release_again(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What is marked now becomes the next result, with a reason."""
    person = person_of(request)
    piece = taught_piece(person, pk)
    found = released_result(person, pk)
    form = _again_form(request.POST, piece, person, found.number)

    def act() -> dict[str, Any]:
        made = mark_again(piece=piece, by=person, at=timezone.now(), **form.values())
        return {"number": made.number}

    if form.is_valid():
        try:
            once_for_form(request, act)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("Released again. The earlier result stays on record."))
            return redirect("result", pk)
    return _result_page(request, found, form)


def _again_form(data: Any, piece: Piece, person: User, number: int) -> ReleaseAgainForm:
    marks = marks_of([piece])[piece.pk]
    return ReleaseAgainForm(data, marks=marks, person=person, number=number)


def _result_page(
    request: HttpRequest, found: Result, again: ReleaseAgainForm | None
) -> HttpResponse:
    earlier: Any = ()
    if again is not None:
        rows = Result.objects.filter(piece=found.piece_id).exclude(pk=found.pk)
        earlier = rows.select_related("released_by").order_by("-number")
    context = {
        "result": found,
        "piece": found.piece,
        "seen": result_seen(found),
        "earlier": [result_seen(each) for each in earlier],
        "again": again,
        "today": timezone.localdate(),
    }
    return render(request, "assessments/result.html", context)
