"""Meeting dates and lessons counted. Dates in, dates out; no database.

Weekdays are 0 (Monday) to 6 (Sunday) as in `datetime.date.weekday`.
"""

from bisect import bisect_right
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

LONGEST_DAYS = 800
LONGEST_CYCLE = 20
WEEKDAYS = range(7)
SCHOOL_WEEK = frozenset(range(5))
DAY = timedelta(days=1)

Span = tuple[date, date]


@dataclass(frozen=True)
class WeekdayPattern:
    """Lessons on these weekdays."""

    weekdays: frozenset[int]


@dataclass(frozen=True)
class CyclePattern:
    """Lessons on chosen days of a cycle that runs on from school day to school day.

    The cycle's days are 1 to `length`. School days are the given weekdays that aren't closed;
    on other days the cycle waits. The first school day from `counts_from` on is `first_day`.
    """

    length: int
    meets_on: frozenset[int]
    counts_from: date
    first_day: int = 1
    school_week: frozenset[int] = SCHOOL_WEEK


Pattern = WeekdayPattern | CyclePattern


def meeting_dates(
    pattern: Pattern, starts_on: date, ends_on: date, closures: Iterable[Span] = ()
) -> list[date]:
    """The class's dates from the first day to the last, both included.

    Raises ValueError where the days run further than `LONGEST_DAYS`.
    """
    closed = list(closures)
    if isinstance(pattern, WeekdayPattern):
        days = school_days(pattern.weekdays, starts_on, ends_on, closed)
        return list(days)
    counted = cycle_days(pattern, starts_on, ends_on, closed)
    return [day for day, number in counted if number in pattern.meets_on]


def cycle_days(
    pattern: CyclePattern, starts_on: date, ends_on: date, closures: Collection[Span] = ()
) -> list[tuple[date, int]]:
    """Each school day of the range with its number in the cycle."""
    week = pattern.school_week
    if starts_on >= pattern.counts_from:
        skipped = _count(school_days(week, pattern.counts_from, starts_on - DAY, closures))
    else:
        skipped = -_count(school_days(week, starts_on, pattern.counts_from - DAY, closures))
    return [
        (day, (pattern.first_day - 1 + skipped + place) % pattern.length + 1)
        for place, day in enumerate(school_days(week, starts_on, ends_on, closures))
    ]


def school_days(
    week: Collection[int], first: date, last: date, closures: Collection[Span] = ()
) -> Iterator[date]:
    """The days from first to last on these weekdays that aren't closed."""
    if (last - first).days > LONGEST_DAYS:
        raise ValueError(f"{first} to {last} is longer than {LONGEST_DAYS} days")
    for number in range((last - first).days + 1):
        day = first + number * DAY
        if day.weekday() in week and not any(start <= day <= end for start, end in closures):
            yield day


def pattern_as_json(pattern: Pattern) -> dict[str, Any]:
    """As it is kept with the class."""
    if isinstance(pattern, WeekdayPattern):
        return {"kind": "weekdays", "weekdays": sorted(pattern.weekdays)}
    return {
        "kind": "cycle",
        "length": pattern.length,
        "meets_on": sorted(pattern.meets_on),
        "counts_from": pattern.counts_from.isoformat(),
        "first_day": pattern.first_day,
        "school_week": sorted(pattern.school_week),
    }


def pattern_from_json(kept: dict[str, Any]) -> Pattern | None:
    """The pattern of a class; None for a class whose dates are all set by hand."""
    match kept.get("kind"):
        case "weekdays":
            return WeekdayPattern(frozenset(kept["weekdays"]))
        case "cycle":
            return CyclePattern(
                length=kept["length"],
                meets_on=frozenset(kept["meets_on"]),
                counts_from=date.fromisoformat(kept["counts_from"]),
                first_day=kept["first_day"],
                school_week=frozenset(kept["school_week"]),
            )
    return None


# Lessons counted. `lessons` are a class's dates that are held, in order.


def lessons_between(
    lessons: Sequence[date], after: date, until: date, absent: Collection[date] = ()
) -> list[date]:
    """Lessons after the one day up to and with the other, without those missed."""
    first, last = bisect_right(lessons, after), bisect_right(lessons, until)
    return [day for day in lessons[first:last] if day not in absent]


def nth_lesson_before(lessons: Sequence[date], due: date, n: int) -> date | None:
    """The lesson n before the one that is due: 0 is the last lesson on or before `due`.

    None where the class has no such lesson.
    """
    place = bisect_right(lessons, due) - 1 - n
    return lessons[place] if n >= 0 and place >= 0 else None


def lessons_late(
    lessons: Sequence[date],
    *,
    starts_on: date,
    due: date,
    today: date,
    absent: Collection[date] = (),
) -> int:
    """How many lessons somebody is late by, 0 while there is time.

    Everybody has as many lessons as the class has from `starts_on` up to `due`. A missed one
    isn't counted against its student: the time runs in lessons attended. Today's lesson counts
    as soon as the day has come.
    """
    given = lessons_between(lessons, starts_on - DAY, due)
    used = lessons_between(lessons, starts_on - DAY, today, absent)
    return max(0, len(used) - len(given)) if today > due else 0


def _count(days: Iterable[date]) -> int:
    return sum(1 for _ in days)
