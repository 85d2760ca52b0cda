"""A firing program: how long it takes, and which cone it reaches by the table of end points.

A program is a start and segments of rate, target and hold. The cone is read from `cones` at the
mean heating rate over the last 100 °C of rise to the peak, the rate that the maker's chart is
made for. What a hold adds is not in that table: it is said, not counted.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import isfinite, log

from planning.geometry.said import Values, sentence

from .cones import (
    BENDING_BAND_C,
    DEFAULT_TYPE,
    MAKERS_TOLERANCE_C,
    cones,
    end_point_c,
    rates_c_per_h,
)
from .refusal import KilnRefused, Trouble, told

READ_OVER_C = 100.0
"""The chart's rates are those over the last 100 °C (180 °F)."""

MINUTES = 60.0
MOST_SEGMENTS = 64
MOST_C, LEAST_C = 1500.0, -50.0
"""Beyond pottery kilns on one side and any kiln room on the other: a slipped unit or digit."""
MOST_HOLD_MIN = 7 * 24 * MINUTES
MOST_SEGMENT_H = 14 * 24.0
"""Two weeks for one segment is no firing."""

CAUTIONS: Mapping[str, str] = {
    "witness_decides": sentence(
        "Computed from a table: put witness cones in the kiln, they decide."
    ),
    "hold_not_counted": sentence(
        "A hold near the peak adds heat work that the table of end points doesn't count, so the "
        "kiln may get hotter by its cones than is said here: the witness cone decides."
    ),
    "rate_below_table": sentence(
        "The kiln rises at %(rate_c_per_h)s over the last 100 °C, slower than the "
        "%(least_c_per_h)s that the table begins at. It may reach more than is said here: the "
        "witness cone decides."
    ),
    "rate_above_table": sentence(
        "The kiln rises at %(rate_c_per_h)s over the last 100 °C, faster than the "
        "%(most_c_per_h)s that the table ends at. It may reach less than is said here: the "
        "witness cone decides."
    ),
    "below_table": sentence("%(peak_c)s is below the end point of every cone in the table."),
    "above_table": sentence(
        "%(peak_c)s is above the end point of the hottest cone in the table. Check the targets."
    ),
    "starts_downwards": sentence(
        "The first target, %(target_c)s, is below the start at %(start_c)s: the kiln cools first."
    ),
    "never_heats": sentence("No target is above the start at %(start_c)s: the kiln never heats."),
}


@dataclass(frozen=True)
class Segment:
    """Go at a rate (> 0; the target gives the direction) to a target and hold it."""

    rate_c_per_h: float
    target_c: float
    hold_min: float = 0.0


@dataclass(frozen=True)
class Span:
    """When a segment runs, its hold included, in hours from the start."""

    start_h: float
    end_h: float


@dataclass(frozen=True)
class Timing:
    """Cooling down after the last segment is not in it."""

    spans: tuple[Span, ...]
    duration_h: float
    peak_c: float


@dataclass(frozen=True)
class Caution:
    """One thing that the reader of a computed firing should know."""

    code: str
    values: Values = field(default_factory=dict)

    @property
    def message(self) -> str:
        return told(CAUTIONS[self.code], self.values)


@dataclass(frozen=True)
class Firing:
    """What a program does. `cone` is the hottest one down, None below the table;
    `cone_position` says how far the next one is bent, 0 to 1."""

    timing: Timing
    rate_c_per_h: float | None
    cone_type: str
    cone: str | None
    cone_position: float
    cautions: tuple[Caution, ...]

    def margin_c(self, cone: str) -> float | None:
        """Peak minus that cone's end point: within ±2 °C just down, more is over, less is under.
        None when the kiln never heats or the table has no such cone."""
        if self.rate_c_per_h is None or cone not in cones(self.cone_type):
            return None
        return self.timing.peak_c - end_point_c(cone, self.cone_type, self.rate_c_per_h)


def timing(start_c: float, segments: Sequence[Segment]) -> Timing:
    """Hours of each segment, of the whole program without cooling, and the peak.

    >>> timing(20, [Segment(50, 70, 60), Segment(100, 170)]).duration_h
    3.0
    """
    _refuse_troubles(start_c, segments)
    spans: list[Span] = []
    at_h = 0.0
    for low_c, segment in _legs(start_c, segments):
        begun, at_h = at_h, at_h + _climb_h(low_c, segment) + segment.hold_min / MINUTES
        spans.append(Span(begun, at_h))
    return Timing(tuple(spans), at_h, max(start_c, *(each.target_c for each in segments)))


def temperature_c(start_c: float, segments: Sequence[Segment], at_h: float) -> float:
    """What the program asks for at an hour; before and after it, its first and last value.

    >>> temperature_c(20, [Segment(50, 70, 60)], 0.5)
    45.0
    """
    at_c, spans = start_c, timing(start_c, segments).spans
    for (low_c, segment), span in zip(_legs(start_c, segments), spans, strict=True):
        climb_h = _climb_h(low_c, segment)
        if climb_h and at_h < span.start_h + climb_h:
            share = max(0.0, at_h - span.start_h) / climb_h
            return low_c + share * (segment.target_c - low_c)
        at_c = segment.target_c
    return at_c


def firing(start_c: float, segments: Sequence[Segment], cone_type: str = DEFAULT_TYPE) -> Firing:
    """Timing, and the cone by the table of end points: down within the maker's 2 °C.

    >>> firing(20, [Segment(100, 600), Segment(60, 1222)]).cone
    '6'
    """
    names = cones(cone_type)
    timed = timing(start_c, segments)
    rate = _last_rate_c_per_h(start_c, segments, timed.peak_c)
    if rate is None:
        never = Caution("never_heats", {"start_c": start_c})
        return Firing(timed, None, cone_type, None, 0.0, (never,))
    ends = [end_point_c(name, cone_type, rate) for name in names]
    down = sum(timed.peak_c >= end - MAKERS_TOLERANCE_C for end in ends)
    return Firing(
        timed,
        rate,
        cone_type,
        names[down - 1] if down else None,
        _position(timed.peak_c, ends, down),
        tuple(
            _cautions(
                start_c,
                segments,
                peak_c=timed.peak_c,
                rate=rate,
                ends=ends,
                down=down,
                cone_type=cone_type,
            )
        ),
    )


def cooling_h(from_c: float, to_c: float, room_c: float, time_constant_h: float) -> float:
    """Hours from one temperature down to another by Newton's law, τ ln((from - room)/(to - room)).

    τ is the kiln's own, learned from its log. 0 when the kiln is as cool already.

    >>> round(cooling_h(1020, 60, 20, 6), 2)
    19.31
    """
    problems = [
        Trouble(path, "not_a_number")
        for path, value in (
            ("from_c", from_c),
            ("to_c", to_c),
            ("room_c", room_c),
            ("time_constant_h", time_constant_h),
        )
        if not isfinite(value)
    ]
    if not problems and time_constant_h <= 0:
        problems.append(Trouble("time_constant_h", "must_be_positive"))
    if not problems and to_c <= room_c:
        problems.append(Trouble("to_c", "room_not_colder", {"room_c": room_c, "to_c": to_c}))
    if problems:
        raise KilnRefused(problems)
    if from_c <= to_c:
        return 0.0
    return time_constant_h * log((from_c - room_c) / (to_c - room_c))


def _legs(start_c: float, segments: Sequence[Segment]) -> Iterator[tuple[float, Segment]]:
    """Each segment with the temperature that it starts from."""
    return zip((start_c, *(each.target_c for each in segments)), segments, strict=False)


def _climb_h(low_c: float, segment: Segment) -> float:
    return abs(segment.target_c - low_c) / segment.rate_c_per_h


def _last_rate_c_per_h(start_c: float, segments: Sequence[Segment], peak_c: float) -> float | None:
    """Mean heating rate over the last 100 °C of rise to the first arrival at the peak.

    Holds and dips on the way are not heating; what a dip gave away is counted when it was last
    risen through. None when nothing rises.
    """
    legs = list(_legs(start_c, segments))
    arrives = next((n for n, (_, leg) in enumerate(legs) if leg.target_c == peak_c), -1)
    floor_c, low_c, hours = peak_c - READ_OVER_C, peak_c, 0.0
    for begin_c, leg in reversed(legs[: arrives + 1]):
        foot_c = max(begin_c, floor_c)
        top_c = min(leg.target_c, low_c)
        if top_c > foot_c:
            hours += (top_c - foot_c) / leg.rate_c_per_h
            low_c = foot_c
    return (peak_c - low_c) / hours if hours else None


def _position(peak_c: float, ends: Sequence[float], down: int) -> float:
    """How far the next cone is bent: from the last one's end point to its own. The coolest one
    starts within the maker's bending band."""
    if down == len(ends):
        return 0.0
    top_c = ends[down]
    foot_c = ends[down - 1] if down else top_c - BENDING_BAND_C
    return min(1.0, max(0.0, (peak_c - foot_c) / (top_c - foot_c)))


def _cautions(
    start_c: float,
    segments: Sequence[Segment],
    *,
    peak_c: float,
    rate: float,
    ends: Sequence[float],
    down: int,
    cone_type: str,
) -> Iterator[Caution]:
    yield Caution("witness_decides")
    names = cones(cone_type)
    published = rates_c_per_h(names[max(down - 1, 0)], cone_type)
    if rate < published[0]:
        yield Caution("rate_below_table", {"rate_c_per_h": rate, "least_c_per_h": published[0]})
    if rate > published[-1]:
        yield Caution("rate_above_table", {"rate_c_per_h": rate, "most_c_per_h": published[-1]})
    if any(each.hold_min and each.target_c >= peak_c - READ_OVER_C for each in segments):
        yield Caution("hold_not_counted")
    if not down:
        yield Caution("below_table", {"peak_c": peak_c})
    if peak_c > ends[-1] + MAKERS_TOLERANCE_C:
        yield Caution("above_table", {"peak_c": peak_c})
    if segments[0].target_c < start_c:
        yield Caution("starts_downwards", {"target_c": segments[0].target_c, "start_c": start_c})


def _refuse_troubles(start_c: float, segments: Sequence[Segment]) -> None:
    problems = list(_temperature_troubles("start_c", start_c))
    if not segments:
        problems.append(Trouble("segments", "no_segments"))
    if len(segments) > MOST_SEGMENTS:
        problems.append(Trouble("segments", "too_many_segments", {"most": MOST_SEGMENTS}))
    for n, segment in enumerate(segments):
        problems += _segment_troubles(f"segments.{n}.", segment)
    if not problems:
        problems += _length_troubles(start_c, segments)
    if problems:
        raise KilnRefused(problems)


def _segment_troubles(path: str, segment: Segment) -> Iterator[Trouble]:
    rate, hold = segment.rate_c_per_h, segment.hold_min
    if not isfinite(rate):
        yield Trouble(path + "rate_c_per_h", "not_a_number")
    elif rate <= 0:
        yield Trouble(path + "rate_c_per_h", "must_be_positive")
    yield from _temperature_troubles(path + "target_c", segment.target_c)
    if not isfinite(hold):
        yield Trouble(path + "hold_min", "not_a_number")
    elif hold < 0:
        yield Trouble(path + "hold_min", "negative")
    elif hold > MOST_HOLD_MIN:
        most_h = MOST_HOLD_MIN / MINUTES
        yield Trouble(path + "hold_min", "too_long", {"value_h": hold / MINUTES, "most_h": most_h})


def _temperature_troubles(path: str, value_c: float) -> Iterator[Trouble]:
    if not isfinite(value_c):
        yield Trouble(path, "not_a_number")
    elif value_c > MOST_C:
        yield Trouble(path, "too_hot", {"value_c": value_c, "most_c": MOST_C})
    elif value_c < LEAST_C:
        yield Trouble(path, "too_cold", {"value_c": value_c, "least_c": LEAST_C})


def _length_troubles(start_c: float, segments: Sequence[Segment]) -> Iterator[Trouble]:
    for n, (low_c, segment) in enumerate(_legs(start_c, segments)):
        if (climb_h := _climb_h(low_c, segment)) > MOST_SEGMENT_H:
            values = {"value_h": climb_h, "most_h": MOST_SEGMENT_H}
            yield Trouble(f"segments.{n}.rate_c_per_h", "too_long", values)
