"""Plan the week: which waiting pots go into which open firing, proposed and taken one by one."""

from datetime import date
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from studio.errors import Refused
from studio.jobs.models import Job
from studio.kilns.forms.week_plan import WeekPlanFields
from studio.kilns.selectors.week_asked import (
    ByHand,
    loaded_pots,
    open_slots,
    waiting_pots,
    week_end,
)
from studio.kilns.selectors.week_dates import DAY, waiting_classes
from studio.kilns.selectors.week_plans import KIND, shown_plan, with_counts
from studio.kilns.services.week_plans import ask_for_week_plan, take_week_plan
from studio.people.access import STAFF, only, person_of, studio_of

from .loads import slot_of
from .schedule import WEEK, week_asked


@only(*STAFF)
def week_plan(request: HttpRequest) -> HttpResponse:
    """What waits, what is open, and the plan that was asked for last."""
    studio, monday, at = studio_of(person_of(request)), week_asked(request), timezone.now()
    slots = open_slots(studio, monday, at)
    loaded = loaded_pots(studio)
    pots = waiting_pots(studio, monday, at, loaded)
    classes = waiting_classes(studio, pots, timezone.localdate())
    plan = shown_plan(studio, monday, slots, loaded)
    by_hand = ByHand.read(plan.job.wanted) if plan else ByHand()
    fields = WeekPlanFields(studio, classes, slots, by_hand, request.POST)
    if request.method == "POST":
        by = person_of(request)
        try:
            ask_for_week_plan(studio=studio, monday=monday, by_hand=fields.decided(), by=by, at=at)
            return redirect(f"{reverse('week_plan')}?week={monday.isoformat()}")
        except Refused as refusal:
            fields.refuse(refusal)
    context = {
        "plan": plan,
        "fields": fields,
        "waiting": sum(each.dry_on is None for each in pots),
        "drying": sum(each.dry_on is not None for each in pots),
        "open": with_counts(slots, loaded),
        "over": week_end(studio, monday) <= at,
        "monday": monday,
        "sunday": monday + WEEK - DAY,
        "before": monday - WEEK,
        "following": monday + WEEK,
        "today": timezone.localdate(),
    }
    return render(request, "kilns/week_plan.html", context, status=409 if fields.problems else 200)


@only(*STAFF)
@require_safe
def week_plan_progress(request: HttpRequest, job: UUID) -> HttpResponse:
    """The plan as it stands now; the page asks for it while it is being made."""
    found = _job(request, job)
    monday = date.fromisoformat(found.wanted["monday"])
    slots = open_slots(found.studio, monday, timezone.now())
    context = {
        "plan": shown_plan(found.studio, monday, slots, loaded_pots(found.studio)),
        "monday": monday,
        "today": timezone.localdate(),
    }
    return render(request, "kilns/_week_plan.html", context)


@only(*STAFF)
@require_POST
def week_plan_take(request: HttpRequest, job: UUID, slot: UUID) -> HttpResponse:
    """The pots of one proposed firing go into its load."""
    kept = slot_of(request, slot)
    taken = take_week_plan(
        job=_job(request, job), slot=kept, by=person_of(request), at=timezone.now()
    )
    said = ngettext("%(n)s pot is in the load.", "%(n)s pots are in the load.", len(taken.placed))
    messages.success(request, said % {"n": len(taken.placed)})
    for each in taken.left_out:
        messages.warning(request, each.reason)
    return redirect("load", kept.pk)


def _job(request: HttpRequest, pk: UUID) -> Job:
    """Whoever of the staff asked for it: the kilns are the studio's."""
    own = Job.objects.filter(kind=KIND, studio=studio_of(person_of(request)))
    return get_object_or_404(own.select_related("studio"), pk=pk)
