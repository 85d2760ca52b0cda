"""What was traced of a drawing, taken into a plan that may have measures already."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from django.utils.translation import gettext as _

from planning.geometry.inputs import Outline, Point
from planning.geometry.profile import parameters_at, smooth_curve
from studio.errors import Refused
from studio.units.scales import Units
from studio.web.shown import length_text

from .inputs import MOST_LINES, Drawn, Line

Row = Sequence[float | None]

_SAME_MM: Final = 3.0
_SAME: Final = 0.02
"""Of the height: two drawings of one pot by hand differ by so much (common practice, no source)."""


def with_front(drawn: Drawn, rows: Sequence[Row]) -> Drawn:
    """The plan with these height lines, [height, left, right] from below; of more than a plan may
    have every second one. A side drawing that it has is read again at the new heights."""
    while len(rows) > MOST_LINES:
        rows = [*rows[:-1:2], rows[-1]]
    side = drawn.side
    lines = [Line(float(height or 0), left, right) for height, left, right in rows]
    if side is not None:
        ends = _read_at(side, [line.height_mm for line in lines])
        lines = [
            replace(line, front_mm=front, back_mm=back)
            for line, (front, back) in zip(lines, ends, strict=True)
        ]
    return replace(drawn, lines=tuple(lines))


def with_side(drawn: Drawn, rows: Sequence[Row], units: Units) -> Drawn:
    """The plan with front and back at its own height lines, read off a side drawing of
    [height, front, back]. Raises `Refused` where the two can't be of one pot."""
    side = [Point(h, a, b) for h, a, b in rows if h is not None and a is not None and b is not None]
    if not drawn.measured:
        raise Refused(_("Take the drawing from the front into the plan first."))
    tall, other = drawn.lines[-1].height_mm, side[-1].height_mm if side else 0.0
    if abs(tall - other) > max(_SAME_MM, _SAME * tall):
        message = _(
            "This drawing is %(other)s tall and the plan %(tall)s. Both show the same pot, so draw "
            "them alike in height."
        )
        words = {"other": length_text(other, units), "tall": length_text(tall, units)}
        raise Refused(message % words)
    ends = _read_at(side, [line.height_mm for line in drawn.lines])
    lines = [
        replace(line, front_mm=front, back_mm=back)
        for line, (front, back) in zip(drawn.lines, ends, strict=True)
    ]
    return replace(drawn, lines=tuple(lines))


def with_base(drawn: Drawn, points: Sequence[Sequence[float]]) -> Drawn:
    """The plan with a traced outline, (x, y) in mm once around."""
    ring = tuple((float(x), float(y)) for x, y in points)
    return replace(drawn, outline=Outline("traced", points=ring))


def _read_at(side: Sequence[Point], heights: Sequence[float]) -> list[tuple[float, float]]:
    """Both half-widths of a side drawing at heights of the pot, rim on rim."""
    curve = smooth_curve(np.array([(p.height_mm, p.left_mm, p.right_mm) for p in side]))
    levels = np.array(heights) * (side[-1].height_mm / heights[-1])
    _height, front, back = curve.at(parameters_at(curve, 0, levels))
    return [(round(float(a), 3), round(float(b), 3)) for a, b in zip(front, back, strict=True)]
