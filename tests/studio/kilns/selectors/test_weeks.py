"""The coming weeks of the kiln room, and a class's firing dates."""

from datetime import date, datetime, time, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from studio.kilns.models import Slot
from studio.kilns.selectors.firing_dates import firing_dates
from studio.kilns.selectors.weeks import coming_weeks
from studio.kilns.services.loads import place_pots
from studio.kilns.services.slots import add_weekly_slots, cancel_slot
from tests.cast import NOW, TODAY, School
from tests.studio.kilns.kiln_room import a_kiln, a_slot, program
from tests.studio.kilns.loading import LATER, many_dry

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

MONDAY = date(2026, 3, 9)


def test_firings_stand_by_week_and_day_on_the_studio_s_calendar(cast: School) -> None:
    # At 00:30 in Amsterdam it is still the day before in UTC.
    late = a_kiln(cast.technician, start_from=time(0), start_until=time(0))
    slot = a_slot(cast.technician, kiln=late, on=date(2026, 3, 16), start=time(0, 30))
    assert slot.starts_at.date() == date(2026, 3, 15)
    coming = coming_weeks(cast.teacher, TODAY, NOW)
    assert [week.begins for week in coming.weeks] == [MONDAY + timedelta(weeks=n) for n in range(4)]
    (day,) = coming.weeks[1].days
    assert day.on == date(2026, 3, 16)
    assert [line.slot for line in day.lines] == [slot]
    assert (coming.weeks[1].firings, coming.weeks[0].firings) == (1, 0)
    assert (coming.weeks[0].full, coming.weeks[1].full) == (False, False)


def test_what_fires_and_what_waits_to_be_unloaded_is_under_way(cast: School) -> None:
    slot = a_slot(cast.technician, on=TODAY, start=time(12))
    a_slot(cast.technician, on=date(2026, 4, 16))  # beyond the four weeks

    def under_way(at: datetime) -> list[Slot]:
        return [line.slot for line in coming_weeks(cast.teacher, at.date(), at).under_way]

    assert under_way(NOW) == []
    Slot.objects.filter(pk=slot.pk).update(lit_at=slot.starts_at)
    assert under_way(NOW) == [slot]
    assert under_way(NOW + timedelta(days=9)) == [slot]  # nobody noted it unloaded
    at = slot.unload_at
    Slot.objects.filter(pk=slot.pk).update(off_at=at, unloaded_at=at)
    assert under_way(at) == []


def test_cancelled_firings_stand_apart_while_they_are_to_come(cast: School) -> None:
    slot = cancel_slot(slot=a_slot(cast.technician), by=cast.head, at=NOW)
    assert coming_weeks(cast.teacher, TODAY, NOW).cancelled == (slot,)
    later = NOW + timedelta(days=10)
    assert coming_weeks(cast.teacher, later.date(), later).cancelled == ()


def test_a_week_is_full_when_each_of_its_firings_is(cast: School) -> None:
    tight: dict[str, Any] = {"shelf_width_mm": 210, "usable_height_mm": 190, "shelves": 1}
    kiln = a_kiln(cast.technician, posts=(), **tight)
    slot = a_slot(cast.technician, kiln=kiln)
    pots = many_dry(cast, 1, sizes=[(180, 180, 150)])
    place_pots(slot=slot, pots=pots, by=cast.technician, at=LATER)
    week = coming_weeks(cast.teacher, TODAY, NOW).weeks[1]
    (line,) = week.days[0].lines
    assert (line.pots, line.full, week.full) == (1, True, True)
    a_slot(cast.technician, kiln=a_kiln(cast.technician, name="Small kiln"))
    assert not coming_weeks(cast.teacher, TODAY, NOW).weeks[1].full


def test_another_studio_s_firings_are_not_in_it(cast: School) -> None:
    a_slot(cast.technician)
    coming = coming_weeks(cast.elsewhere.head, TODAY, NOW)
    assert all(week.days == () for week in coming.weeks)


def test_the_queries_do_not_depend_on_how_many_firings_come(cast: School) -> None:
    a_slot(cast.technician, on=date(2026, 3, 17))

    def queries() -> int:
        with CaptureQueriesContext(connection) as captured:
            coming_weeks(cast.teacher, TODAY, NOW)
        return len(captured)

    one = queries()
    for name in ("Small kiln", "Third kiln"):
        add_weekly_slots(
            kiln=a_kiln(cast.technician, name=name),
            program=program(cast.technician),
            on=date(2026, 3, 12),
            start=time(20),
            weeks=4,
            confirms=cast.technician,
            by=cast.technician,
            at=NOW,
        )
    assert queries() == one <= 6


def test_a_class_reads_the_firings_to_come_and_how_many_of_its_own_pots_are_in(
    cast: School,
) -> None:
    first = a_slot(cast.technician)
    second = a_slot(cast.technician, on=date(2026, 3, 23))
    cancel_slot(slot=a_slot(cast.technician, on=date(2026, 3, 27)), by=cast.technician, at=NOW)
    place_pots(slot=first, pots=many_dry(cast, 2), by=cast.technician, at=LATER)
    own = firing_dates(cast.section, NOW)
    assert [(each.slot, each.pots) for each in own] == [(first, 2), (second, 0)]
    assert [each.pots for each in firing_dates(cast.other_section, NOW)] == [0, 0]
    assert firing_dates(cast.section, second.starts_at + timedelta(days=1)) == []
    assert firing_dates(cast.elsewhere.section, NOW) == []
