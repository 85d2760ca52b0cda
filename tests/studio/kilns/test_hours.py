"""Spans of hours and the studio's clock."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.kilns.hours import after, moment, starts_that_fit, within

AMSTERDAM = ZoneInfo("Europe/Amsterdam")
PLAIN = date(2026, 3, 2)
NIGHT = date(2026, 3, 28)
"""Summer time begins at 01:00 UTC on the last Sunday of March: Directive 2000/84/EC, article 2."""


@pytest.mark.parametrize(
    ("at", "begin", "end", "inside"),
    [
        (time(7), time(7), time(9), True),
        (time(9), time(7), time(9), True),
        (time(9, 1), time(7), time(9), False),
        (time(23), time(21, 30), time(6), True),
        (time(6), time(21, 30), time(6), True),
        (time(6, 1), time(21, 30), time(6), False),
        (time(3), time(8), time(8), True),
    ],
)
def test_both_ends_belong_to_a_span_which_may_pass_midnight(
    at: time, begin: time, end: time, inside: bool
) -> None:
    assert within(at, begin, end) is inside


times = st.builds(time, st.integers(0, 23), st.integers(0, 59))


@given(times, times, times)
def test_whatever_is_outside_a_span_is_inside_the_rest_of_the_day(
    at: time, begin: time, end: time
) -> None:
    if begin == end:
        assert within(at, begin, end)
    elif at not in {begin, end}:
        assert within(at, begin, end) != within(at, end, begin)


def test_a_local_time_is_a_moment_in_utc_unless_the_clocks_leap_over_it() -> None:
    assert moment(NIGHT, time(20), AMSTERDAM) == datetime(2026, 3, 28, 19, tzinfo=UTC)
    assert moment(date(2026, 3, 29), time(2, 30), AMSTERDAM) is None
    assert moment(date(2026, 3, 29), time(3), AMSTERDAM) == datetime(2026, 3, 29, 1, tzinfo=UTC)
    # 25 October: 02:30 comes twice; the first is still summer time.
    twice = moment(date(2026, 10, 25), time(2, 30), AMSTERDAM)
    assert twice == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)


@given(
    st.datetimes(datetime(2020, 1, 1), datetime(2030, 1, 1)),  # noqa: DTZ001 -- local
    st.floats(0, 100),
)
def test_hours_later_is_never_early_nor_a_minute_late(local: datetime, hours: float) -> None:
    start = local.replace(second=0, microsecond=0, tzinfo=UTC)
    late = after(start, hours) - start - timedelta(hours=hours)
    assert timedelta(seconds=-1) < late < timedelta(minutes=1)
    assert after(start, hours).second == 0


def test_a_whole_number_of_minutes_is_not_rounded_up() -> None:
    start = datetime(2026, 3, 2, 7, tzinfo=UTC)
    assert after(start, 13 + 20 / 60) == datetime(2026, 3, 2, 20, 20, tzinfo=UTC)


def fits(
    start: tuple[time, time], off: tuple[time, time], hours: float, on: date = PLAIN
) -> list[str]:
    found = starts_that_fit(start, off, hours, on, AMSTERDAM)
    return [f"{first:%H:%M}-{last:%H:%M}" for first, last in found]


def test_starts_fit_when_the_shut_off_is_within_its_hours_too() -> None:
    assert fits((time(7), time(9)), (time(16), time(21, 30)), 13) == ["07:00-08:30"]
    assert fits((time(6), time(22)), (time(6), time(9)), 12) == ["18:00-21:00"]
    assert fits((time(7), time(9)), (time(16), time(17)), 13) == []
    # Any hour, and off by day: two runs of starts.
    assert fits((time(0), time(0)), (time(6), time(12)), 10) == ["00:00-02:00", "20:00-23:55"]


def test_on_the_night_of_the_change_starts_are_an_hour_earlier() -> None:
    """The night of 28 March has 23 hours, so 12 hours from 20:00 end at 09:00."""
    assert fits((time(16), time(22)), (time(6), time(9)), 12, NIGHT) == ["17:00-20:00"]
    # What the clocks leap over is not offered.
    leap = fits((time(1), time(4)), (time(0), time(0)), 1, date(2026, 3, 29))
    assert leap == ["01:00-01:55", "03:00-04:00"]


@given(st.tuples(times, times), st.tuples(times, times), st.floats(0.1, 60))
def test_whatever_is_offered_fits(
    start: tuple[time, time], off: tuple[time, time], hours: float
) -> None:
    for first, last in starts_that_fit(start, off, hours, PLAIN, AMSTERDAM):
        for each in (first, last):
            begun = moment(PLAIN, each, AMSTERDAM)
            assert begun is not None
            assert within(each, *start)
            assert within(after(begun, hours).astimezone(AMSTERDAM).time(), *off)
