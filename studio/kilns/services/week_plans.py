"""A week of kilns planned in the background: which waiting pots go into which open slot.

The plan proposes; nothing is loaded before somebody takes a firing of it, and what they took is
changed on the load's own page.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from django.utils.translation import gettext as _

from studio.errors import Conflict, Problem, Refused
from studio.jobs.kinds import Kind
from studio.jobs.models import Job
from studio.jobs.services import ask_for
from studio.jobs.work import Work
from studio.kilns.models import Program, Slot
from studio.kilns.refusal import KilnRefused
from studio.kilns.selectors.week_asked import (
    ByHand,
    guests_in_loads,
    loaded_pots,
    waiting_pots,
    week_end,
    week_to_plan,
)
from studio.kilns.selectors.week_dates import waiting_classes
from studio.kilns.selectors.week_free import free_starts
from studio.kilns.selectors.week_plans import KIND, key_of, newest_plan
from studio.kilns.weeks.answer import Answer, Firing
from studio.kilns.weeks.further import further_firings
from studio.kilns.weeks.plan import plan_week
from studio.kilns.wording import refused
from studio.people.models import Studio, User
from studio.room.models import Kiln
from studio.room.services.checking import require_staff
from studio.ware.models import Pot
from studio.ware.selectors import ReadyPot
from studio.web.shown import day_text

from .loads import Loaded, place_pots

_MOST, _LOADS = 95, 60
"""Per cent that are shown before the end, and about how many loads a plan packs."""


def ask_for_week_plan(
    *, studio: Studio, monday: date, by_hand: ByHand, by: User, at: datetime
) -> Job:
    """Have the week that begins on this day planned, with what was decided by hand."""
    require_staff(by, studio)
    if week_end(studio, monday) <= at:
        raise Refused(_("This week is over. Plan this one or a coming one."))
    waiting = waiting_pots(studio, monday, at)
    if not waiting:
        raise Refused(_("No pot waits for a firing, so there is nothing to plan."))
    if by_hand.must_go & by_hand.not_now:
        codes = [
            each.pot.code
            for each in waiting
            if str(each.pot.pk) in by_hand.must_go & by_hand.not_now
        ]
        message = _("%(codes)s can't both go and wait. Choose one.")
        raise Refused(message % {"codes": ", ".join(codes)})
    today = at.astimezone(studio.zone).date()
    if problems := list(_glaze_day_troubles(studio, waiting, by_hand, today)):
        raise Refused.all_of(problems)
    wanted = {"monday": monday.isoformat(), **by_hand.kept()}
    job = ask_for(
        kind=KIND,
        studio=studio,
        by=by,
        subjects=[studio.pk],
        unique_key=key_of(monday),
        wanted=wanted,
        at=at,
    )
    if job.wanted != wanted:
        message = _(
            "This week is being planned already, with other decisions. Wait for that plan, then "
            "plan it anew."
        )
        raise Conflict(message)
    return job


def plan_the_week(work: Work) -> None:
    """Computes outside any transaction. What was planned before stays unless better is found."""
    job = work.job
    monday = date.fromisoformat(job.wanted["monday"])
    by_hand = ByHand.read(job.wanted)
    week = week_to_plan(job.studio, monday, job.asked_at, by_hand)
    before = newest_plan(job.studio, monday)
    former = {pot: each["slot"] for each in _firings(before) for pot in each["pots"]}

    def tell(packed: int) -> None:
        work.progress(min(_MOST, _MOST * packed // _LOADS))

    try:
        answer = plan_week(week, former, each_load=tell)
        tell(_LOADS)
        free = free_starts(job.studio, monday, job.asked_at, week)
        more = further_firings(week, answer, free, each_load=lambda _packed: tell(_LOADS))
    except KilnRefused as refusal:
        raise refused(refusal.problems, job.studio) from None
    guests = guests_in_loads(job.studio)
    with work.finishing(_result(answer, more, _names(job.studio), guests)):
        pass


def take_week_plan(*, job: Job, slot: Slot, by: User, at: datetime) -> Loaded:
    """One firing of a plan is loaded as it was proposed. What came between is named; taken again,
    what has dried since goes in too."""
    require_staff(by, slot.studio)
    proposed = next((each for each in _firings(job) if each["slot"] == str(slot.pk)), None)
    if job.kind != KIND or job.studio_id != slot.studio_id or proposed is None:
        raise Conflict(_("This firing isn't in the plan any more. Plan the week anew."))
    into = loaded_pots(slot.studio)
    waiting = [pk for pk in proposed["new"] if into.get(pk) != str(slot.pk)]
    new = waiting or proposed["new"]
    found = Pot.objects.filter(studio=slot.studio, pk__in=new)
    order = {pk: n for n, pk in enumerate(new)}
    pots = sorted(found.select_related("piece__assignment"), key=lambda pot: order[str(pot.pk)])
    return place_pots(slot=slot, pots=pots, by=by, at=at)


def _firings(job: Job | None) -> Sequence[dict[str, Any]]:
    return job.result.get("firings", ()) if job else ()


def _glaze_day_troubles(
    studio: Studio, waiting: Iterable[ReadyPot], by_hand: ByHand, today: date
) -> Iterable[Problem]:
    for each in waiting_classes(studio, waiting, today):
        day = by_hand.glaze_days.get(each.key)
        if day is not None and day > each.assignment.due_on:
            message = _(
                "%(class)s can't glaze on %(day)s: the project is due on %(due)s. Choose an "
                "earlier day, or none."
            )
            words = {
                "class": each.assignment.section.title,
                "day": day_text(day),
                "due": day_text(each.assignment.due_on),
            }
            yield Problem(message % words, f"glaze_day {each.key}")


def _result(
    answer: Answer,
    more: Sequence[Firing],
    names: Mapping[str, str],
    guests: Mapping[str, Sequence[str]],
) -> dict[str, Any]:
    late, after, standing = set(answer.late), set(answer.after_glaze_day), _standing(answer)
    return {
        "firings": [
            {
                "slot": each.start.id,
                "pots": [pot for host in each.pots for pot in (host, *guests.get(host, ()))],
                "new": [name for name in each.pots if name not in standing],
                "late": [name for name in each.pots if name in late],
                "after_glaze_day": [name for name in each.pots if name in after],
            }
            for each in answer.firings
        ],
        "left_out": [
            {
                "pot": each.id,
                "why": each.why,
                "kilns": [names[pk] for pk in each.kilns],
                "programs": [names[pk] for pk in each.programs],
            }
            for each in answer.left_out
        ],
        "more": [
            {
                "kiln": [each.start.kiln, names[each.start.kiln]],
                "program": [each.start.program, names[each.start.program]],
                "at": each.start.lit_at.isoformat(),
                "pots": list(each.pots),
            }
            for each in more
        ],
        "score": answer.score._asdict(),
        "calibrated": vars(answer.calibrated),
        "area_height": vars(answer.area_height),
    }


def _names(studio: Studio) -> dict[str, str]:
    """As they are now: a plan is read as things stood."""
    rows = [*Kiln.objects.filter(studio=studio), *Program.objects.filter(studio=studio)]
    return {str(each.pk): str(each) for each in rows}


def _standing(answer: Answer) -> set[str]:
    return {
        place.id
        for each in answer.firings
        for layer in each.start.layers
        for place in layer.placements
    }


PLAN_WEEK = Kind(run=plan_the_week)
