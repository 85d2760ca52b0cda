"""The kiln schedule of a week: what it holds, and its print."""

from datetime import date, timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.dateparse import parse_date
from django.views.decorators.http import require_safe

from studio.kilns.models import Slot
from studio.kilns.selectors.schedule import monday_of, week_print
from studio.kilns.sheets.schedule import schedule_pdf
from studio.paper.pages import PAGES
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.models import PaperSize
from studio.web.printing import paper_asked, pdf_answer

WEEK = timedelta(weeks=1)
MOST_YEARS = 20
"""Whoever asks for the year 1 or 9999 has slipped; the days around it don't all exist."""


@only(*STAFF)
@require_safe
def kiln_schedule(request: HttpRequest) -> HttpResponse:
    studio, monday = studio_of(person_of(request)), week_asked(request)
    today = timezone.localdate()
    week = week_print(studio, monday, printed_on=today, address=str)
    context = {
        "week": week,
        "monday": monday,
        "before": monday - WEEK,
        "following": monday + WEEK,
        "papers": PaperSize.choices,
        "paper": studio.paper,
    }
    return render(request, "kilns/kiln_schedule.html", context)


@only(*STAFF)
@require_safe
def kiln_schedule_pdf(request: HttpRequest) -> HttpResponse:
    """The PDF, in the paper that is asked for or else the studio's."""
    studio, monday = studio_of(person_of(request)), week_asked(request)

    def address(slot: Slot) -> str:
        return request.build_absolute_uri(reverse("firing_log", args=[slot.pk]))

    week = week_print(studio, monday, printed_on=timezone.localdate(), address=address)
    page = PAGES[paper_asked(request, studio.paper)]
    return pdf_answer(schedule_pdf(week, page), f"kiln-schedule-{monday:%Y-%m-%d}")


def week_asked(request: HttpRequest) -> date:
    """The Monday of the week that is asked for, by any of its days; else of this week."""
    try:
        asked = parse_date(request.GET.get("week", ""))
    except ValueError:  # such as 31 February
        asked = None
    today = timezone.localdate()
    near = asked is not None and abs(asked.year - today.year) <= MOST_YEARS
    return monday_of(asked if asked is not None and near else today)
