"""A plan's prints, for its student and for the staff of the class."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from planning.models import Piece
from planning.plans.paper_sizes import PAPERS
from planning.plans.papers import TRUE_SIZE, Paper, PlanPaper
from studio.board.selectors.papers import plans_on_paper
from studio.errors import Refused
from studio.paper.pages import WITH_LARGE_PAGES
from studio.paper.pdf import pdf
from studio.people.access import STAFF, only, person_of
from studio.people.models import Role
from studio.web.printing import paper_asked, pdf_answer


@only(*STAFF, Role.STUDENT)
@require_safe
def plan_papers(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What can be printed of a plan, and on how many pages; `?paper=` asks for another paper."""
    piece = _piece(request, pk)
    asked = paper_asked(request, piece.studio.paper, WITH_LARGE_PAGES)
    refusal, state, prints = "", "", []
    try:
        ready = _plan_paper(request, piece)
        state, page = ready.state, WITH_LARGE_PAGES[asked]
        prints = [(kind, ready.count(kind, page), kind in TRUE_SIZE) for kind in Paper]
    except Refused as refused:
        refusal = str(refused)
    context = {
        "piece": piece,
        "state": state,
        "refusal": refusal,
        "prints": prints,
        "paper": asked,
        "papers": PAPERS,
    }
    return render(request, "board/plan_papers.html", context)


@only(*STAFF, Role.STUDENT)
@require_safe
def plan_paper_pdf(request: HttpRequest, pk: UUID, kind: str) -> HttpResponse:
    """One print of a plan. Raises `Refused` where there is none yet."""
    piece = _piece(request, pk)
    if kind not in Paper.values:
        raise Http404
    page = WITH_LARGE_PAGES[paper_asked(request, piece.studio.paper, WITH_LARGE_PAGES)]
    paper = Paper(kind)
    sheets = _plan_paper(request, piece).sheets(paper, page)
    content = pdf(page, sheets, title=f"{piece.code} {paper.label}")
    return pdf_answer(content, f"{piece.code}-{kind}")


def _piece(request: HttpRequest, pk: UUID) -> Piece:
    seen = Piece.objects.visible_to(person_of(request))
    related = seen.select_related("studio", "student", "assignment__section")
    return get_object_or_404(related.select_related("assignment__clay_body"), pk=pk)


def _plan_paper(request: HttpRequest, piece: Piece) -> PlanPaper:
    (found,) = plans_on_paper([piece], person_of(request), timezone.localdate())
    return found.paper(request.build_absolute_uri)
