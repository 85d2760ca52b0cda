"""When a firing could be lit within the hours of each kiln, and which of them can't both be.

A kiln is taken from when it is lit until it can be unloaded; kilns that never fire together are in
each other's way from when one is lit until it is off.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime
from itertools import combinations
from zoneinfo import ZoneInfo

from studio.kilns.hours import after, moment, starts_that_fit

from .inputs import Hours, Kiln, Start


def possible_starts(
    hours: Mapping[str, Hours], days: Sequence[date], zone: ZoneInfo
) -> tuple[Start, ...]:
    """For each kiln, day and program the first and the last start of each span that fits.

    The first leaves the evening to a kiln that never fires together with this one; the last waits
    for pots that come ready in the course of the day.
    """
    return tuple(
        start
        for kiln, each in hours.items()
        for day in days
        for program in each.programs
        for start in _of_a_day(kiln, each, program, day, zone)
    )


def _of_a_day(kiln: str, hours: Hours, program: str, day: date, zone: ZoneInfo) -> Iterator[Start]:
    off_h, unload_h = hours.programs[program]
    spans = starts_that_fit(hours.start, hours.off, off_h, day, zone)
    times = sorted({at for span in spans for at in span})
    for lit in [lit for at in times if (lit := moment(day, at, zone)) is not None]:
        name = f"{kiln} {program} {lit.astimezone(zone):%Y-%m-%d %H:%M}"
        yield Start(name, kiln, program, lit, after(lit, off_h), after(lit, unload_h))


def in_the_way(one: Start, other: Start, apart: Mapping[str, frozenset[str]]) -> bool:
    """Whether two firings can't both be."""
    if one.kiln == other.kiln:
        return _overlap((one.lit_at, one.unload_at), (other.lit_at, other.unload_at))
    if other.kiln in apart[one.kiln] or one.kiln in apart[other.kiln]:
        return _overlap((one.lit_at, one.off_at), (other.lit_at, other.off_at))
    return False


def _overlap(one: tuple[datetime, datetime], other: tuple[datetime, datetime]) -> bool:
    return one[0] < other[1] and other[0] < one[1]


def clashes(kilns: Iterable[Kiln], starts: Sequence[Start]) -> list[tuple[int, ...]]:
    """Sets of starts, by their place in `starts`, of which at most one can be.

    Firings that hold a kiln, or one of two kilns apart, at one moment; only the moments at which
    one is lit need to be looked at, and no set is given that is part of another.
    """
    kilns = list(kilns)
    found: set[frozenset[int]] = set()
    for kiln in kilns:
        own = [n for n, each in enumerate(starts) if each.kiln == kiln.id]
        found |= _at_one_moment(own, {n: starts[n].unload_at for n in own}, starts)
    for one, other in combinations(kilns, 2):
        if other.id in one.apart or one.id in other.apart:
            both = [n for n, each in enumerate(starts) if each.kiln in {one.id, other.id}]
            found |= _at_one_moment(both, {n: starts[n].off_at for n in both}, starts)
    kept = [each for each in found if not any(each < other for other in found)]
    return sorted(tuple(sorted(each)) for each in kept)


def _at_one_moment(
    which: Sequence[int], ends: Mapping[int, datetime], starts: Sequence[Start]
) -> set[frozenset[int]]:
    return {
        held
        for at in {starts[n].lit_at for n in which}
        if len(held := frozenset(n for n in which if starts[n].lit_at <= at < ends[n])) > 1
    }
