"""A firing program: segments of rate, target and hold, how long they take and how hot they get."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isfinite

from studio.kilns.refusal import KilnRefused, Trouble

READ_OVER_C = 100.0
"""The chart's rates are those over the last 100 °C (180 °F)."""

MINUTES = 60.0
MOST_SEGMENTS = 64
MOST_C, LEAST_C = 1500.0, -50.0
"""Beyond pottery kilns on one side and any kiln room on the other: a slipped unit or digit."""
MOST_HOLD_MIN = 7 * 24 * MINUTES
MOST_SEGMENT_H = 14 * 24.0
"""Two weeks for one segment is no firing."""


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


def timing(start_c: float, segments: Sequence[Segment]) -> Timing:
    """Hours of each segment, of the whole program without cooling, and the peak.

    >>> timing(20, [Segment(50, 70, 60), Segment(100, 170)]).duration_h
    3.0
    """
    _refuse_troubles(start_c, segments)
    spans: list[Span] = []
    at_h = 0.0
    for low_c, segment in legs(start_c, segments):
        begun, at_h = at_h, at_h + climb_h(low_c, segment) + segment.hold_min / MINUTES
        spans.append(Span(begun, at_h))
    return Timing(tuple(spans), at_h, max(start_c, *(each.target_c for each in segments)))


def temperature_c(start_c: float, segments: Sequence[Segment], at_h: float) -> float:
    """What the program asks for at an hour; before and after it, its first and last value.

    >>> temperature_c(20, [Segment(50, 70, 60)], 0.5)
    45.0
    """
    at_c, spans = start_c, timing(start_c, segments).spans
    for (low_c, segment), span in zip(legs(start_c, segments), spans, strict=True):
        climb = climb_h(low_c, segment)
        if climb and at_h < span.start_h + climb:
            share = max(0.0, at_h - span.start_h) / climb
            return low_c + share * (segment.target_c - low_c)
        at_c = segment.target_c
    return at_c


def legs(start_c: float, segments: Sequence[Segment]) -> Iterator[tuple[float, Segment]]:
    """Each segment with the temperature that it starts from."""
    return zip((start_c, *(each.target_c for each in segments)), segments, strict=False)


def climb_h(low_c: float, segment: Segment) -> float:
    return abs(segment.target_c - low_c) / segment.rate_c_per_h


def last_rate_c_per_h(start_c: float, segments: Sequence[Segment], peak_c: float) -> float | None:
    """Mean heating rate over the last 100 °C of rise to the first arrival at the peak.

    Holds and dips on the way are not heating; what a dip gave away is counted when it was last
    risen through. None when nothing rises.
    """
    climbs = list(legs(start_c, segments))
    arrives = next((n for n, (_, leg) in enumerate(climbs) if leg.target_c == peak_c), -1)
    floor_c, low_c, hours = peak_c - READ_OVER_C, peak_c, 0.0
    for begin_c, leg in reversed(climbs[: arrives + 1]):
        foot_c = max(begin_c, floor_c)
        top_c = min(leg.target_c, low_c)
        if top_c > foot_c:
            hours += (top_c - foot_c) / leg.rate_c_per_h
            low_c = foot_c
    return (peak_c - low_c) / hours if hours else None


def _refuse_troubles(start_c: float, segments: Sequence[Segment]) -> None:
    problems = list(temperature_troubles("start_c", start_c))
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
    yield from temperature_troubles(path + "target_c", segment.target_c)
    if not isfinite(hold):
        yield Trouble(path + "hold_min", "not_a_number")
    elif hold < 0:
        yield Trouble(path + "hold_min", "negative")
    elif hold > MOST_HOLD_MIN:
        most_h = MOST_HOLD_MIN / MINUTES
        yield Trouble(path + "hold_min", "too_long", {"value_h": hold / MINUTES, "most_h": most_h})


def temperature_troubles(path: str, value_c: float) -> Iterator[Trouble]:
    if not isfinite(value_c):
        yield Trouble(path, "not_a_number")
    elif value_c > MOST_C:
        yield Trouble(path, "too_hot", {"value_c": value_c, "most_c": MOST_C})
    elif value_c < LEAST_C:
        yield Trouble(path, "too_cold", {"value_c": value_c, "least_c": LEAST_C})


def _length_troubles(start_c: float, segments: Sequence[Segment]) -> Iterator[Trouble]:
    for n, (low_c, segment) in enumerate(legs(start_c, segments)):
        if (climb := climb_h(low_c, segment)) > MOST_SEGMENT_H:
            values = {"value_h": climb, "most_h": MOST_SEGMENT_H}
            yield Trouble(f"segments.{n}.rate_c_per_h", "too_long", values)
