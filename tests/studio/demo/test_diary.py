from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from studio.demo.clock import Clock
from studio.demo.diary import Diary

ZONE = ZoneInfo("Europe/London")
MOMENTS = st.datetimes(datetime(2025, 1, 1), datetime(2030, 1, 1)).map(  # noqa: DTZ001 -- zone follows
    lambda naive: naive.replace(tzinfo=UTC)
)


def diary_of(now: datetime, weekdays: set[int], shift: float) -> Diary:
    clock = Clock(now, ZONE)
    days = [clock.day(offset) for offset in range(-40, 111)]
    lessons = [day for day in days if day.weekday() in weekdays]
    return Diary(clock, lessons, clock.day(-38), shift)


def test_a_day_is_counted_from_the_studios_own_date() -> None:
    """Half an hour before midnight in UTC it is the next day in a London summer."""
    clock = Clock(datetime(2026, 7, 1, 23, 30, tzinfo=UTC), ZONE)
    assert clock.today == date(2026, 7, 2)
    assert clock.day(-2) == date(2026, 6, 30)


def test_a_moment_of_today_that_is_still_to_come_is_now() -> None:
    now = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
    assert Clock(now, ZONE).at(date(2026, 3, 2), 15) == now


@given(MOMENTS, st.sets(st.integers(0, 6), min_size=1, max_size=4), st.floats(0, 1))
def test_on_any_day_the_steps_are_in_order_and_none_is_still_to_come(
    now: datetime, weekdays: set[int], shift: float
) -> None:
    diary = diary_of(now, weekdays, shift)
    steps = [
        *(diary.drawing(number, 6) for number in range(1, 7)),
        diary.choosing(),
        *(diary.refining(number) for number in (1, 2)),
    ]
    assert steps == sorted(steps)
    for step in (*steps, diary.planning(), diary.sending(), diary.deciding(), diary.deciding(2)):
        assert step <= now
        assert step.astimezone(ZONE).date() >= diary.given_on


def test_a_plan_is_answered_on_the_day_after_it_was_sent() -> None:
    diary = diary_of(datetime(2026, 11, 25, 12, tzinfo=UTC), {1, 4}, 0.5)
    assert diary.deciding().date() - diary.sending().date() == timedelta(days=1)
    assert diary.sending() < diary.deciding() < diary.sending(2)


def test_a_class_that_has_not_met_yet_worked_on_the_day_of_the_brief() -> None:
    now = datetime(2026, 11, 25, 12, tzinfo=UTC)
    diary = Diary(Clock(now, ZONE), [], date(2026, 11, 20), 0.0)
    assert diary.choosing().date() == date(2026, 11, 20)
