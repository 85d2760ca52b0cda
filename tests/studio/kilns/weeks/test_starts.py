"""Starts lie within a kiln's hours, told by the clock on the wall, and the sets that clash are
those of pairs looked at hour by hour."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import combinations
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from studio.kilns.hours import Span
from studio.kilns.weeks.inputs import Hours
from studio.kilns.weeks.starts import clashes, in_the_way, possible_starts

from .tiny import in_the_way as pair_in_the_way
from .tiny import kiln, start

AMSTERDAM = ZoneInfo("Europe/Amsterdam")
clocks = st.times().map(lambda each: each.replace(minute=0, second=0, microsecond=0))


def allowed(at: datetime, begin: time, end: time) -> bool:
    wall = at.astimezone(AMSTERDAM).time()
    if begin == end:
        return True
    return begin <= wall <= end if begin < end else wall >= begin or wall <= end


@settings(max_examples=40, deadline=None)
@given(st.tuples(clocks, clocks), st.tuples(clocks, clocks), st.floats(2, 30), st.floats(0, 20))
def test_no_start_is_outside_the_hours_of_its_kiln(
    lit: Span, off: Span, fires_h: float, cools_h: float
) -> None:
    hours = {"k": Hours(lit, off, {"slow": (fires_h, fires_h + cools_h)})}
    days = [date(2026, 3, 28), date(2026, 3, 29)]  # the clocks leap in the night between
    for each in possible_starts(hours, days, AMSTERDAM):
        assert allowed(each.lit_at, *lit)
        assert allowed(each.off_at, *off)
        assert (
            timedelta()
            <= each.off_at - each.lit_at - timedelta(hours=fires_h)
            < timedelta(minutes=1)
        )
        assert each.lit_at.astimezone(AMSTERDAM).date() in days
        assert each.off_at <= each.unload_at


def test_first_and_last_start_of_a_day_that_end_within_the_hours_are_offered() -> None:
    hours = {"k": Hours((time(7), time(9)), (time(16), time(21, 30)), {"slow": (13.0, 24.0)})}
    found = possible_starts(hours, [date(2026, 3, 2)], ZoneInfo("UTC"))
    assert [each.lit_at for each in found] == [
        datetime(2026, 3, 2, 7, tzinfo=UTC),
        datetime(2026, 3, 2, 8, 30, tzinfo=UTC),
    ]


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from("abc"), st.integers(0, 12), st.integers(1, 4), st.integers(0, 4)),
        max_size=6,
    )
)
def test_exactly_the_pairs_that_hold_a_kiln_at_once_are_in_a_set(
    drawn: list[tuple[str, int, int, int]],
) -> None:
    kilns = [kiln("a", 1, "b"), kiln("b", 1), kiln("c", 1)]
    starts = [
        start(f"S{n}", of, lit / 4, takes=takes / 4, cools=cools / 4)
        for n, (of, lit, takes, cools) in enumerate(drawn)
    ]
    sets = clashes(kilns, starts)
    apart = {each.id: each.apart for each in kilns}
    for one, other in combinations(range(len(starts)), 2):
        told = any({one, other} <= set(each) for each in sets)
        assert told == pair_in_the_way(starts[one], starts[other], kilns)
        assert told == in_the_way(starts[one], starts[other], apart)
