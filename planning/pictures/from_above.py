"""A pot seen from above: the outlines of its base and its rim on one middle, as paths.

Pure: the standard library only. Millimetres in, drawing units out, the front at the top as on the
seam clock.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.pictures.outline import Point, polyline

BOX = 150.0
EDGE = 4.0


@dataclass(frozen=True)
class FromAbove:
    """Paths in drawing units within a box of `width` × `height`; `rim` is "" for a closed pot."""

    width: float
    height: float
    base: str
    rim: str


def from_above(base: Sequence[Point], rim: Sequence[Point]) -> FromAbove:
    """Outlines as points (x to the right, y to the back, in mm from the axis), drawn to one scale.

    Raises ValueError for a base of fewer than three points.
    """
    if len(base) < 3:  # noqa: PLR2004 -- an area needs three corners
        message = "an outline has at least three points"
        raise ValueError(message)
    points = [*base, *rim]
    wide = max(abs(x) for x, _y in points)
    deep = max(abs(y) for _x, y in points)
    scale = (BOX / 2 - EDGE) / max(wide, deep)
    middle = BOX / 2, deep * scale + EDGE

    def path(outline: Sequence[Point]) -> str:
        placed = [(middle[0] - x * scale, middle[1] + y * scale) for x, y in outline]
        return polyline(placed) + "Z" if placed else ""

    return FromAbove(BOX, 2 * middle[1], path(base), path(rim))
