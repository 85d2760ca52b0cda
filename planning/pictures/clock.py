"""Where the seams of a row lie, as hours of a clock laid round the wall. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin

HOURS = 12
BOX = 96.0
RADIUS = 34.0
SEAM = 9.0  # how far a seam reaches over the ring to either side
TICK = 5.0


@dataclass(frozen=True)
class Stroke:
    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True)
class SeamClock:
    """Seen from above: a ring with the mark at the top, the seams across it. All in drawing units
    of a box `size` wide and high; `mark` is the path of the notch at the front."""

    size: float
    radius: float
    centre: float
    ticks: list[Stroke]
    seams: list[Stroke]
    below: list[Stroke]
    mark: str


def seam_clock(seams: Sequence[float], below: Sequence[float] = ()) -> SeamClock:
    """`seams` and those of the row `below` in hours, 0 to 12 from the mark."""
    middle = BOX / 2
    top = middle - RADIUS - SEAM
    return SeamClock(
        size=BOX,
        radius=RADIUS,
        centre=middle,
        ticks=[_across(hour, RADIUS - TICK, RADIUS) for hour in (3, 6, 9)],
        seams=[_across(hour, RADIUS - SEAM, RADIUS + SEAM) for hour in seams],
        below=[_across(hour, RADIUS - SEAM / 2, RADIUS + SEAM / 2) for hour in below],
        mark=f"M{middle - 5:.1f} {top - 4:.1f}h10l-5 8Z",
    )


def _across(hour: float, inner: float, outer: float) -> Stroke:
    angle = radians(360 / HOURS * hour)
    x, y = sin(angle), -cos(angle)
    middle = BOX / 2
    return Stroke(middle + inner * x, middle + inner * y, middle + outer * x, middle + outer * y)
