"""Dates for a class's milestones, proposed backwards from the day the pot is due.

Pure: dates in, dates out; kinds are the values of `planning.models.MilestoneKind`, in its order.
"""

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise

# How much of the lessons each step takes, in parts of a hundred: about two fifths until the plan
# is sent and three fifths at the table (common practice, no source). The dates can be moved.
SHARES_PCT = {"thumbnails": 15, "chosen": 5, "refined": 10, "plan_sent": 10, "built": 60}
KINDS = tuple(SHARES_PCT)


def proposed_milestones(
    lessons: Sequence[date], *, given_on: date, due_on: date
) -> dict[str, date]:
    """A date for each kind, in the order of the job, none before `given_on` or after `due_on`.

    `lessons` are the class's meeting dates in order; those from `given_on` to `due_on` count,
    both included. The pot is built by the last of them. A class without any works by calendar
    days. Where there are as many days as steps, no two steps end on the same day.

    >>> proposed_milestones([], given_on=date(2026, 3, 2), due_on=date(2026, 3, 12))["chosen"]
    datetime.date(2026, 3, 4)
    """
    days = [day for day in lessons if given_on <= day <= due_on]
    if not days:
        days = [given_on + timedelta(n) for n in range((due_on - given_on).days + 1)]
    return dict(zip(KINDS, (days[place] for place in _places(len(days))), strict=True))


def out_of_order(dates: Sequence[tuple[str, date]]) -> tuple[str, str] | None:
    """The first (step, step before it) of which the later one has the earlier date."""
    for (before, day), (step, next_day) in pairwise(dates):
        if next_day < day:
            return step, before
    return None


def _places(count: int) -> list[int]:
    """Which of `count` days ends each step, counted back from the last one."""
    apart = 1 if count >= len(KINDS) else 0
    places: list[int] = []
    still_pct, after = 0, count - 1 + apart
    for least, kind in reversed(list(enumerate(KINDS))):
        wanted = count - 1 - (count * still_pct + 50) // 100
        after = max(min(wanted, after - apart), least * apart, 0)
        places.append(after)
        still_pct += SHARES_PCT[kind]
    return places[::-1]
