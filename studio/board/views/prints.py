"""Every print in one place, and those that are made here."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from planning.models import Assignment
from studio.board.forms.base_labels import BaseLabelsForm
from studio.board.selectors.covers import cover_paper
from studio.board.selectors.labels import (
    base_labels as labels_of,
)
from studio.board.selectors.labels import (
    pieces_to_label,
    shelf_labels,
    with_approved_plan,
)
from studio.board.selectors.prints import class_prints, week_prints
from studio.board.selectors.substitute import substitute_paper
from studio.board.sheets.cover_list import cover_list_pdf as drawn_cover_list
from studio.board.sheets.nothing import nothing_pdf
from studio.board.sheets.substitute import substitute_pdf as drawn_substitute
from studio.paper.labels import base_labels_pdf as drawn_base_labels
from studio.paper.labels import shelf_labels_pdf as drawn_shelf_labels
from studio.paper.pages import PAGES
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.models import PaperSize, Section
from studio.web.printing import paper_asked, pdf_answer


@only(*STAFF)
@require_safe
def prints(request: HttpRequest) -> HttpResponse:
    """By class and by week; `?paper=` asks for the other paper than the studio's."""
    person = person_of(request)
    today = timezone.localdate()
    paper = paper_asked(request, studio_of(person).paper)
    context = {
        "classes": class_prints(person, today=today, paper=paper),
        "weeks": week_prints(today=today, paper=paper),
        "today": today,
        "teaching": person.teaches,
        "paper": paper,
        "papers": PaperSize.choices,
    }
    return render(request, "board/prints.html", context)


@only(*STAFF)
@require_safe
def base_labels(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Chooses for which pots."""
    return _base_labels(request, pk)


@only(*STAFF)
@require_safe
def base_labels_pdf(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The labels, or the form with what keeps them from being made."""
    return _base_labels(request, pk, asked=True)


@only(*STAFF)
@require_safe
def shelf_labels_pdf(request: HttpRequest) -> HttpResponse:
    """Labels of all places, or of one with `?place=`."""
    person = person_of(request)
    wanted = request.GET.get("place", "")
    labels = shelf_labels(person, request.build_absolute_uri, only=wanted)
    if wanted and not labels:
        raise Http404
    page = PAGES[paper_asked(request, studio_of(person).paper)]
    if not labels:
        sentence = _("There is no place yet. Add the shelves, carts and cupboards first.")
        return pdf_answer(nothing_pdf(_("Shelf labels"), sentence, page), "shelf-labels")
    return pdf_answer(drawn_shelf_labels(labels, page), "shelf-labels")


@only(*STAFF)
@require_safe
def cover_list_pdf(request: HttpRequest, pk: UUID) -> HttpResponse:
    section = _section(request, pk)
    page = PAGES[paper_asked(request, section.studio.paper)]
    paper = cover_paper(section, today=timezone.localdate())
    return pdf_answer(drawn_cover_list(paper, page), "cover-list")


@only(*STAFF)
@require_safe
def substitute_pdf(request: HttpRequest, pk: UUID) -> HttpResponse:
    section = _section(request, pk)
    page = PAGES[paper_asked(request, section.studio.paper)]
    paper = substitute_paper(section, today=timezone.localdate())
    return pdf_answer(drawn_substitute(paper, page), "substitute")


def _base_labels(request: HttpRequest, pk: UUID, *, asked: bool = False) -> HttpResponse:
    seen = Assignment.objects.visible_to(person_of(request)).select_related("section__studio")
    assignment = get_object_or_404(seen, pk=pk)
    pieces = pieces_to_label(assignment)
    approved = with_approved_plan(pieces)
    paper = paper_asked(request, assignment.section.studio.paper)
    form = BaseLabelsForm(
        request.GET if asked else None,
        pieces=pieces,
        approved=approved,
        initial={"which": "approved" if approved else "class", "paper": paper},
    )
    if form.is_valid() and pieces:
        labels = labels_of(form.chosen(), request.build_absolute_uri)
        page = PAGES[form.cleaned_data["paper"]]
        return pdf_answer(drawn_base_labels(labels, page), "base-labels")
    context = {"assignment": assignment, "form": form, "pieces": pieces}
    return render(request, "board/base_labels.html", context)


def _section(request: HttpRequest, pk: UUID) -> Section:
    seen = Section.objects.visible_to(person_of(request)).select_related("studio")
    return get_object_or_404(seen, pk=pk)
