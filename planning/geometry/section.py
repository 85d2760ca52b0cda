"""Horizontal sections: ellipses, and the convex shapes that lie a distance inside them.

A convex shape is described by its support function: the distance c(φ) from the axis to the
tangent whose outward normal points in direction φ. The point touched is (c cos φ - c' sin φ,
c sin φ + c' cos φ), the area ½∮(c² - c'²)dφ and the perimeter ∮c dφ (Cauchy's formula, for
example Schneider, Convex Bodies: the Brunn-Minkowski Theory, 2nd ed. 2014, §1.7 and §5.3;
from memory). Where the points near a tip have passed the axis of symmetry, as they do inside
a narrow oval, that part of the curve bounds nothing and is left out.

Sections are symmetric front to back and left to right: one quarter, φ from 0 (front width)
to π/2 (depth), stands for the whole.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ellipe

from .profile import Floats
from .tolerances import DIRECTIONS


@dataclass(frozen=True)
class Directions:
    """Directions of the first quarter, ends included; one alone for round sections.

    `density` is dφ by row, so that Σ over rows (trapezoidal) is ∫ dφ.
    """

    cos: Floats
    sin: Floats
    density: Floats

    def only(self, row: int) -> "Directions":
        return Directions(*(each[row : row + 1] for each in (self.cos, self.sin, self.density)))


ROUND = Directions(np.ones(1), np.zeros(1), np.ones(1))


def quarter(depth_ratio: float, count: int = DIRECTIONS) -> Directions:
    """`count` + 1 directions for sections of about this depth ÷ width.

    They turn evenly seen on an ellipse half as flat (tan φ = tan ψ / √ratio): the support
    function is then smoothest in ψ, its complex poles being as far off as they can be.
    """
    angle = np.linspace(0, np.pi / 2, count + 1)
    squeeze = np.sqrt(depth_ratio)
    x, y = squeeze * np.cos(angle), np.sin(angle)
    x[-1] = 0.0
    length = np.hypot(x, y)
    density = squeeze / length**2 * (np.pi / 2 / count)
    return Directions(x / length, y / length, density)


def ellipse_perimeter(half_front: Floats, half_depth: Floats) -> Floats:
    """Exact perimeter 4 a E(e²) (complete elliptic integral of the second kind)."""
    long = np.maximum(half_front, half_depth)
    short = np.minimum(half_front, half_depth)
    ratio = np.divide(short, long, out=np.ones_like(long), where=long > 0)
    return np.asarray(4 * long * ellipe(1 - ratio**2))


def areas(support: Floats, turning: Floats, directions: Directions) -> Floats:
    """Areas (m,) of sections with support c and c' (directions, m); 0 where nothing is inside."""
    hollow = (support > 0).all(axis=0)
    if len(directions.cos) == 1:
        return np.where(hollow, np.pi * support[0] ** 2, 0.0)
    swept = _between_folds(support**2 - turning**2, support * turning, support, turning, directions)
    return np.where(hollow, 2 * swept, 0.0)


def perimeters(support: Floats, turning: Floats, directions: Directions) -> Floats:
    """Perimeters (m,) of the same sections; 0 where nothing is inside."""
    hollow = (support > 0).all(axis=0)
    if len(directions.cos) == 1:
        return np.where(hollow, 2 * np.pi * support[0], 0.0)
    swept = _between_folds(support, turning, support, turning, directions)
    return np.where(hollow, 4 * swept, 0.0)


def _between_folds(
    integrand: Floats, edge: Floats, support: Floats, turning: Floats, directions: Directions
) -> Floats:
    """∫ integrand dφ + [edge] over the part of the quarter whose points lie in the quarter."""
    cos, sin = directions.cos[:, np.newaxis], directions.sin[:, np.newaxis]
    first = _crossing(support * sin + turning * cos)
    last = len(cos) - 1 - _crossing((support * cos - turning * sin)[::-1])
    integrand = integrand * directions.density[:, np.newaxis]
    slope = np.gradient(integrand, axis=0)
    slope[[0, -1]] = 0.0  # by symmetry; the sum over all rows is then spectrally accurate
    cells = (integrand[:-1] + integrand[1:]) / 2 + (slope[:-1] - slope[1:]) / 12
    running = np.concatenate((np.zeros_like(cells[:1]), np.cumsum(cells, axis=0)))
    edge_slope = np.gradient(edge, axis=0, edge_order=2)
    upper = _read(running, integrand, last) + _read(edge, edge_slope, last)
    lower = _read(running, integrand, first) + _read(edge, edge_slope, first)
    return np.asarray(upper - lower)


def _crossing(offside: Floats) -> Floats:
    """Fractional row (m,) of the last sign change to positive; row 0 when all are positive."""
    rows, columns = offside.shape
    inside = offside[1:] > 0
    row = np.where(inside.all(axis=0), 0, rows - 1 - np.argmin(inside[::-1], axis=0))
    row = np.minimum(row, rows - 2)
    below, above = offside[row, np.arange(columns)], offside[row + 1, np.arange(columns)]
    rise = above - below
    slopes = np.gradient(offside, axis=0)
    place = row + np.divide(-below, rise, out=np.zeros(columns), where=rise > 0)
    for _ in range(2):
        miss = _read(offside, slopes, np.clip(place, row, row + 1))
        place = place - np.divide(miss, rise, out=np.zeros(columns), where=rise > 0)
    return np.where(row > 0, np.clip(place, row, row + 1), 0.0)


def _read(values: Floats, slopes: Floats, row: Floats) -> Floats:
    """Values (m,) at fractional rows by the cubic with the given slopes."""
    low = np.minimum(row.astype(np.intp), len(values) - 2)
    column = np.arange(values.shape[1])
    u = row - low
    v0, v1 = values[low, column], values[low + 1, column]
    d0, d1 = slopes[low, column], slopes[low + 1, column]
    rise = v1 - v0
    return np.asarray(v0 + u * (d0 + u * (3 * rise - 2 * d0 - d1 + u * (d0 + d1 - 2 * rise))))
