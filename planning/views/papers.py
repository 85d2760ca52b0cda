"""Paper to draw on and to photograph beside: thumbnail sheets, the scale card."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from planning.models import Assignment, Piece
from planning.selectors.papers import thumbnail_paper
from planning.selectors.scans import pieces_to_give
from planning.sheets.scale_card import scale_card_sheets
from planning.sheets.thumbnail_sheet import thumbnail_sheets
from studio.errors import Refused
from studio.paper.pages import WITH_LARGE_PAGES
from studio.paper.pdf import pdf
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.models import Role
from studio.web.printing import paper_asked, pdf_answer


@only(*STAFF, Role.STUDENT)
@require_safe
def scale_card_pdf(request: HttpRequest) -> HttpResponse:
    studio = studio_of(person_of(request))
    page = WITH_LARGE_PAGES[paper_asked(request, studio.paper, WITH_LARGE_PAGES)]
    sheets = scale_card_sheets(page, footer=studio.name)
    return pdf_answer(pdf(page, sheets, title=_("Scale card")), "scale-card")


@only(*STAFF, Role.STUDENT)
@require_safe
def thumbnail_sheet_pdf(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One student's; as many copies as wanted are printed of it."""
    seen = Piece.objects.visible_to(person_of(request))
    related = seen.select_related("studio", "student", "assignment__section")
    piece = get_object_or_404(related, pk=pk)
    return _thumbnail_sheets(request, [piece], piece.studio.paper, f"{piece.code}-thumbnails")


@only(*STAFF)
@require_safe
def thumbnail_sheets_pdf(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A page for everybody in the class, by first name. Raises `Refused` where nobody has a
    piece."""
    seen = Assignment.objects.visible_to(person_of(request))
    assignment = get_object_or_404(seen.select_related("section__studio"), pk=pk)
    pieces = pieces_to_give(assignment)
    if not pieces:
        raise Refused(_("Nobody in this class has a piece yet, so there is no sheet to print."))
    for piece in pieces:
        piece.assignment = assignment
    return _thumbnail_sheets(request, pieces, assignment.section.studio.paper, "thumbnail-sheets")


def _thumbnail_sheets(
    request: HttpRequest, pieces: list[Piece], usual: str, name: str
) -> HttpResponse:
    page = WITH_LARGE_PAGES[paper_asked(request, usual, WITH_LARGE_PAGES)]
    papers = [thumbnail_paper(piece, request.build_absolute_uri) for piece in pieces]
    content = pdf(page, thumbnail_sheets(papers, page), title=_("Thumbnail sheets"))
    return pdf_answer(content, name)
