"""Meeting dates against calendars worked by hand, and lessons counted."""

import json
import subprocess
import sys
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.people.calendar import (
    CyclePattern,
    Pattern,
    WeekdayPattern,
    cycle_days,
    lessons_between,
    lessons_late,
    meeting_dates,
    nth_lesson_before,
    pattern_as_json,
    pattern_from_json,
)

MARCH = [date(2026, 3, day) for day in range(1, 32)]


def march(*days: int) -> list[date]:
    return [date(2026, 3, day) for day in days]


def test_weekdays_without_the_closed_ones() -> None:
    """1 March 2026 is a Sunday; Mondays and Thursdays, with the 12th to the 16th closed."""
    pattern = WeekdayPattern(frozenset({0, 3}))
    found = meeting_dates(pattern, MARCH[0], MARCH[-1], [(MARCH[11], MARCH[15])])
    assert found == march(2, 5, 9, 19, 23, 26, 30)


# A six-day cycle from Monday 2 March 2026, school on Monday to Friday, shut on Thursday 5 and
# Friday 6 March. Worked by hand:
#   Mon 2: 1   Tue 3: 2   Wed 4: 3   Thu 5: –   Fri 6: –
#   Mon 9: 4   Tue 10: 5  Wed 11: 6  Thu 12: 1  Fri 13: 2
#   Mon 16: 3  Tue 17: 4  Wed 18: 5  Thu 19: 6  Fri 20: 1
SIX = CyclePattern(length=6, meets_on=frozenset({1, 4}), counts_from=date(2026, 3, 2))
SHUT = [(date(2026, 3, 5), date(2026, 3, 6))]


def test_a_rotating_cycle_waits_on_closed_days_and_weekends() -> None:
    counted = cycle_days(SIX, date(2026, 3, 2), date(2026, 3, 20), SHUT)
    assert [number for _, number in counted] == [1, 2, 3, 4, 5, 6, 1, 2, 3, 4, 5, 6, 1]
    assert [day.day for day, _ in counted] == [2, 3, 4, 9, 10, 11, 12, 13, 16, 17, 18, 19, 20]
    found = meeting_dates(SIX, date(2026, 3, 2), date(2026, 3, 20), SHUT)
    assert found == march(2, 9, 12, 17, 20)


def test_a_class_that_starts_later_finds_its_place_in_the_cycle() -> None:
    assert meeting_dates(SIX, date(2026, 3, 11), date(2026, 3, 20), SHUT) == march(12, 17, 20)


def test_the_cycle_counts_back_too() -> None:
    """The same calendar told as: Tuesday 17 March is day 4."""
    told = CyclePattern(
        length=6, meets_on=frozenset({1, 4}), counts_from=date(2026, 3, 17), first_day=4
    )
    assert meeting_dates(told, date(2026, 3, 2), date(2026, 3, 20), SHUT) == march(2, 9, 12, 17, 20)


def test_a_cycle_counted_from_a_day_off_starts_on_the_next_school_day() -> None:
    """Told from Saturday 28 February, day 1 is Monday 2 March."""
    told = CyclePattern(length=6, meets_on=frozenset({1, 4}), counts_from=date(2026, 2, 28))
    assert meeting_dates(told, date(2026, 3, 1), date(2026, 3, 20), SHUT) == march(2, 9, 12, 17, 20)


def test_a_school_week_may_have_other_days() -> None:
    """Sunday to Thursday, a two-day cycle: 1 March is day 1, Friday and Saturday are off."""
    week = frozenset({6, 0, 1, 2, 3})
    pattern = CyclePattern(2, frozenset({1}), date(2026, 3, 1), 1, week)
    assert meeting_dates(pattern, MARCH[0], date(2026, 3, 12)) == march(1, 3, 5, 9, 11)


def test_nothing_meets_when_the_last_day_is_before_the_first() -> None:
    assert meeting_dates(WeekdayPattern(frozenset(range(7))), MARCH[5], MARCH[4]) == []


def test_a_range_without_end_is_refused() -> None:
    with pytest.raises(ValueError, match="longer than 800 days"):
        meeting_dates(WeekdayPattern(frozenset({0})), date(1, 1, 1), date(9999, 12, 31))


days = st.dates(date(2025, 8, 1), date(2026, 7, 31))
cycles = st.builds(
    lambda length, meets, day, first: CyclePattern(
        length, frozenset(number % length + 1 for number in meets), day, first % length + 1
    ),
    st.integers(2, 10),
    st.sets(st.integers(0, 9), min_size=1),
    days,
    st.integers(0, 9),
)
patterns = st.one_of(
    st.builds(WeekdayPattern, st.frozensets(st.integers(0, 6), min_size=1)), cycles
)
spans = st.lists(
    st.tuples(days, st.integers(0, 20)).map(
        lambda span: (span[0], span[0] + span[1] * timedelta(1))
    ),
    max_size=5,
)


@given(patterns, days, st.integers(0, 200), spans)
def test_dates_are_open_ordered_and_within_the_range(
    pattern: Pattern, first: date, length: int, closures: list[tuple[date, date]]
) -> None:
    last = first + timedelta(length)
    found = meeting_dates(pattern, first, last, closures)
    assert found == sorted(set(found))
    assert all(first <= day <= last for day in found)
    assert not any(start <= day <= end for day in found for start, end in closures)


@given(cycles, days, st.integers(1, 120), st.integers(0, 120), spans)
def test_cutting_the_range_in_two_gives_the_same_dates(
    pattern: CyclePattern, first: date, length: int, cut: int, closures: list[tuple[date, date]]
) -> None:
    last, middle = first + timedelta(length), first + timedelta(min(cut, length))
    whole = cycle_days(pattern, first, last, closures)
    after = cycle_days(pattern, middle + timedelta(1), last, closures)
    assert whole == cycle_days(pattern, first, middle, closures) + after


@given(patterns)
def test_a_pattern_is_kept_and_read_back(pattern: Pattern) -> None:
    assert pattern_from_json(json.loads(json.dumps(pattern_as_json(pattern)))) == pattern


def test_a_class_without_a_pattern_has_none() -> None:
    assert pattern_from_json({}) is None


# Lessons on Mondays and Thursdays of March.
LESSONS = march(2, 5, 9, 12, 16, 19, 23, 26, 30)


def test_lessons_between_two_days_leave_out_the_first_and_count_the_last() -> None:
    assert lessons_between(LESSONS, date(2026, 3, 5), date(2026, 3, 12)) == march(9, 12)
    assert lessons_between(LESSONS, date(2026, 3, 5), date(2026, 3, 16), march(12)) == march(9, 16)


@pytest.mark.parametrize(
    ("due", "n", "lesson"), [(13, 0, 12), (12, 0, 12), (12, 1, 9), (12, 3, 2), (31, 8, 2)]
)
def test_lessons_are_counted_back_from_the_one_that_is_due(due: int, n: int, lesson: int) -> None:
    assert nth_lesson_before(LESSONS, date(2026, 3, due), n) == date(2026, 3, lesson)


@pytest.mark.parametrize(("due", "n"), [(1, 0), (12, 4), (12, -1)])
def test_there_may_be_no_such_lesson(due: int, n: int) -> None:
    assert nth_lesson_before(LESSONS, date(2026, 3, due), n) is None


@pytest.mark.parametrize(
    ("today", "absent", "late"),
    [
        (12, [], 0),  # due today: there is still today
        (15, [], 0),  # no lesson since
        (16, [], 1),
        (19, [], 2),
        (16, [16], 0),  # a missed lesson doesn't count
        (16, [5], 0),  # nor does one missed before: four lessons attended, four given
        (19, [5], 1),
        (30, [2, 5, 9, 12], 1),  # away for all of it: four lessons from the 16th on
        (9, [], 0),
    ],
)
def test_lateness_runs_in_lessons_attended(today: int, absent: list[int], late: int) -> None:
    """Set on 2 March, due on the 12th: four lessons (2, 5, 9, 12)."""
    found = lessons_late(
        LESSONS,
        starts_on=date(2026, 3, 2),
        due=date(2026, 3, 12),
        today=date(2026, 3, today),
        absent=march(*absent),
    )
    assert found == late


def test_it_imports_no_django() -> None:
    """The module is loaded by itself, since its package has models beside it."""
    source = "import runpy, sys; runpy.run_path(sys.argv[1]); assert 'django' not in sys.modules"
    path = sys.modules[CyclePattern.__module__].__file__
    assert path is not None
    subprocess.run([sys.executable, "-c", source, path], check=True)
