"""A week is planned in the background from what waits; what staff take of it is a sound load."""

import re
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from html import unescape
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.urls import reverse
from django.utils import timezone
from pytest_django import Settings

from studio.errors import Conflict, Refused
from studio.jobs.models import Job
from studio.jobs.work import claimed
from studio.kilns.selectors.loads import contents
from studio.kilns.selectors.week_asked import ByHand, waiting_pots
from studio.kilns.selectors.week_dates import glaze_takes, waiting_classes
from studio.kilns.selectors.week_plans import KIND, newest_plan
from studio.kilns.services.loads import place_pots, take_out
from studio.kilns.services.slots import cancel_slot
from studio.kilns.services.week_plans import (
    plan_the_week,
    take_week_plan,
)
from studio.people.selectors import lessons_of
from studio.room.services import add_glaze
from tests.cast import School, signed_in
from tests.studio.kilns.kiln_room import GLAZE, a_kiln, a_slot, program, text_of
from tests.studio.kilns.loading import LATER, many_dry, wrong_with
from tests.studio.kilns.week_plans import (
    MINUTE,
    MONDAY,
    THURSDAY,
    URL,
    asked,
    bisque_of,
    ids,
    planned,
    shown,
)
from tests.studio.ware.pots import a_pot, glazed

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture(autouse=True)
def _queued(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
    monkeypatch.setattr(timezone, "now", lambda: LATER)


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
    first, second = planned(cast), planned(cast, at=LATER + MINUTE)
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
    planned(cast, by_hand=ByHand(not_now=ids(pots[:1]), must_go=ids(pots[1:])))
    plan = shown(cast)
    told = {each.pots[0].pk: (each.why, each.fits) for each in plan.left_out}
    assert told[pots[0].pk] == ("It is kept back by hand.", "")
    why, fits = told[pots[1].pk]
    assert why == "No firing of this week has a program that suits it."
    assert fits.startswith("One more firing of ")
    assert fits.endswith(" in Tall kiln would take it.")


def test_what_can_not_be_planned_is_refused_with_the_reason(cast: School) -> None:
    with pytest.raises(Refused, match="No pot waits for a firing"):
        asked(cast)
    pots = many_dry(cast, 1)
    with pytest.raises(Refused, match="This week is over"):
        asked(cast, monday=MONDAY - timedelta(days=14))
    both = ByHand(must_go=ids(pots), not_now=ids(pots))
    with pytest.raises(Refused, match=f"{pots[0].code} can't both go and wait"):
        asked(cast, by_hand=both)
    due = pots[0].piece.assignment.due_on
    too_late = ByHand(glaze_days={bisque_of(pots): due + timedelta(days=1)})
    with pytest.raises(Refused, match=r"can't glaze on .*: the project is due on"):
        asked(cast, by_hand=too_late)
    with pytest.raises(PermissionDenied):
        asked(cast, by=cast.student)
    first = asked(cast)
    assert asked(cast) == first
    with pytest.raises(Conflict, match="is being planned already, with other decisions"):
        asked(cast, by_hand=ByHand(must_go=ids(pots)))


def test_a_class_s_bisque_is_out_before_the_day_on_which_it_glazes(cast: School) -> None:
    slots = [a_slot(cast.technician, on=THURSDAY + timedelta(days=n)) for n in (-2, 0)]
    pots = many_dry(cast, 2)
    first = planned(cast, by_hand=ByHand(pinned=dict.fromkeys(ids(pots), str(slots[1].pk))))
    assert first.result["firings"][0]["slot"] == str(slots[1].pk)
    friday = THURSDAY + timedelta(days=1)
    pinned = replace(ByHand.read(first.wanted), glaze_days={bisque_of(pots): friday})
    late = planned(cast, by_hand=pinned, at=LATER + MINUTE)
    assert sorted(late.result["firings"][0]["after_glaze_day"]) == sorted(ids(pots))
    page = text_of(signed_in(cast.teacher).get(URL))
    assert "Out after their class's glaze day has begun:" in page
    free = planned(cast, by_hand=replace(pinned, pinned={}), at=LATER + 2 * MINUTE)
    assert free.result["firings"][0]["slot"] == str(slots[0].pk)
    assert free.result["score"]["after_glaze_day"] == 0


def test_the_proposed_glaze_day_leaves_time_for_the_glaze_firing(cast: School) -> None:
    assert glaze_takes(cast.studio) == timedelta(days=2)
    glaze = program(a_slot(cast.technician).confirms_shut_off, "glaze")
    slot = a_slot(cast.technician, program=glaze, start=time(9), on=THURSDAY - timedelta(days=3))
    many_dry(cast, 1)
    (waiting,) = waiting_classes(
        cast.studio, waiting_pots(cast.studio, MONDAY, LATER), LATER.date()
    )
    day, due = waiting.glaze_day, waiting.assignment.due_on
    assert day in lessons_of(cast.section)
    takes = glaze_takes(cast.studio)
    assert takes == slot.unload_at - slot.starts_at
    assert day is not None
    lit_next_day = datetime.combine(day + timedelta(days=1), time(), cast.studio.zone)
    due_by = datetime.combine(due + timedelta(days=1), time(), cast.studio.zone)
    assert lit_next_day + takes <= due_by
    later = [each for each in lessons_of(cast.section) if day < each <= due]
    assert all(
        datetime.combine(each + timedelta(days=1), time(), cast.studio.zone) + takes > due_by
        for each in later
    )


def test_bisque_is_late_where_its_glaze_firing_would_be_unless_its_class_has_none(
    cast: School,
) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 1)
    assignment = pots[0].piece.assignment
    assignment.due_on = slot.unload_at.astimezone(cast.studio.zone).date()
    assignment.save()
    assert planned(cast).result["score"]["late"] == 0  # none of the week's firings helps it
    assert a_slot(cast.technician, on=THURSDAY - timedelta(days=2), start=time(12))
    pinned = ByHand(pinned={str(pots[0].pk): str(slot.pk)})
    again = planned(cast, by_hand=pinned, at=LATER + MINUTE)
    assert again.result["score"]["late"] == 1
    assert "Out too late for a glaze firing" in text_of(signed_in(cast.teacher).get(URL))
    bare = replace(pinned, glaze_days={bisque_of(pots): None})
    assert planned(cast, by_hand=bare, at=LATER + 2 * MINUTE).result["score"]["late"] == 0


def test_a_class_s_pots_stay_together_but_for_those_that_are_kept_back(cast: School) -> None:
    kiln = a_kiln(cast.technician, shelf_width_mm=430, shelf_depth_mm=430, shelves=1)
    a_slot(cast.technician, kiln=kiln)
    pots = many_dry(cast, 8, sizes=((150, 150, 250),))
    tied = planned(cast, by_hand=ByHand(together=frozenset({bisque_of(pots)})))
    assert {each["why"] for each in tied.result["left_out"]} == {"too_many_together"}
    kept = ids(pots[3:])
    few = planned(cast, by_hand=ByHand(not_now=kept, together=frozenset({bisque_of(pots)})))
    (firing,) = few.result["firings"]
    assert sorted(firing["new"]) == sorted(ids(pots[:3]))


def test_without_an_open_firing_the_plan_says_which_ones_would_take_the_pots(
    cast: School,
) -> None:
    kiln = a_kiln(cast.technician, start_from=time(18), start_until=time(21))
    pots = many_dry(cast, 3)
    job = planned(cast)
    (more,) = job.result["more"]
    assert (job.result["firings"], sorted(more["pots"])) == ([], sorted(ids(pots)))
    client = signed_in(cast.technician)
    page = client.get(URL)
    assert "Firings that would take them" in text_of(page)
    assert "No open firing of this week takes any of the pots" in text_of(page)
    link = next(each for each in links(page) if "start=" in each)
    form = client.get(link).content.decode()
    assert f'value="{kiln.pk}" selected' in form
    assert f'value="{more["program"][0]}" selected' in form
    # What is told can be planned, and takes them.
    at = datetime.fromisoformat(more["at"]).astimezone(cast.studio.zone)
    slot = a_slot(cast.technician, kiln=kiln, on=at.date(), start=at.time())
    again = planned(cast, at=LATER + MINUTE)
    assert again.result["more"] == []
    assert [each["slot"] for each in again.result["firings"]] == [str(slot.pk)]


def test_a_week_that_is_too_large_is_refused_and_the_page_says_so(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("studio.kilns.weeks.soundness.MOST_POTS", 1)
    a_slot(cast.technician)
    many_dry(cast, 2)
    with pytest.raises(Refused, match="may have at most 1"):
        planned(cast)


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
    assert "No pot waits" in text_of(client.get(URL))
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 2)
    page = text_of(client.get(URL))
    assert "1 firing is open" in page
    assert "2 pots wait" in page
    assert "2 for bisque, due" in page
    answer = client.post(URL, {f"pot {pots[0].pk}": "not_now"})
    assert answer.status_code == 302
    assert "The plan waits to be made." in text_of(client.get(URL))
    job = Job.objects.get(kind=KIND)
    work = claimed(job_id=str(job.pk))
    assert work is not None
    plan_the_week(work)
    page = text_of(client.get(URL))
    for words in (
        f"1 pot: {pots[1].code}.",
        f"{pots[0].code} It is kept back by hand.",
        "By trial loads",
        "By area and height",
    ):
        assert words in page
    # What was decided stands in the form for the next plan.
    assert 'value="not_now" selected' in client.get(URL).content.decode()
    taken = client.post(reverse("week_plan_take", args=[job.pk, slot.pk]), follow=True)
    assert "1 pot is in the load." in text_of(taken)
    assert "They are in the load." in text_of(client.get(URL))
    take_out(slot=slot, pots=pots[1:], by=cast.technician, at=LATER)
    assert "Load it like this" in text_of(client.get(URL))


def test_decisions_by_hand_are_read_and_a_wrong_day_is_said_at_its_field(cast: School) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 3)
    client, key = signed_in(cast.teacher), bisque_of(pots)
    for typed in ("31.12.", "2026-02-31"):
        refused = client.post(URL, {f"glaze_day {key}": typed, f"together {key}": "1"})
        assert refused.status_code == 409
        body = refused.content.decode()
        assert "Write the day as a date, such as 2026-03-20." in body
        assert f'value="{typed}"' in body
        assert "checked" in body
    sent = {
        f"pot {pots[0].pk}": "must_go",
        f"pot {pots[1].pk}": str(slot.pk),
        f"glaze_day {key}": "",
        f"together {key}": "1",
    }
    assert client.post(URL, sent).status_code == 302
    by_hand = ByHand.read(Job.objects.get(kind=KIND).wanted)
    assert by_hand == ByHand(
        must_go=ids(pots[:1]),
        pinned={str(pots[1].pk): str(slot.pk)},
        together=frozenset({key}),
        glaze_days={key: None},
    )
    over = client.post(f"{reverse('week_plan')}?week=2026-03-02", sent)
    assert over.status_code == 409
    assert "This week is over." in over.content.decode()


def links(answer: HttpResponseBase) -> list[str]:
    assert isinstance(answer, HttpResponse)
    return [unescape(each) for each in re.findall(r'href="([^"]+)"', answer.content.decode())]


def test_the_page_of_a_planned_week_asks_no_more_than_18_times(
    cast: School, django_assert_max_num_queries: Any
) -> None:
    kiln = a_kiln(cast.technician)
    a_slot(cast.technician, kiln=kiln, program=program(cast.technician, "glaze"), start=time(9))
    many_dry(cast, 3)
    glazed(
        a_pot(cast, "A glazed pot"),
        cast,
        add_glaze(studio=cast.studio, by=cast.technician, glaze=GLAZE),
    )
    assert planned(cast).result["more"]
    client = signed_in(cast.technician)
    with django_assert_max_num_queries(18):
        assert client.get(URL).status_code == 200
