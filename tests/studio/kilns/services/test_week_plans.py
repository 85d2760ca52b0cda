"""A week is planned in the background from what waits; what staff take of it is a sound load."""

from datetime import date, time, timedelta
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse
from django.utils import timezone
from pytest_django import Settings

from studio.errors import Conflict, Refused
from studio.jobs.models import Job
from studio.jobs.work import claimed
from studio.kilns.selectors.loads import contents
from studio.kilns.selectors.week_asked import open_slots
from studio.kilns.selectors.week_plans import WeekPlan, newest_plan, shown_plan
from studio.kilns.services.loads import place_pots, take_out
from studio.kilns.services.slots import cancel_slot
from studio.kilns.services.week_plans import (
    ask_for_week_plan,
    plan_the_week,
    take_week_plan,
)
from tests.cast import School, signed_in
from tests.studio.kilns.kiln_room import a_kiln, a_slot, program, text_of
from tests.studio.kilns.loading import LATER, many_dry, wrong_with

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

MONDAY = date(2026, 3, 16)
THURSDAY = date(2026, 3, 19)


@pytest.fixture(autouse=True)
def _queued(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
    monkeypatch.setattr(timezone, "now", lambda: LATER)


def planned(cast: School, **by_hand: Any) -> Job:
    job = asked(cast, **by_hand)
    work = claimed(job_id=str(job.pk))
    assert work is not None
    plan_the_week(work)
    job.refresh_from_db()
    return job


def shown(cast: School) -> WeekPlan:
    found = shown_plan(cast.studio, MONDAY, open_slots(cast.studio, MONDAY, LATER))
    assert found is not None
    return found


def asked(cast: School, **changed: Any) -> Job:
    values: dict[str, Any] = {"studio": cast.studio, "monday": MONDAY, "must_go": [], "not_now": []}
    return ask_for_week_plan(**values | {"by": cast.technician, "at": LATER} | changed)


def test_a_planned_firing_is_taken_and_the_other_one_is_not_needed(cast: School) -> None:
    slots = [a_slot(cast.technician, on=THURSDAY + timedelta(days=n)) for n in (-2, 0)]
    pots = many_dry(cast, 4)
    job = planned(cast)
    (one,) = job.result["firings"]
    assert sorted(one["pots"]) == sorted(str(pot.pk) for pot in pots)
    assert job.result["score"]["firings"] == job.result["area_height"]["firings"] == 1
    plan = shown(cast)
    (proposed,) = plan.firings
    assert (proposed.taken, [slot.pk for slot in plan.unused]) == (
        False,
        [slot.pk for slot in slots if slot.pk != proposed.slot.pk],
    )
    loaded = take_week_plan(job=job, slot=proposed.slot, by=cast.technician, at=LATER)
    assert {each.pot_id for each in loaded.placed} == {pot.pk for pot in pots}
    assert wrong_with(proposed.slot) == []
    assert shown(cast).firings[0].taken


def test_a_plan_made_anew_keeps_what_is_loaded_and_what_was_planned(cast: School) -> None:
    slots = [a_slot(cast.technician, on=THURSDAY + timedelta(days=n)) for n in (-2, 0)]
    pots = many_dry(cast, 3)
    place_pots(slot=slots[1], pots=pots[:1], by=cast.technician, at=LATER)
    (before,) = contents(slots[1]).placements
    first, second = planned(cast), planned(cast, at=LATER + timedelta(minutes=1))
    assert first.result["firings"] == second.result["firings"]
    (firing,) = second.result["firings"]
    assert firing["slot"] == str(slots[1].pk)
    assert sorted(firing["new"]) == sorted(str(pot.pk) for pot in pots[1:])
    take_week_plan(job=second, slot=slots[1], by=cast.technician, at=LATER)
    after = {each.pot_id: each for each in contents(slots[1]).placements}
    assert (after[pots[0].pk].x_mm, after[pots[0].pk].y_mm) == (before.x_mm, before.y_mm)
    assert newest_plan(cast.studio, MONDAY) == second


def test_pots_kept_back_or_that_no_program_of_the_week_suits_are_told_why(cast: School) -> None:
    kiln = a_kiln(cast.technician)
    a_slot(cast.technician, kiln=kiln, program=program(cast.technician, "glaze"), start=time(9))
    pots = many_dry(cast, 2)
    planned(cast, not_now=pots[:1], must_go=pots[1:])
    plan = shown(cast)
    told = {each.pots[0].pk: (each.why, each.fits) for each in plan.left_out}
    assert told[pots[0].pk] == ("It is kept back by hand.", "")
    why, fits = told[pots[1].pk]
    assert why == "No firing of this week has a program that suits it."
    assert fits.startswith("One more firing of ")
    assert fits.endswith(" in Tall kiln would take it.")


def test_a_week_without_an_open_firing_or_with_a_contradiction_is_refused(cast: School) -> None:
    with pytest.raises(Refused, match="No firing is open in this week"):
        asked(cast)
    a_slot(cast.technician)
    pots = many_dry(cast, 1)
    with pytest.raises(Refused, match="can't both go and wait"):
        asked(cast, must_go=pots, not_now=pots)
    with pytest.raises(PermissionDenied):
        asked(cast, by=cast.student)


def test_a_firing_that_left_the_plan_can_not_be_taken(cast: School) -> None:
    slot, other = a_slot(cast.technician), a_slot(cast.technician, on=date(2026, 3, 26))
    many_dry(cast, 1)
    job = planned(cast)
    with pytest.raises(Conflict, match="isn't in the plan any more"):
        take_week_plan(job=job, slot=other, by=cast.technician, at=LATER)
    cancel_slot(slot=slot, by=cast.technician, at=LATER)
    with pytest.raises(Conflict, match="This firing is cancelled"):
        take_week_plan(job=job, slot=slot, by=cast.technician, at=LATER)


def test_the_page_shows_plan_reasons_and_both_bounds(cast: School) -> None:
    client = signed_in(cast.technician)
    url = reverse("week_plan") + f"?week={MONDAY.isoformat()}"
    assert "No firing is open in this week" in text_of(client.get(url))
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 2)
    assert "2 pots wait. 1 firing is open." in text_of(client.get(url))
    answer = client.post(url, {"not_now": [str(pots[0].pk)]})
    assert answer.status_code == 302
    assert "The plan waits to be made." in text_of(client.get(url))
    planned(cast, not_now=pots[:1])
    page = text_of(client.get(url))
    for words in (
        f"1 pot: {pots[1].code}.",
        f"{pots[0].code} It is kept back by hand.",
        "By trial loads",
        "By area and height",
    ):
        assert words in page
    job = newest_plan(cast.studio, MONDAY)
    assert job is not None
    taken = client.post(reverse("week_plan_take", args=[job.pk, slot.pk]), follow=True)
    assert "1 pot is in the load." in text_of(taken)
    assert "They are in the load." in text_of(client.get(url))
    both = {"must_go": [str(pots[0].pk)], "not_now": [str(pots[0].pk)]}
    refused = client.post(url, both)
    assert refused.status_code == 409
    assert "can’t both go" in refused.content.decode().replace("&#x27;", "’")
    assert job.unique_key == MONDAY.isoformat()
    take_out(slot=slot, pots=pots[1:], by=cast.technician, at=LATER)
    assert "Load it like this" in text_of(client.get(url))
