"""A program as a curve of temperature over time, in the units of a small drawing. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass

from .heat.program import Segment, timing

WIDTH, HEIGHT = 360.0, 150.0
LEFT, RIGHT, TOP, FOOT = 8.0, 58.0, 22.0, 28.0
"""Room around the curve for its figures."""


@dataclass(frozen=True)
class Curve:
    """`path` is the curve, `peak` and `end` where its figures stand, `base_y` the axis."""

    width: float
    height: float
    path: str
    left: float
    base_y: float
    end_x: float
    peak_x: float
    peak_y: float


def curve(start_c: float, segments: Sequence[Segment]) -> Curve:
    """Straight between the corners, as the controller runs it. Raises `KilnRefused`."""
    timed = timing(start_c, segments)
    low_c = min(start_c, *(each.target_c for each in segments))
    over_c = (timed.peak_c - low_c) or 1.0
    base_y, end_x = HEIGHT - FOOT, WIDTH - RIGHT

    def at(hours: float, temp_c: float) -> tuple[float, float]:
        x = LEFT + hours / (timed.duration_h or 1.0) * (end_x - LEFT)
        return x, base_y - (temp_c - low_c) / over_c * (base_y - TOP)

    corners = [at(0.0, start_c)]
    for span, segment in zip(timed.spans, segments, strict=True):
        corners += [
            at(span.end_h - segment.hold_min / 60, segment.target_c),
            at(span.end_h, segment.target_c),
        ]
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in corners)
    peak_x, peak_y = min(corners, key=lambda corner: corner[1])
    return Curve(WIDTH, HEIGHT, path, LEFT, base_y, end_x, peak_x, peak_y)
