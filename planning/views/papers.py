"""The scale card, which lies beside a drawing that is photographed."""

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from planning.sheets.scale_card import scale_card_sheets
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
