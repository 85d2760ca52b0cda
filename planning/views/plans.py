"""The student's measured plan: entering it, seeing it change, sending it."""

from collections.abc import Sequence
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.forms import BaseFormSet
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from planning.forms.lines import LineForm, LinesFormSet, lines_entered, lines_initial
from planning.forms.plan import FirstLinesForm, PlanForm, plan_initial, traced_points
from planning.models import Choice, Piece, PlanVersion
from planning.plans.beginning import untouched
from planning.plans.foot_ring import ring_said
from planning.plans.inputs import Drawn, Line, drawn_from_json, usual_spacing_mm
from planning.plans.view import Scale, plan_view
from planning.selectors.lessons import lessons_ahead
from planning.selectors.plans import last_note_back, newest_version
from planning.services.plan_lines import begin_again
from planning.services.plans import save_draft, send_plan, take_back
from planning.views.plan_parts import Said, board_of, rows_of_form, said_at, unread
from studio.errors import Refused
from studio.people.access import only, person_of, studio_of
from studio.people.models import Role

Forms = tuple[PlanForm, "BaseFormSet[LineForm]"]


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
    refused_for: list[Said] = []
    readable = request.method != "POST" or (form.is_valid() and lines.is_valid())
    if request.method == "POST" and readable:
        drawn = _entered(form, lines)
        try:
            save_draft(piece=piece, drawn=drawn, at=timezone.now())
            if "send" in request.POST:
                send_plan(piece=piece, by=person_of(request), at=timezone.now())
                messages.success(request, _("Sent. Your teacher looks at it next."))
                return redirect("piece", piece.pk)
        except Refused as refusal:
            # Its lines are shown as they are kept: they stand in order of height now.
            lines = _lines(request, drawn, kept=True)
            places, gaps = range(len(drawn.lines)), bool(drawn.gaps)
            refused_for = said_at(refusal.problems, drawn, places, with_gaps=gaps)
            for each in refused_for:
                if each.spot.row is None:
                    form.add_error(each.spot.field or None, each.message)
        else:
            messages.success(request, _("Saved. Send it when every line is measured."))
            return redirect("plan", piece.pk)
    rows = rows_of_form(lines, refused_for)
    context = {
        "piece": piece,
        "newest": newest,
        "form": form,
        "lines": lines,
        "rows": rows,
        "side_open": any(row.side or row.form.has_side for row in rows),
        "together": all(line.left_mm == line.right_mm for line in drawn.lines),
        "kept": bool(refused_for),
        "note": last_note_back(piece),
        "ring": ring_said(drawn.foot_ring, piece.studio),
        "begin": _first_lines_form(request, None),
        "said": refused_for or ([] if readable else unread(form, lines)),
    }
    if readable:
        context |= _shown(request, piece, drawn, list(enumerate(drawn.lines)))
    if refused_for:
        context["wrong"] = []  # the page's top says it
    return render(request, "planning/plan.html", context)


@only(Role.STUDENT)
@require_POST
def plan_live(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The drawing and the figures of what is in the form now; nothing is kept."""
    piece = _own_piece(request, pk)
    newest = newest_version(piece)
    form, lines = _forms(request, drawn_from_json(newest.inputs) if newest else None)
    if form.is_valid() and lines.is_valid():
        entered = lines_entered(lines)
        context = _shown(request, piece, _entered(form, lines), entered)
    else:
        context = {"said": unread(form, lines)}
    return render(request, "planning/_plan_live.html", {"piece": piece, "live": True} | context)


def _shown(
    request: HttpRequest, piece: Piece, drawn: Drawn, entered: Sequence[tuple[int, Line]]
) -> dict[str, Any]:
    """A plan's picture and figures; `entered` are its lines with their rows in the form."""
    units = studio_of(person_of(request))
    scale, lessons = _scale_asked(request), lessons_ahead(piece, timezone.localdate())
    view = plan_view(drawn, piece.assignment, units, lessons, scale)
    return {
        "view": view,
        "board": board_of(view, entered, units),
        "wrong": said_at(view.problems, drawn, [row for row, _line in entered]),
    }


def _scale_asked(request: HttpRequest) -> Scale:
    """How the drawing stands on the page that asks."""
    try:
        units_per_mm = float(request.POST.get("scale", ""))
    except ValueError:
        return Scale()
    return Scale(units_per_mm, still="still" in request.POST)


def _entered(form: PlanForm, lines: "BaseFormSet[LineForm]") -> Drawn:
    return form.drawn(tuple(line for _row, line in lines_entered(lines)))


@only(Role.STUDENT)
@require_POST
def plan_begin_again(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Other height lines: what was measured so far is dropped, after the page has asked."""
    piece = _own_piece(request, pk)
    form = FirstLinesForm(request.POST, units=studio_of(person_of(request)))
    if form.is_valid():
        begin_again(piece=piece, lines=form.lines(), at=timezone.now())
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
    return FirstLinesForm(data, units=studio, initial={"every": usual_spacing_mm(studio)})


def _forms(request: HttpRequest, drawn: Drawn | None) -> Forms:
    """The form and its lines; `drawn` is the newest version, if there is any."""
    data = request.POST if request.method == "POST" else None
    sides = [name for name in data or () if name.endswith(("-front", "-back"))]
    form = PlanForm(
        data,
        initial=plan_initial(drawn) if drawn else {},
        units=studio_of(person_of(request)),
        traced=traced_points(drawn) if drawn else (),
        has_side=any(request.POST[name].strip() for name in sides),
    )
    return form, _lines(request, drawn)


def _lines(
    request: HttpRequest, drawn: Drawn | None, *, kept: bool = False
) -> "BaseFormSet[LineForm]":
    return LinesFormSet(
        None if kept or request.method != "POST" else request.POST,
        initial=lines_initial(drawn) if drawn else [],
        prefix="lines",
        form_kwargs={"units": studio_of(person_of(request))},
    )


def _own_piece(request: HttpRequest, pk: UUID) -> Piece:
    mine = Piece.objects.drawn_by(person_of(request)).select_related(
        "studio", "assignment__clay_body", "assignment__section"
    )
    return get_object_or_404(mine, pk=pk)
