"""What differs for one student in one assignment, and why. For the class's teachers and heads."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from assessments.selectors.exemptions import criteria_of, exemptions_of
from assessments.services.adjusting import adjust_student, as_for_the_class
from assessments.services.criteria import ensure_criteria
from planning.models import Adjustment, Assignment
from planning.services.adjustments import own_dates
from studio.board.forms.adjustment import StudentAdjustmentForm
from studio.errors import Refused
from studio.people.access import TEACHING, only, person_of, studio_of
from studio.people.models import User
from studio.web.refusals import show_refusal


@only(*TEACHING)
def adjustment(request: HttpRequest, pk: UUID, student: UUID) -> HttpResponse:
    by = person_of(request)
    assignment, who = _found(by, pk, student)
    ensure_criteria(studio=studio_of(by))
    kept = Adjustment.objects.filter(assignment=assignment, student=who).first()
    exempt = list(exemptions_of(assignment, who).values_list("criterion", flat=True))
    form = StudentAdjustmentForm(
        request.POST or None,
        assignment=assignment,
        adjustment=kept,
        own=own_dates(assignment, who),
        criteria=criteria_of(studio_of(by)),
        initial={"exempt": exempt},
    )
    if form.is_valid():
        try:
            adjust_student(
                assignment=assignment, student=who, by=by, at=timezone.now(), **form.adjusted()
            )
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("Kept for %(name)s.") % {"name": who.name})
            return redirect("assignment", pk)
    context = {"form": form, "assignment": assignment, "student": who, "adjustment": kept}
    return render(request, "board/adjustment.html", context)


@only(*TEACHING)
@require_POST
def adjustment_drop(request: HttpRequest, pk: UUID, student: UUID) -> HttpResponse:
    by = person_of(request)
    assignment, who = _found(by, pk, student)
    as_for_the_class(assignment=assignment, student=who, by=by, at=timezone.now())
    message = _("For %(name)s it is as for the class again.")
    messages.success(request, message % {"name": who.name})
    return redirect("assignment", pk)


def _found(by: User, pk: UUID, student: UUID) -> tuple[Assignment, User]:
    """An assignment that the person teaches, and somebody who is in its class now."""
    taught = Assignment.objects.taught_by(by).select_related("section__studio")
    assignment = get_object_or_404(taught, pk=pk)
    here = User.objects.students().filter(
        enrolments__section=assignment.section_id, enrolments__left_on__isnull=True
    )
    return assignment, get_object_or_404(here, pk=student)
