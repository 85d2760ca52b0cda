"""The first page of staff, and where everybody starts."""

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from planning.selectors.plans import plans_waiting, waiting_wares
from studio.bench.selectors.bench import question_of_a_pot
from studio.board.selectors.today import class_rows, late_rows
from studio.people.access import STAFF, only, person_of
from studio.people.models import Section
from studio.ware.selectors import ware_today


@login_required
@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """Staff start at Today, students at their pots; who has no studio reads what there is."""
    person = person_of(request)
    if person.studio is None:
        return render(request, "board/home.html")
    return redirect("pieces" if person.is_student else "today")


@only(*STAFF)
@require_safe
def today(request: HttpRequest) -> HttpResponse:
    """What needs a hand now: plans that wait, who is behind, which classes meet."""
    person = person_of(request)
    on = timezone.localdate()
    rows = class_rows(Section.objects.visible_to(person).current(), today=on)
    waiting = plans_waiting(person) if person.teaches else []
    meeting = [row for row in rows if row.meets_today]
    following = {row.section: row.following for row in meeting}
    ware = ware_today(person, following, on, question_of_a_pot())
    context = {
        "today": on,
        "teaching": person.teaches,
        "rows": rows,
        "meeting_today": meeting,
        "waiting": waiting,
        "wares": waiting_wares(waiting),
        "ware": ware,
        "scanned": [row for row in rows if row.scanned] if person.teaches else [],
        "late": late_rows(person, built=ware.built, today=on) if person.teaches else [],
    }
    return render(request, "board/today.html", context)


@require_safe
def safety(request: HttpRequest) -> HttpResponse:
    """The usual cautions, and who decides."""
    return render(request, "board/safety.html")
