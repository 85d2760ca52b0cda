"""Marking: the classes, one class, one pot after the other."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from assessments.forms.exports import GradebookForm
from assessments.forms.marking import MarkingForm
from assessments.selectors.classes import class_marks, marked_assignments
from assessments.selectors.evidence import evidence_of
from assessments.selectors.exports import gradebook_results
from assessments.selectors.marks import PieceMarks, marks_of
from assessments.selectors.rubrics import version_of
from assessments.selectors.wording import score_text, state_text
from assessments.services.marking import save_marking
from assessments.services.rubrics import ensure_rubric
from planning.models import Piece
from studio.errors import Conflict, Refused
from studio.people.access import TEACHING, only, person_of
from studio.people.idempotency import once_for_form
from studio.people.models import User
from studio.web.shown import clock_text

from .finding import taught_assignment, taught_piece


@only(*TEACHING)
@require_safe
def marking(request: HttpRequest) -> HttpResponse:
    """Classes and what they made, with how much is marked and released."""
    rows = marked_assignments(person_of(request))
    return render(request, "assessments/marking.html", {"rows": rows})


@only(*TEACHING)
@require_safe
def marking_class(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The pots of a class with their marks; from here to paper and files."""
    person = person_of(request)
    assignment = taught_assignment(person, pk)
    found = class_marks(assignment)
    context = {
        "assignment": assignment,
        "version": version_of(assignment),
        "rows": [(each, state_text(each, person)) for each in found],
        "unmarked": next((each.piece for each in found if not each.is_marked()), None),
        "releasable": any(each.result is None and each.begun for each in found),
        "released": any(each.result is not None for each in found),
        "gradebook": gradebook_results(assignment, found, today=timezone.localdate()),
        "gradebook_form": GradebookForm(),
        "today": timezone.localdate(),
    }
    return render(request, "assessments/marking_class.html", context)


@only(*TEACHING)
def marking_piece(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One pot: the evidence, the rubric, a comment, and on to the next."""
    person = person_of(request)
    piece = taught_piece(person, pk)
    if request.method == "POST" and version_of(piece.assignment) is None:
        ensure_rubric(studio=piece.assignment.section.studio, at=timezone.now())
        return redirect("marking_piece", pk)
    marks = marks_of([piece])[piece.pk]
    form = _form(request.POST if request.method == "POST" else None, marks, person)
    conflict = None
    if request.method == "POST" and form.is_valid():
        try:
            once_for_form(request, lambda: {"edition": _save(form, piece, person)})
        except Conflict as refusal:
            conflict = refusal
        except Refused as refusal:
            _show(form, refusal)
        else:
            return _after(request, piece)
    if conflict is not None:
        marks = marks_of([piece])[piece.pk]
        form = _form(_brought_up(request, marks, person), marks, person)
        form.is_valid()
        form.add_error(None, str(conflict))
    context = _shown(marks, form, person, compare=conflict is not None)
    status = 409 if conflict is not None else 200
    return render(request, "assessments/marking_piece.html", context, status=status)


@only(*TEACHING)
@require_POST
def marking_draft(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What is in the form now, kept while it is being filled in; answers with its edition."""
    person = person_of(request)
    piece = taught_piece(person, pk)
    form = _form(request.POST, marks_of([piece])[piece.pk], person)
    if not form.is_valid():
        message = next(str(errors[0]) for errors in form.errors.values())
        return JsonResponse({"ok": False, "message": message}, status=422)
    edition = _save(form, piece, person)
    kept = _("Kept at %(time)s") % {"time": clock_text(timezone.localtime())}
    return JsonResponse({"ok": True, "edition": edition, "message": kept})


def _form(data: Any, marks: PieceMarks, person: User) -> MarkingForm:
    return MarkingForm(data, marks=marks, own=marks.own(person), others=_others(marks, person))


def _others(marks: PieceMarks, person: User) -> str:
    return " ".join(str(each.marker) for each in marks.others(person))


def _save(form: MarkingForm, piece: Piece, person: User) -> int:
    kept = save_marking(piece=piece, marker=person, by=person, at=timezone.now(), **form.values())
    return kept.edition


def _show(form: MarkingForm, refusal: Refused) -> None:
    for problem in refusal.problems:
        form.add_error(form.field_of(problem.field), problem.message)


def _brought_up(request: HttpRequest, marks: PieceMarks, person: User) -> Any:
    """What was typed, on the edition that is kept now: keeping it again is then a decision."""
    data = request.POST.copy()
    own = marks.own(person)
    data["edition"] = str(own.edition if own else 0)
    data["beside"] = _others(marks, person)
    return data


def _after(request: HttpRequest, piece: Piece) -> HttpResponse:
    if "next" not in request.POST:
        messages.success(request, _("Kept."))
        return redirect("marking_piece", piece.pk)
    _before, following, _place, _count = _neighbours(piece)
    if following is None:
        messages.success(request, _("Kept. That was the last pot of the class."))
        return redirect("marking_class", piece.assignment_id)
    return redirect("marking_piece", following)


def _neighbours(piece: Piece) -> tuple[UUID | None, UUID | None, int, int]:
    """The pieces before and after it in the class, its place and how many there are."""
    here = Piece.objects.filter(assignment=piece.assignment_id).of_enrolled()
    pks = list(here.values_list("pk", flat=True))
    if piece.pk not in pks:  # the student has left the class
        return None, pks[0] if pks else None, 0, len(pks)
    place = pks.index(piece.pk)
    before = pks[place - 1] if place else None
    return before, pks[place + 1] if place + 1 < len(pks) else None, place + 1, len(pks)


def _shown(marks: PieceMarks, form: MarkingForm, person: User, *, compare: bool) -> dict[str, Any]:
    piece, own = marks.piece, marks.own(person)
    evidence = evidence_of([piece])[piece.pk]
    before, following, place, count = _neighbours(piece)
    kept = own if compare else None
    return {
        "piece": piece,
        "marks": marks,
        "form": form,
        "rows": list(form.rows(evidence, kept)),
        "kept_comment": kept.comment if kept and kept.comment != form["comment"].value() else "",
        "evidence": evidence,
        "score": score_text(marks.score_of(own)) if own else "",
        "others": marks.others(person),
        "before": before,
        "following": following,
        "place": place,
        "count": count,
        "today": timezone.localdate(),
    }
