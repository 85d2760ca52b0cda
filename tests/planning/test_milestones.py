"""Milestones proposed over calendars that were worked out by hand."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.milestones import KINDS, SHARES_PCT, out_of_order, proposed_milestones
from planning.models import MilestoneKind

MONDAY = date(2026, 3, 2)


def on(*days: int, month: int = 3) -> list[date]:
    return [date(2026, month, day) for day in days]


def test_every_milestone_has_a_share_and_the_shares_make_the_whole() -> None:
    assert list(MilestoneKind.values) == list(KINDS)
    assert sum(SHARES_PCT.values()) == 100


def test_twenty_lessons_split_by_the_shares() -> None:
    # Mondays and Wednesdays from 2 March to 6 May 2026: 20 lessons by the calendar.
    mondays = [MONDAY + timedelta(7 * n) for n in range(10)]
    lessons = sorted(mondays + [day + timedelta(2) for day in mondays])
    found = proposed_milestones(lessons, given_on=MONDAY, due_on=date(2026, 5, 6))
    # 15, 5, 10, 10 and 60 of a hundred: after lessons 3, 4, 6, 8 and 20.
    assert found == {
        "thumbnails": date(2026, 3, 9),
        "chosen": date(2026, 3, 11),
        "refined": date(2026, 3, 18),
        "plan_sent": date(2026, 3, 25),
        "built": date(2026, 5, 6),
    }


def test_the_pot_is_built_by_the_last_lesson_before_a_due_date_without_one() -> None:
    lessons = on(2, 4, 9, 11, 16, 18)
    found = proposed_milestones(lessons, given_on=MONDAY, due_on=date(2026, 3, 22))
    assert found["built"] == date(2026, 3, 18)


def test_lessons_outside_the_assignment_do_not_count() -> None:
    inside = on(9, 11, 16, 18, 23)
    found = proposed_milestones(
        [*on(2, 4), *inside, *on(25, 30)], given_on=date(2026, 3, 9), due_on=date(2026, 3, 24)
    )
    assert list(found.values()) == inside


def test_fewer_lessons_than_steps_share_them() -> None:
    lessons = on(3, 10, 17)
    found = proposed_milestones(lessons, given_on=MONDAY, due_on=date(2026, 3, 20))
    # Counted back from the last: 60 of a hundred of three lessons is two.
    assert list(found.values()) == on(3, 3, 3, 3, 17)


def test_one_lesson_takes_all() -> None:
    found = proposed_milestones(on(10), given_on=MONDAY, due_on=date(2026, 3, 20))
    assert set(found.values()) == {date(2026, 3, 10)}


def test_a_class_without_meeting_dates_works_by_the_calendar() -> None:
    # 21 days, 2 to 22 March: 60 of a hundred are 12.6, so 13 days stay for building.
    found = proposed_milestones([], given_on=MONDAY, due_on=date(2026, 3, 22))
    assert list(found.values()) == on(4, 5, 7, 9, 22)


def test_a_class_that_never_meets_in_the_time_works_by_the_calendar_too() -> None:
    found = proposed_milestones(on(2, month=6), given_on=MONDAY, due_on=date(2026, 3, 22))
    assert found["built"] == date(2026, 3, 22)


@given(
    days=st.sets(st.integers(0, 400), max_size=90).map(sorted),
    length=st.integers(1, 400),
)
def test_milestones_are_lessons_in_order_within_the_time(days: list[int], length: int) -> None:
    lessons = [MONDAY + timedelta(n) for n in days]
    due_on = MONDAY + timedelta(length)
    found = proposed_milestones(lessons, given_on=MONDAY, due_on=due_on)
    dates = list(found.values())
    within = [day for day in lessons if day <= due_on] or [
        MONDAY + timedelta(n) for n in range(length + 1)
    ]
    assert list(found) == list(KINDS)
    assert set(dates) <= set(within)
    assert dates == sorted(dates)
    assert dates[-1] == within[-1]
    if len(within) >= len(KINDS):
        assert len(set(dates)) == len(KINDS)


@given(count=st.integers(5, 300))
def test_no_step_is_more_than_a_lesson_from_its_share(count: int) -> None:
    lessons = [MONDAY + timedelta(n) for n in range(count)]
    found = proposed_milestones(lessons, given_on=MONDAY, due_on=lessons[-1])
    ended = 0
    for kind in KINDS:
        ended += SHARES_PCT[kind]
        place = lessons.index(found[kind]) + 1
        # Exact from ten lessons on; below, every step still gets a lesson of its own.
        assert abs(place - count * ended / 100) <= (1 if count >= 20 else 2)


@pytest.mark.parametrize(
    ("days", "wrong"),
    [((2, 3, 4), None), ((2, 2, 2), None), ((2, 5, 4), ("c", "b")), ((3, 2, 1), ("b", "a"))],
)
def test_the_first_step_that_is_early_is_named(
    days: tuple[int, ...], wrong: tuple[str, str] | None
) -> None:
    assert out_of_order(list(zip("abc", on(*days), strict=True))) == wrong
