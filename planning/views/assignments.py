"""A brief in one class: its dates and its pieces. The page itself is on the board."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from planning.forms.assignment import DatesForm
from planning.models import Assignment
from planning.selectors.assignments import dated_steps
from planning.services.assignments import count_ideas, set_dates, take_back_brief
from planning.services.pieces import start_missing_pieces
from studio.errors import Refused
from studio.people.access import TEACHING, only, person_of
from studio.people.selectors import lessons_of
from studio.web.refusals import show_refusal


@only(*TEACHING)
def assignment_dates(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Move the class's milestones."""
    by = person_of(request)
    assignment = _assignment(request, pk)
    steps = dated_steps(assignment, lessons_of(assignment.section))
    form = DatesForm(request.POST or None, assignment=assignment, steps=steps)
    if form.is_valid():
        try:
            set_dates(assignment=assignment, by=by, at=timezone.now(), **form.dates())
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("The dates are kept."))
            return redirect("assignment", pk)
    context = {"form": form, "assignment": assignment}
    return render(request, "planning/assignment_dates.html", context)


@only(*TEACHING)
@require_POST
def pieces_start(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Give everybody theirs who has none yet."""
    assignment = _assignment(request, pk)
    made = start_missing_pieces(assignment=assignment, by=person_of(request), at=timezone.now())
    text = ngettext("%(n)d piece and its code.", "%(n)d pieces and their codes.", len(made))
    messages.success(request, text % {"n": len(made)} if made else _("Everybody has a piece."))
    return redirect("assignment", pk)


@only(*TEACHING)
@require_POST
def assignment_ideas(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Whether the ideas of the class are counted: a switch that says which way."""
    assignment, counted = _assignment(request, pk), request.POST.get("counted")
    if counted not in {"yes", "no"}:
        messages.error(request, _("Say whether ideas are counted: yes or no."))
        return redirect("assignment", pk)
    count_ideas(assignment=assignment, counted=counted == "yes", by=person_of(request))
    kept = {
        "yes": _("Ideas are counted again; the drawings are being compared."),
        "no": _("Ideas are no longer counted in this class."),
    }
    messages.success(request, kept[counted])
    return redirect("assignment", pk)


@only(*TEACHING)
@require_POST
def assignment_take_back(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Given by mistake: taken back while nothing is drawn."""
    assignment = _assignment(request, pk)
    take_back_brief(assignment=assignment, by=person_of(request))
    messages.success(request, _("Taken back. The class no longer has this brief."))
    return redirect("brief", assignment.brief_id)


def _assignment(request: HttpRequest, pk: UUID) -> Assignment:
    taught = Assignment.objects.taught_by(person_of(request))
    return get_object_or_404(taught.select_related("section__studio", "clay_body"), pk=pk)
