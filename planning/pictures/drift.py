"""A pot's build checks over time: how far each height was off, one line a check.

Pure: the standard library only. Heights run upwards as on the pot, what is too wide to the right.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.pictures.outline import Sample, polyline

WIDTH, HEIGHT = 320.0, 240.0
LEFT, RIGHT, TOP, BOTTOM = 44.0, 16.0, 14.0, 34.0
LEAST_MM = 10.0  # so that a millimetre never looks like a disaster
ROOM = 1.15
NEWEST, BEFORE, EARLIER = "newest", "before", "earlier"


@dataclass(frozen=True)
class CheckLine:
    """One check: (height, deviation) from below; `number` counts checks from 1."""

    number: int
    places: Sequence[tuple[float, float]]


@dataclass(frozen=True)
class Dot:
    x: float
    y: float


@dataclass(frozen=True)
class DriftLine:
    """`age`: newest, before (the one before it) or earlier."""

    number: int
    age: str
    path: str
    dots: list[Dot]

    @property
    def label(self) -> Dot:
        """Where its number stands: above its highest place."""
        return Dot(self.dots[-1].x, self.dots[-1].y - 9)


@dataclass(frozen=True)
class DriftPicture:
    """In drawing units but for `*_mm`; `near_enough` is the band of the tolerance."""

    width: float
    height: float
    zero_x: float
    top_y: float
    table_y: float
    left_x: float
    right_x: float
    most_mm: float
    rim_mm: float
    near_enough: str
    lines: list[DriftLine]


def drift_picture(
    silhouette: Sequence[Sample],
    checks: Sequence[CheckLine],
    tolerance_mm: float,
    tolerance_pct: float,
) -> DriftPicture:
    """`checks` in order of time, each with one place at least; the newest is drawn last."""
    rim = silhouette[-1][0]
    tall = max([rim, *(h for each in checks for h, _ in each.places)])
    bands = [
        (h, max(tolerance_mm, tolerance_pct / 100 * (left + right)))
        for h, left, right in silhouette
    ]
    offs = [abs(off) for each in checks for _, off in each.places]
    most = max([LEAST_MM, *offs, *(band for _, band in bands)]) * ROOM
    zero = LEFT + (WIDTH - LEFT - RIGHT) / 2
    table = HEIGHT - BOTTOM
    across, up = (WIDTH - LEFT - RIGHT) / 2 / most, (table - TOP) / tall

    def dot(height: float, off: float) -> Dot:
        return Dot(zero + off * across, table - height * up)

    near = [*(dot(h, band) for h, band in bands), *(dot(h, -band) for h, band in reversed(bands))]
    lines = []
    for place, each in enumerate(checks):
        dots = [dot(height, off) for height, off in sorted(each.places)]
        age = {len(checks) - 1: NEWEST, len(checks) - 2: BEFORE}.get(place, EARLIER)
        lines.append(DriftLine(each.number, age, _path(dots), dots))
    return DriftPicture(
        width=WIDTH,
        height=HEIGHT,
        zero_x=zero,
        top_y=TOP,
        table_y=table,
        left_x=LEFT,
        right_x=WIDTH - RIGHT,
        most_mm=most / ROOM,
        rim_mm=rim,
        near_enough=_path(near) + "Z",
        lines=lines,
    )


def _path(dots: Sequence[Dot]) -> str:
    return polyline((each.x, each.y) for each in dots)
