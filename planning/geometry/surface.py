"""The outer surface of the wet pot: half-widths and height along the meridian."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from .profile import Curve, Floats, hermite, parameters_at, smooth_curve, steady_slopes
from .rings import Rings
from .section import ROUND, Directions, quarter
from .tolerances import NO_WIDTH_MM, ROUND_RATIO, STATIONS

FRONT, DEPTH, HEIGHT = 0, 1, 2


@dataclass(frozen=True)
class Surface:
    """Sections along a curve of (half front, half depth, height) that never falls.

    They are `rings`, or ellipses where there are none.
    """

    curve: Curve
    rings: Rings | None = None

    @cached_property
    def height(self) -> float:
        return float(self.curve.at(np.array([self.curve.length]))[HEIGHT, 0])

    @cached_property
    def is_round(self) -> bool:
        half_front, half_depth, _ = self.curve.coefficients[3]
        return bool(np.allclose(half_front, half_depth, rtol=ROUND_RATIO, atol=NO_WIDTH_MM))

    @cached_property
    def directions(self) -> Directions:
        if self.is_round:
            return ROUND
        front, depth, _ = self.curve.at(self.curve.knots[:-1])
        return quarter(float(np.median(depth / front)))

    def parameters_at(self, heights: Floats) -> Floats:
        return parameters_at(self.curve, HEIGHT, heights)


def surface_in_proportion(
    points: Floats, depth_ratio: float, rings: Rings | None = None
) -> Surface:
    """From points (n, 2) of half-width and height; depth is `depth_ratio` times the width."""
    meridian = smooth_curve(points)
    weights = np.array([[1.0, 0.0], [depth_ratio, 0.0], [0.0, 1.0]])
    return Surface(Curve(meridian.knots, weights @ meridian.coefficients), rings)


def surface_of_rings(points: Floats, rings: Rings) -> Surface:
    """From points (n, 2) of half-width and height; depth is in the rings' own proportion."""
    if not rings.changes:
        return surface_in_proportion(points, rings.depth_ratio(np.zeros(1))[0], rings)
    front = smooth_curve(points)
    knots = front.stations(STATIONS)
    half_front, height = front.at(knots)
    return _with_depth(front, knots, half_front * rings.depth_ratio(height / height[-1]), rings)


def surface_with_side(points: Floats, side_points: Floats, rings: Rings | None = None) -> Surface:
    """From front points (n, 2) and side points (m, 2), both half-width and height.

    The side profile is read at the heights of closely spaced stations of the front profile.
    """
    front, side = smooth_curve(points), smooth_curve(side_points)
    knots = front.stations(4 * STATIONS)
    height = np.minimum(front.at(knots)[1], side_points[-1, 1])
    return _with_depth(front, knots, side.at(parameters_at(side, 1, height))[0], rings)


def _with_depth(front: Curve, knots: Floats, half_depth: Floats, rings: Rings | None) -> Surface:
    (half_front, height), slopes = front.at(knots), front.slopes_at(knots)
    depth_slope = steady_slopes(knots, half_depth[:, np.newaxis])[:, 0]
    curve = hermite(
        knots,
        np.stack((half_front, half_depth, height), axis=-1),
        np.stack((slopes[0], depth_slope, slopes[1]), axis=-1),
    )
    return Surface(curve, rings)
