"""The student's measured plan: entering it, seeing it change, sending it."""

from uuid import UUID

from django.contrib import messages
from django.forms import BaseFormSet
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from planning.forms.plan import (
    FirstLinesForm,
    LineForm,
    LinesFormSet,
    PlanForm,
    drawn_from,
    lines_initial,
    plan_initial,
)
from planning.models import Choice, Piece, PlanVersion
from planning.plans.beginning import untouched
from planning.plans.inputs import Drawn, drawn_from_json
from planning.plans.view import PlanView, plan_view
from planning.selectors.plans import last_note_back, newest_version
from planning.services.plans import save_draft, send_plan, take_back
from studio.errors import Problem, Refused
from studio.people.access import only, person_of, studio_of
from studio.people.models import Role


@only(Role.STUDENT)
def plan(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Enter the measures of the full-size drawing; save or send them."""
    piece = _own_piece(request, pk)
    if PlanVersion.objects.waiting().filter(piece=piece).exists():
        return redirect("piece", piece.pk)
    if not Choice.objects.current().filter(piece=piece).exists():
        messages.error(request, _("Choose a design first; the plan is of the chosen one."))
        return redirect("piece", piece.pk)
    newest = newest_version(piece)
    if newest is None:
        return _first_lines(request, piece)
    drawn = drawn_from_json(newest.inputs)
    form, lines = _forms(request, drawn)
    refused_for: list[Problem] = []
    readable = request.method != "POST" or (form.is_valid() and lines.is_valid())
    if request.method == "POST" and readable:
        drawn = drawn_from(form, lines)
        try:
            save_draft(piece=piece, drawn=drawn, at=timezone.now())
            if "send" in request.POST:
                send_plan(piece=piece, by=person_of(request), at=timezone.now())
                messages.success(request, _("Sent. Your teacher looks at it next."))
                return redirect("piece", piece.pk)
        except Refused as refusal:
            # Shown on the draft as it is kept: its lines stand in order of height now.
            refused_for = refusal.problems
            form, lines = _forms(request, drawn, kept=True)
        else:
            messages.success(request, _("Saved. Send it when every line is measured."))
            return redirect("plan", piece.pk)
    context = {
        "piece": piece,
        "form": form,
        "lines": lines,
        "rows": [
            (row, [each.message for each in refused_for if line_of(each) == place])
            for place, row in enumerate(lines.forms)
        ],
        # Beside numbers that can't be read, what was kept before would be another pot.
        "view": plan_view(drawn, piece.assignment, studio_of(person_of(request)))
        if readable
        else None,
        "problems": [each for each in refused_for if line_of(each) is None],
        "note": last_note_back(piece),
        "begin": _first_lines_form(request, None),
    }
    return render(request, "planning/plan.html", context)


@only(Role.STUDENT)
@require_POST
def plan_live(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The drawing and the figures of what is in the form now; nothing is kept."""
    piece = _own_piece(request, pk)
    form, lines = _forms(request, None)
    view: PlanView | None = None
    if form.is_valid() and lines.is_valid():
        view = plan_view(drawn_from(form, lines), piece.assignment, studio_of(person_of(request)))
    return render(request, "planning/_plan_figures.html", {"view": view, "piece": piece})


@only(Role.STUDENT)
@require_POST
def plan_begin_again(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Other height lines: what was measured so far is dropped, after the page has asked."""
    piece = _own_piece(request, pk)
    form = FirstLinesForm(request.POST, units=studio_of(person_of(request)))
    if form.is_valid():
        save_draft(piece=piece, drawn=untouched(piece.assignment, form.lines()), at=timezone.now())
    else:
        for errors in form.errors.values():
            messages.error(request, str(errors[0]))
    return redirect("plan", piece.pk)


@only(Role.STUDENT)
@require_POST
def plan_take_back(request: HttpRequest, pk: UUID) -> HttpResponse:
    person = person_of(request)
    sent = get_object_or_404(
        PlanVersion.objects.visible_to(person).select_related("piece__studio"), pk=pk
    )
    take_back(plan=sent, by=person, at=timezone.now())
    messages.success(request, _("Taken back. Change it and send it again."))
    return redirect("plan", sent.piece_id)


def _first_lines(request: HttpRequest, piece: Piece) -> HttpResponse:
    """The first step of a plan: its height, and the height lines."""
    form = _first_lines_form(request, request.POST or None)
    if request.method == "POST" and form.is_valid():
        save_draft(piece=piece, drawn=untouched(piece.assignment, form.lines()), at=timezone.now())
        return redirect("plan", piece.pk)
    return render(request, "planning/plan_begin.html", {"piece": piece, "form": form})


def _first_lines_form(request: HttpRequest, data: QueryDict | None) -> FirstLinesForm:
    studio = studio_of(person_of(request))
    # Every 2 cm or every inch: ten to twenty lines on a school's pot.
    every = 25.4 if studio.length_unit == "in" else 20
    return FirstLinesForm(data, units=studio, initial={"every": every})


def _forms(
    request: HttpRequest, drawn: Drawn | None, *, kept: bool = False
) -> tuple[PlanForm, "BaseFormSet[LineForm]"]:
    units = {"units": studio_of(person_of(request))}
    data = request.POST if request.method == "POST" and not kept else None
    form = PlanForm(data, initial=plan_initial(drawn) if drawn else {}, **units)
    lines = LinesFormSet(
        data,
        initial=lines_initial(drawn) if drawn else [],
        prefix="lines",
        form_kwargs=units,
    )
    return form, lines


def line_of(problem: Problem) -> int | None:
    """The place of the height line that a problem belongs to."""
    parts = problem.field.split(".")
    return int(parts[1]) if parts[0] == "profile" and parts[1:] else None


def _own_piece(request: HttpRequest, pk: UUID) -> Piece:
    mine = Piece.objects.drawn_by(person_of(request)).select_related(
        "studio", "assignment__clay_body"
    )
    return get_object_or_404(mine, pk=pk)
