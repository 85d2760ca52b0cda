"""Firing slots: computed from program and kiln, refused where something stands in their way."""

import threading
from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from math import log
from typing import Any

import pytest
from django.db import connections

from studio.errors import Refused
from studio.kilns.models import Program, Series, Slot
from studio.kilns.services.programs import add_program, retire_program
from studio.kilns.services.slots import (
    MOST_WEEKS,
    add_slot,
    add_weekly_slots,
    cancel_slot,
)
from studio.people.models import AuditEntry, User
from studio.people.services import add_closure
from studio.room.models import Kiln
from studio.room.services import edit_kiln, retire_kiln
from tests.cast import NOW, TODAY, School, school
from tests.studio.kilns.kiln_room import a_kiln, a_slot, program

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

THURSDAY = date(2026, 3, 19)
# The shipped bisque, worked out by hand: 65/50 + 6 + 115/60 + 300/80 + 120/60 + 258/100 + 120/60.
BISQUE_H = 19.546666


def refusal(make: Callable[..., Slot], *args: Any, **changed: Any) -> tuple[str, str]:
    with pytest.raises(Refused) as refused:
        make(*args, **changed)
    first = refused.value.problems[0]
    return first.field, first.message.replace("\xa0", " ")


def test_a_slot_ends_with_its_program_and_is_unloaded_when_its_kiln_has_cooled(
    cast: School,
) -> None:
    slot = a_slot(cast.technician)
    assert slot.starts_at == datetime(2026, 3, 19, 19, tzinfo=UTC)  # 20:00 in Amsterdam
    assert (slot.ends_at - slot.starts_at) / timedelta(hours=1) == pytest.approx(
        BISQUE_H, abs=1 / 60
    )
    # Newton's law of cooling from 998 °C to 60 °C in a room of 20 °C, with 6 h for the kiln.
    cooling_h = 6 * log((998 - 20) / (60 - 20))
    assert (slot.unload_at - slot.ends_at) / timedelta(hours=1) == pytest.approx(
        cooling_h, abs=1 / 60
    )
    entry = AuditEntry.objects.get(action="slot added")
    assert entry.after["starts_at"] == "2026-03-19T19:00:00+00:00"


def test_a_bisque_over_the_night_of_the_clock_change_lasts_as_long_as_any(
    cast: School,
) -> None:
    """28 to 29 March 2026: at 01:00 UTC the clocks of Amsterdam go from 02:00 to 03:00."""
    before = a_slot(cast.technician)
    over = a_slot(cast.technician, on=date(2026, 3, 28))
    assert over.ends_at - over.starts_at == before.ends_at - before.starts_at
    zone = cast.studio.zone
    assert before.ends_at.astimezone(zone).time() == time(15, 33)
    assert over.ends_at.astimezone(zone).time() == time(16, 33)


def test_a_start_that_the_clocks_leap_over_is_refused(cast: School) -> None:
    a_kiln(cast.technician, start_from=time(0), start_until=time(0))
    said = refusal(a_slot, cast.technician, on=date(2026, 3, 29), start=time(2, 30))
    assert said == (
        "start",
        "The clocks leap over this time on that day. Choose a time after it.",
    )


def test_hours_for_the_shut_off_are_those_of_the_clock_on_that_day(cast: School) -> None:
    """Off until 16:00: lit at 20:00 the bisque ends at 15:33, on the night of the change 16:33."""
    a_kiln(cast.technician, off_until=time(16))
    a_slot(cast.technician)
    field, says = refusal(a_slot, cast.technician, on=date(2026, 3, 28))
    assert field == "start"
    assert says == (
        "It would be off on Sunday 29 March 2026 at 16:33; Tall kiln may be shut off from 06:00 "
        "until 16:00 only. This program fits when it is lit from 09:30 to 19:25."
    )


def test_a_start_outside_the_kiln_s_hours_is_refused_with_those_that_fit(cast: School) -> None:
    kiln = a_kiln(cast.technician, start_from=time(7), start_until=time(9))
    said = refusal(a_slot, cast.technician, start=time(20))
    assert said[0] == "start"
    assert said[1] == (
        "Tall kiln may be lit from 07:00 until 09:00 only. The program takes 19 h 30 min, and no "
        "start that day ends within these hours. Choose another program, or let the kiln's hours "
        "be changed."
    )
    edit_kiln(kiln=kiln, by=cast.head, values={"off_until": time(4, 30), "off_from": time(2)})
    said = refusal(a_slot, cast.technician, start=time(9, 1))
    assert said[1].endswith("This program fits when it is lit from 07:00 to 08:55.")
    a_slot(cast.technician, start=time(8, 55))


def test_hours_may_pass_midnight(cast: School) -> None:
    a_kiln(
        cast.technician,
        start_from=time(21),
        start_until=time(1),
        off_from=time(14),
        off_until=time(22),
    )
    a_slot(cast.technician, start=time(0, 30))
    field, says = refusal(a_slot, cast.technician, on=date(2026, 3, 24), start=time(2))
    assert (field, says[:51]) == ("start", "Tall kiln may be lit from 21:00 until 01:00 only. T")


def test_a_kiln_is_taken_from_its_start_until_it_can_be_unloaded(cast: School) -> None:
    a_kiln(cast.technician, off_from=time(0), off_until=time(0))
    first = a_slot(cast.technician)  # unloaded on Saturday 21 March, 10:44
    field, says = refusal(a_slot, cast.teacher, on=date(2026, 3, 21), start=time(10))
    assert field == "start"
    assert says == (
        "Tall kiln is taken: Slow school bisque, cone 06 starts on Thursday 19 March 2026 at "
        "20:00 and can be unloaded on Saturday 21 March 2026 at 10:44. Choose another time or "
        "another kiln."
    )
    a_slot(cast.teacher, on=date(2026, 3, 21), start=time(18))
    # A firing before it that would still be hot.
    assert "is taken" in refusal(a_slot, cast.teacher, on=date(2026, 3, 18), start=time(20))[1]
    cancel_slot(slot=first, by=cast.technician, at=NOW)
    a_slot(cast.teacher, on=date(2026, 3, 19), start=time(18))


def test_a_kiln_that_was_unloaded_early_is_free_again(cast: School) -> None:
    a_kiln(cast.technician, off_from=time(0), off_until=time(0))
    slot = a_slot(cast.technician)
    early = slot.ends_at + timedelta(hours=6)
    Slot.objects.filter(pk=slot.pk).update(
        lit_at=slot.starts_at, off_at=slot.ends_at, unloaded_at=early
    )
    a_slot(cast.technician, on=date(2026, 3, 20), start=time(22))


def test_kilns_that_never_fire_together_keep_apart_until_the_other_is_off(cast: School) -> None:
    tall = a_kiln(cast.technician)
    small = a_kiln(cast.technician, name="Small kiln", not_together_with=[tall])
    third = a_kiln(cast.technician, name="Third kiln")
    a_slot(cast.technician, kiln=tall)  # off on Friday at 15:33
    field, says = refusal(a_slot, cast.technician, kiln=small, on=date(2026, 3, 20), start=time(15))
    assert field == "start"
    assert says == (
        "Small kiln never fires together with Tall kiln, which fires from Thursday 19 March 2026 "
        "at 20:00 until Friday 20 March 2026 at 15:33. Choose another time."
    )
    a_slot(cast.technician, kiln=small, on=date(2026, 3, 20), start=time(15, 33))
    a_slot(cast.technician, kiln=third)


def test_a_program_hotter_than_the_kiln_is_refused(cast: School) -> None:
    a_kiln(cast.technician, most_c=1200)
    glaze = Program.objects.get(name="Mid-range glaze, cone 6")
    field, says = refusal(a_slot, cast.technician, program=glaze)
    assert field == "program"
    assert says == (
        "Mid-range glaze, cone 6 goes to 1222 °C; Tall kiln takes 1200 °C at most. Choose "
        "another program or another kiln."
    )


def test_what_is_no_longer_used_or_not_the_studio_s_is_refused(cast: School) -> None:
    kiln = a_kiln(cast.technician)
    a_kiln(cast.elsewhere.head)
    theirs = program(cast.elsewhere.head)
    said = refusal(a_slot, cast.technician, program=theirs)
    assert said == ("program", "Choose one of the studio's programs.")
    bisque = retire_program(program=program(cast.head), by=cast.head)
    said = refusal(a_slot, cast.technician, program=bisque)
    assert said == ("program", "Slow school bisque, cone 06 is no longer used. Choose another one.")
    glaze = program(cast.head, "glaze")
    retire_kiln(kiln=kiln, by=cast.head)
    said = refusal(a_slot, cast.technician, kiln=kiln, program=glaze, start=time(6))
    assert said == ("kiln", "Tall kiln is no longer used. Choose another one.")
    said = refusal(a_slot, cast.technician, kiln=kiln, program=glaze, confirms=cast.student)
    assert said[0] == "confirms_shut_off"
    assert not Slot.objects.exists()


def test_dates_that_are_over_or_years_away_are_refused_and_this_morning_s_is_not(
    cast: School,
) -> None:
    a_kiln(cast.technician, off_from=time(0), off_until=time(0))
    a_slot(cast.technician, on=TODAY, start=time(6))
    said = refusal(a_slot, cast.technician, on=TODAY - timedelta(days=2))
    assert said == ("on", "This start is over. Choose a time to come.")
    assert "years away" in refusal(a_slot, cast.technician, on=date(2062, 3, 19))[1]
    assert refusal(a_slot, cast.technician, note="x" * 401)[0] == "note"


def weekly(by: User, **changed: Any) -> Any:
    kiln = changed.pop("kiln", None) or Kiln.objects.first() or a_kiln(by)
    values: dict[str, Any] = {
        "kiln": kiln,
        "program": changed.pop("program", None) or program(by),
        "on": THURSDAY,
        "start": time(20),
        "weeks": 4,
        "confirms": by,
        "by": by,
        "at": NOW,
    }
    return add_weekly_slots(**values | changed)


class TestEveryWeek:
    def test_slots_come_at_the_same_time_of_day_across_the_clock_change(self, cast: School) -> None:
        done = weekly(cast.technician)
        starts = [slot.starts_at for slot in done.made]
        assert [start.astimezone(cast.studio.zone).time() for start in starts] == [time(20)] * 4
        assert [start.hour for start in starts] == [19, 19, 18, 18]
        assert done.left_out == []
        assert Series.objects.get().slots.count() == 4

    def test_closed_days_and_taken_ones_are_left_out_and_said(self, cast: School) -> None:
        # Closed on Friday 27 March, when the second would have to be shut off.
        add_closure(
            studio=cast.studio,
            by=cast.head,
            name="Spring break",
            starts_on=date(2026, 3, 27),
            ends_on=date(2026, 3, 28),
            today=TODAY,
        )
        a_slot(cast.technician, on=date(2026, 4, 2), start=time(18))
        done = weekly(cast.technician)
        assert [slot.starts_at.date() for slot in done.made] == [THURSDAY, date(2026, 4, 9)]
        (closed, taken) = done.left_out
        assert closed == (date(2026, 3, 26), "The studio is closed (Spring break).")
        assert taken.on == date(2026, 4, 2)
        assert taken.reason.startswith("Tall kiln is taken")

    def test_where_no_date_is_left_nothing_is_planned(self, cast: School) -> None:
        a_slot(cast.technician, start=time(18))
        field, says = refusal(weekly, cast.technician, weeks=1)
        assert (field, says[:19]) == ("on", "Tall kiln is taken:")
        assert (Series.objects.count(), Slot.objects.count()) == (0, 1)

    def test_what_is_wrong_with_every_date_is_refused_at_its_field(self, cast: School) -> None:
        a_kiln(cast.technician, most_c=900)
        assert refusal(weekly, cast.technician)[0] == "program"
        for weeks in (0, MOST_WEEKS + 1):
            said = refusal(weekly, cast.technician, weeks=weeks)
            assert said == ("weeks", "Plan 1 to 40 weeks.")
        # Its own slots may not be in each other's way: a long hold of a week and more.
        long = add_program(
            studio=cast.studio,
            by=cast.head,
            program={
                "name": "Ten days",
                "firing": "bisque",
                "start_c": 20,
                "segments": [{"rate_c_per_h": 100, "target_c": 800, "hold_min": 9900}] * 2,
                "note": "",
            },
        )
        done = weekly(cast.technician, program=long, weeks=3, start=time(8))
        assert len(done.made) + len(done.left_out) == 3
        assert done.left_out


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("apart", [False, True])
def test_of_two_people_who_plan_at_once_one_gets_the_time_and_the_other_a_sentence(
    apart: bool,
) -> None:
    """The same kiln at overlapping times, or two that never fire together: no row of theirs is the
    same, so only the lock on the studio's kilns keeps them apart.
    """
    cast = school()
    tall = a_kiln(cast.technician)
    small = a_kiln(cast.technician, name="Small kiln", not_together_with=[tall])
    bisque = program(cast.technician)
    wanted = [(tall, time(20)), (small if apart else tall, time(19))] * 2
    together = threading.Barrier(len(wanted))
    said: list[str] = []

    def plan(kiln: Kiln, start: time) -> None:
        try:
            together.wait(timeout=20)
            add_slot(
                kiln=kiln,
                program=bisque,
                on=THURSDAY,
                start=start,
                confirms=cast.technician,
                by=cast.technician,
                at=NOW,
            )
            said.append("planned")
        except Refused as refused:
            said.append(str(refused))
        finally:
            connections.close_all()

    threads = [threading.Thread(target=plan, args=each) for each in wanted]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(said) == len(wanted)
    assert said.count("planned") == Slot.objects.count() == 1
    assert all("taken" in each or "never fires" in each for each in said if each != "planned")
