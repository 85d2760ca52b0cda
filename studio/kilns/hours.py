"""Hours in which a kiln may be lit and shut off, and the studio's clock. Pure.

Hours are local times of day. A span whose end is before its begin passes midnight; one whose end
is its begin is the whole day. Both ends belong to it. Firings last in UTC, so that a night on which
the clocks change is as long as it is.
"""

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, time, timedelta
from math import ceil
from zoneinfo import ZoneInfo

Span = tuple[time, time]

MINUTES_A_DAY = 24 * 60
STEP_MIN = 5
"""Starts are offered to five minutes: nobody lights a kiln to the minute."""

SLOWER = 0.25
"""So much longer a dense load may take to cool than the kiln's time constant says (common practice,
no source: thick shelves and pots packed close hold their heat)."""

QUARTER = timedelta(minutes=15)


def within(at: time, begin: time, end: time) -> bool:
    """Whether a time of day is within a span of hours.

    >>> within(time(1), time(21, 30), time(6)), within(time(12), time(21, 30), time(6))
    (True, False)
    """
    span = _minutes(end) - _minutes(begin)
    if not span:
        return True
    return (_minutes(at) - _minutes(begin)) % MINUTES_A_DAY <= span % MINUTES_A_DAY


def moment(on: date, at: time, zone: ZoneInfo) -> datetime | None:
    """A local date and time as UTC; None for a time that the clocks leap over. Of a time that
    comes twice, the first.

    >>> moment(date(2026, 3, 29), time(2, 30), ZoneInfo("Europe/Amsterdam")) is None
    True
    """
    local = datetime.combine(on, at, zone)
    found = local.astimezone(UTC)
    return (
        found if found.astimezone(zone).replace(tzinfo=None) == datetime.combine(on, at) else None
    )


def midnight(on: date, zone: ZoneInfo) -> datetime:
    """With which a day begins, as UTC.

    >>> f"{midnight(date(2026, 3, 30), ZoneInfo('Europe/Amsterdam')):%d %H:%M}"
    '29 22:00'
    """
    return datetime.combine(on, time(), zone).astimezone(UTC)


def after(start: datetime, hours: float) -> datetime:
    """So many hours later, up to the full minute. Counted in UTC."""
    return start.astimezone(UTC) + timedelta(minutes=ceil(round(hours * 60, 6)))


def unload_window(off: datetime, cool: datetime) -> tuple[datetime, datetime]:
    """From when until when a kiln that is off is expected to come below its unloading temperature.

    `cool` is when its time constant says so. Both ends to the next quarter of an hour, so that none
    is earlier than what was computed.

    >>> first, last = unload_window(
    ...     datetime(2026, 3, 20, 9, 12, tzinfo=UTC), datetime(2026, 3, 20, 19, 12, tzinfo=UTC)
    ... )
    >>> f"{first:%d %H:%M} to {last:%d %H:%M}"
    '20 19:15 to 20 21:45'
    """
    return _quarter_after(cool), _quarter_after(cool + SLOWER * (cool - off))


def starts_that_fit(
    start: Span, off: Span, duration_h: float, on: date, zone: ZoneInfo
) -> tuple[Span, ...]:
    """From when until when a kiln may be lit on a date, so that a firing of this length also ends
    within the hours for its shut-off. Empty where nothing fits.

    >>> starts_that_fit(
    ...     (time(7), time(9)), (time(16), time(21, 30)), 13, date(2026, 3, 2), ZoneInfo("UTC")
    ... )
    ((datetime.time(7, 0), datetime.time(8, 30)),)
    """
    fits = [
        minute
        for minute in range(0, MINUTES_A_DAY, STEP_MIN)
        if within(_time(minute), *start)
        and (begun := moment(on, _time(minute), zone))
        and within(after(begun, duration_h).astimezone(zone).time(), *off)
    ]
    return tuple((_time(first), _time(last)) for first, last in _runs(fits))


def _quarter_after(when: datetime) -> datetime:
    over = (when - datetime.min.replace(tzinfo=UTC)) % QUARTER
    return when + (QUARTER - over) % QUARTER


def _runs(minutes: Sequence[int]) -> Iterator[tuple[int, int]]:
    """First and last of each unbroken run."""
    begins = [m for m in minutes if m - STEP_MIN not in minutes]
    ends = [m for m in minutes if m + STEP_MIN not in minutes]
    yield from zip(begins, ends, strict=True)


def _minutes(at: time) -> int:
    return at.hour * 60 + at.minute


def _time(minute: int) -> time:
    return time(*divmod(minute, 60))
