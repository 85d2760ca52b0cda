"""The clay of a class: on screen at the scale, and on paper beside it."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import ngettext
from django.views.decorators.http import require_safe

from planning.models import Assignment
from studio.clay.forms.issue_list import IssueListForm
from studio.clay.models import Lot
from studio.clay.selectors.issue_list import IssueList
from studio.clay.selectors.issue_list import issue_list as listed
from studio.clay.services import issue_class_list
from studio.clay.sheets.issue_list import issue_list_pdf as drawn_pdf
from studio.paper.pages import PAGES
from studio.people.access import STAFF, only, person_of
from studio.people.idempotency import once_or_shown
from studio.people.models import User
from studio.web.printing import paper_asked, pdf_answer
from studio.web.shown import mass_text, number_text

from .paper import issue_list_paper


@only(*STAFF)
def issue_list(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Who gets how much; all ticked rows are issued together."""
    by = person_of(request)
    assignment = _assignment(by, pk)
    studio = assignment.section.studio
    found = listed(assignment, today=timezone.localdate())
    form = IssueListForm(
        found,
        lots=_lots(by, assignment),
        units=studio,
        data=request.POST or None,
        ticked=_ticked(request, found),
    )

    def act() -> dict[str, Any]:
        entries = issue_class_list(
            assignment=assignment, rows=form.chosen(), by=by, at=timezone.now()
        )
        return {"rows": len(entries), "grams": -sum(entry.grams for entry in entries)}

    if form.is_valid() and (done := once_or_shown(request, act, form.show)):
        message = ngettext(
            "%(mass)s handed out to %(rows)s pot.",
            "%(mass)s handed out to %(rows)s pots.",
            done["rows"],
        )
        words = {"mass": mass_text(done["grams"], studio), "rows": number_text(done["rows"])}
        messages.success(request, message % words)
        return redirect("issue_list", pk)
    context = {
        "assignment": assignment,
        "list": found,
        "form": form,
        "today": timezone.localdate(),
        "teaching": by.teaches,
    }
    return render(request, "clay/issue_list.html", context)


@only(*STAFF)
@require_safe
def issue_list_pdf(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The same list to write on."""
    assignment = _assignment(person_of(request), pk)
    found = listed(assignment, today=timezone.localdate())
    page = PAGES[paper_asked(request, assignment.section.studio.paper)]
    content = drawn_pdf(issue_list_paper(assignment, found, timezone.localdate()), page)
    return pdf_answer(content, "clay-to-issue")


def _assignment(by: User, pk: UUID) -> Assignment:
    seen = Assignment.objects.visible_to(by).select_related("section__studio", "clay_body")
    return get_object_or_404(seen, pk=pk)


def _lots(by: User, assignment: Assignment) -> Any:
    lots = Lot.objects.visible_to(by).for_pots().filter(body=assignment.clay_body_id)
    return lots.select_related("body", "studio")


def _ticked(request: HttpRequest, found: IssueList) -> set[UUID]:
    """`?tick=here` ticks everybody who is there and still gets clay."""
    if request.GET.get("tick") != "here":
        return set()
    return {
        line.piece.pk
        for line in found.lines
        if line.remaining_g and not line.hindrance and not line.absent
    }
