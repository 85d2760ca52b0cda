"""The sides of a pot as lines on paper: dense points, places of rows, left and right."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from planning.geometry.form import Form
from planning.geometry.profile import Floats, hermite, smooth_curve, steady_slopes
from planning.geometry.surface import DEPTH, FRONT, HEIGHT, Surface
from planning.rows.rows import Row

POINTS = 500  # of a side: chords stay within 0.01 mm of the curve
_SEARCHED = 4000

View = Literal["front", "side"]
"""Seen from the front one sees the width, from the side the depth."""

_AXIS = {"front": FRONT, "side": DEPTH}


@dataclass(frozen=True)
class Place:
    """A point of a side and the direction outwards there: away from the axis and up."""

    out_mm: float
    height_mm: float
    outwards: tuple[float, float]


@dataclass(frozen=True)
class Side:
    """One side of the axis: half-widths out from it, as built. `uneven` is how far this side
    stands out beyond the mean of left and right, along the front curve."""

    surface: Surface
    view: View
    uneven: Floats

    def points(self) -> Floats:
        """(n, 2) of half-width and height, from the table to the rim."""
        return np.stack(self._at(self.surface.curve.stations(POINTS)), axis=-1)

    def half_width(self, height_mm: float) -> float:
        place = self.surface.parameters_at(np.array([height_mm]))
        return float(self._at(place)[0][0])

    def at_top_of(self, row: Row) -> Place:
        """Where a row's top edge is. Where the wall lies level, many places have its height; its
        width says which one it is."""
        curve = self.surface.curve
        found = curve.stations(_SEARCHED)
        front, _, height = curve.at(found)
        nearest = np.hypot(front - row.front_mm / 2, height - row.height_mm).argmin()
        s = found[[nearest]]
        slope = curve.slopes_at(s)[[FRONT, HEIGHT], 0]
        miss = np.array([row.front_mm / 2, row.height_mm]) - curve.at(s)[[FRONT, HEIGHT], 0]
        s = np.clip(s + (miss @ slope) / (slope @ slope), 0, curve.length)
        (before, low), (after, high) = (self._at(np.clip(s + d, 0, curve.length)) for d in (-1, 1))
        out, up = self._at(s)
        run = np.array([high[0] - low[0], before[0] - after[0]])
        across, along = (run / np.hypot(*run)).tolist()
        return Place(float(out[0]), float(up[0]), (across, along))

    def _at(self, s: Floats) -> tuple[Floats, Floats]:
        values = self.surface.curve.at(s)
        half = values[_AXIS[self.view]]
        if len(self.uneven):
            half = half + np.interp(s, *self.uneven)
        return half, values[HEIGHT]


def mean_side(made: Form, view: View) -> Side:
    """Half of the width or the depth."""
    return Side(made.surface, view, np.empty((0, 0)))


def both_sides(made: Form, view: View) -> tuple[Side, Side]:
    """Left and right as drawn; their mean is the plan's half-width. Seen from the side both are
    the same."""
    if view == "side":
        side = mean_side(made, view)
        return side, side
    points = np.array([(each.half_mm, each.height_mm) for each in made.front])
    more = np.array([(each.left_mm - each.right_mm) / 2 for each in made.front])[:, np.newaxis]
    knots = smooth_curve(points).knots
    curve = hermite(knots, more, steady_slopes(knots, more))
    s = curve.stations(POINTS)
    left = curve.at(s)[0]
    return (
        Side(made.surface, view, np.stack((s, left))),
        Side(made.surface, view, np.stack((s, -left))),
    )
