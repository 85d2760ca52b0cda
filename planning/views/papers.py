"""A plan's prints at true size, for its student and for the staff of the class."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from planning.models import Piece
from planning.plans.paper_sizes import PAPERS
from planning.plans.papers import TRUE_SIZE, Paper, PlanPaper, plan_paper, starts_on
from planning.selectors.lessons import building_lessons
from planning.selectors.papers import plans_to_print
from planning.sheets.scale_card import scale_card_sheets
from studio.errors import Refused
from studio.paper.pages import WITH_LARGE_PAGES
from studio.paper.pdf import pdf
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.models import Role
from studio.web.printing import footer_text, paper_asked, pdf_answer


@only(*STAFF, Role.STUDENT)
@require_safe
def plan_papers(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What can be printed of a plan, and on how many pages; `?paper=` asks for another paper."""
    piece = _piece(request, pk)
    asked = paper_asked(request, piece.studio.paper, WITH_LARGE_PAGES)
    page = WITH_LARGE_PAGES[asked]
    refusal, ready = "", None
    try:
        ready = _plan_paper(request, piece)
    except Refused as refused:
        refusal = str(refused)
    context = {
        "piece": piece,
        "ready": ready,
        "refusal": refusal,
        "prints": [(kind, ready.count(kind, page), kind in TRUE_SIZE) for kind in Paper]
        if ready
        else [],
        "paper": asked,
        "papers": PAPERS,
    }
    return render(request, "planning/plan_papers.html", context)


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


@only(*STAFF, Role.STUDENT)
@require_safe
def scale_card_pdf(request: HttpRequest) -> HttpResponse:
    """To lie beside a drawing that is photographed."""
    studio = studio_of(person_of(request))
    page = WITH_LARGE_PAGES[paper_asked(request, studio.paper, WITH_LARGE_PAGES)]
    sheets = scale_card_sheets(page, footer=studio.name)
    return pdf_answer(pdf(page, sheets, title=_("Scale card")), "scale-card")


def _piece(request: HttpRequest, pk: UUID) -> Piece:
    seen = Piece.objects.visible_to(person_of(request))
    return get_object_or_404(seen.select_related("studio", "student"), pk=pk)


def _plan_paper(request: HttpRequest, piece: Piece) -> PlanPaper:
    plan = plans_to_print([piece], person_of(request)).get(piece.pk)
    if plan is None:
        raise Refused(
            _("There is no plan to print yet. Measure one first, or wait until it is sent.")
        )
    today = timezone.localdate()
    return plan_paper(
        plan,
        lessons=building_lessons(plan.piece, starts_on(plan, today)),
        address=request.build_absolute_uri(piece.get_absolute_url()),
        footer=footer_text(piece.studio.name, today),
    )
