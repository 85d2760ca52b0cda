"""A week's plan keeps room for pots that dry: they go in once they are found dry."""

from datetime import timedelta

import pytest
from django.utils import timezone
from pytest_django import Settings

from studio.kilns.selectors.week_asked import ByHand, waiting_pots
from studio.kilns.services.week_plans import (
    take_week_plan,
)
from studio.ware.services import check_dryness
from tests.cast import NOW, School, signed_in
from tests.studio.kilns.kiln_room import a_slot, text_of
from tests.studio.kilns.loading import LATER, many_dry, measure
from tests.studio.kilns.week_plans import MINUTE, MONDAY, URL, ids, planned, shown
from tests.studio.ware.pots import a_pot, move

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture(autouse=True)
def _queued(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
    monkeypatch.setattr(timezone, "now", lambda: LATER)


def test_a_pot_that_should_be_dry_by_then_is_planned_and_goes_in_once_it_is(cast: School) -> None:
    """Pots of its thickness took three days here, so it is likely dry on Tuesday."""
    slots = [a_slot(cast.technician, on=MONDAY + timedelta(days=n)) for n in (0, 3)]
    dry = many_dry(cast, 5)
    damp = a_pot(cast)
    move(damp, "leather_hard", cast.teacher)
    measure(damp, cast.teacher, 120, 120, 140, at=LATER)
    for_monday = ByHand(pinned=dict.fromkeys(ids([damp]), str(slots[0].pk)))
    (left,) = planned(cast, by_hand=for_monday).result["left_out"]
    assert (left["pot"], left["why"]) == (str(damp.pk), "not_ready")
    job = planned(cast, at=LATER + MINUTE)
    (firing,) = shown(cast).firings
    assert (firing.slot, firing.drying) == (slots[1], (damp,))
    assert set(firing.pots) == {*dry, damp}
    page = text_of(signed_in(cast.technician).get(URL))
    assert "1 more dries and is likely air dry within this week" in page
    assert "Not found air dry yet; feel them that day" in page
    loaded = take_week_plan(job=job, slot=slots[1], by=cast.technician, at=LATER)
    (out,) = loaded.left_out
    assert out.pot == damp
    assert not shown(cast).firings[0].taken
    check_dryness(pots=[damp], air_dry=True, by=cast.teacher, at=LATER + 2 * MINUTE)
    later = take_week_plan(job=job, slot=slots[1], by=cast.technician, at=LATER + 2 * MINUTE)
    assert ([each.pot for each in later.placed], later.left_out) == ([damp], [])
    assert shown(cast).firings[0].taken


def test_a_pot_that_was_found_damp_is_planned_from_the_next_day_on(cast: School) -> None:
    many_dry(cast, 5)
    damp = a_pot(cast)
    move(damp, "leather_hard", cast.teacher)
    measure(damp, cast.teacher, 120, 120, 140)
    found = [each for each in waiting_pots(cast.studio, MONDAY, LATER) if each.dry_on]
    assert [(each.pot, each.dry_on) for each in found] == [(damp, LATER.date())]
    check_dryness(pots=[damp], air_dry=False, by=cast.teacher, at=LATER)
    (again,) = [each for each in waiting_pots(cast.studio, MONDAY, LATER) if each.dry_on]
    assert again.dry_on == LATER.date() + timedelta(days=1)


def test_a_pot_that_dries_for_longer_than_the_week_does_not_wait(cast: School) -> None:
    """Two weeks at most for 12 mm, by the rule of thumb (common practice, no source)."""
    damp = a_pot(cast)
    move(damp, "leather_hard", cast.teacher)
    measure(damp, cast.teacher, 120, 120, 140)
    assert waiting_pots(cast.studio, MONDAY, LATER) == []
    (waiting,) = waiting_pots(cast.studio, MONDAY + timedelta(days=7), LATER)
    assert waiting.dry_on == NOW.date() + timedelta(days=14)
