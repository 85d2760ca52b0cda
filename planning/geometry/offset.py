"""The hollow: what lies at least the wall thickness from every point of the outer wall.

The wall removes from the inside, around each outer point q, a ball of radius t(q). With convex
sections the hollow's own sections are convex too, and in each horizontal direction φ

    c(z, φ) = min over the meridian of  h(s, φ) - √(t(s)² - (z - z(s))²),

h being the support function of the outer section: the offset of a surface becomes, direction
by direction, the offset of a plane curve. The meridian point that gives the minimum is found
by mapping stations inward along their normals (turned by the taper, see `_mapped`). Where
that map runs strictly upwards it is the whole answer; the round edges at table and rim follow
because a level beyond the map's ends is met by the ball around the end point. Where it folds
over (a hollow curve tighter than the wall, or a corner), the minimum is searched instead.
The value at a minimum depends only to second order on where it was taken, so that interpolated
contact points are exact enough.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .inputs import Wall
from .profile import Floats
from .section import Directions, areas, perimeters
from .surface import Surface
from .tolerances import (
    MOST_CREASE_PANELS,
    MOST_STATIONS,
    NO_WIDTH_MM,
    STATIONS,
    STATIONS_PER_WALL,
)


@dataclass(frozen=True)
class Hollow:
    """Sections of the hollow from the floor to the rim plane.

    `levels`, `weights`, `areas` (m,): Σ weights·areas is the capacity in mm³, and the first
    and last level are the floor and the rim plane with weight 0. `support`, `turning`
    (directions, m).
    """

    levels: Floats
    weights: Floats
    support: Floats
    turning: Floats
    directions: Directions
    areas: Floats

    @property
    def volume(self) -> float:
        return float(self.weights @ self.areas)

    @property
    def moment(self) -> float:
        """∫ z dV, mm⁴."""
        return float((self.weights * self.levels) @ self.areas)

    @property
    def floor_perimeter(self) -> float:
        return float(perimeters(self.support[:, :1], self.turning[:, :1], self.directions)[0])

    @property
    def inner_widths(self) -> tuple[Floats, Floats]:
        """Widths between parallel inner tangents, front and depth, mm, (m,) each."""
        return 2 * np.maximum(self.support[0], 0), 2 * np.maximum(self.support[-1], 0)


def hollow(surface: Surface, wall: Wall, floor_mm: float) -> Hollow:
    """The hollow above `floor_mm` within a wall that tapers linearly in height."""
    s = surface.curve.stations(STATIONS)
    directions = surface.directions
    inner = _mapped(surface, wall, s, directions)
    levels, weights = _levels(surface, wall, inner, floor_mm)
    contact = np.empty((len(directions.cos), len(levels)))
    for row, heights in enumerate(inner):
        if (np.diff(heights) > 0).all():
            contact[row] = np.interp(levels, heights, s)
        else:
            contact[row] = _searched(surface, wall, levels, directions.only(row))
    reach, turning = _ball_edge(surface, wall, levels, contact, directions)
    sizes = areas(reach, turning, directions)
    return Hollow(levels, weights, reach, turning, directions, sizes)


def _thickness(surface: Surface, wall: Wall, height: Floats) -> Floats:
    return wall.base_mm + (wall.rim_mm - wall.base_mm) / surface.height * height


def _mapped(surface: Surface, wall: Wall, s: Floats, directions: Directions) -> Floats:
    """Heights (directions, stations) of the points where the balls' envelope is touched.

    A ball whose radius grows by τ per length of the curve touches the envelope at the angle
    asin τ behind the normal. NaN where there is no normal or no envelope (τ ≥ 1).
    """
    front, depth, height = surface.curve.at(s)
    front_slope, depth_slope, rise = surface.curve.slopes_at(s)
    cos, sin = directions.cos[:, np.newaxis], directions.sin[:, np.newaxis]
    reach = np.hypot(front * cos, depth * sin)
    spread = front * front_slope * cos**2 + depth * depth_slope * sin**2
    # On the axis the section closes: its support falls like the half-widths themselves.
    closing = -np.hypot(front_slope * cos, depth_slope * sin)
    spread = np.divide(spread, reach, out=closing, where=reach > NO_WIDTH_MM)
    with np.errstate(invalid="ignore", divide="ignore"):
        speed = np.hypot(spread, rise)
        growth = (wall.rim_mm - wall.base_mm) / surface.height * rise / speed
        turned = np.sqrt(1 - growth**2) * spread / speed - growth * rise / speed
    return np.asarray(height + _thickness(surface, wall, height) * turned)


def _levels(surface: Surface, wall: Wall, inner: Floats, floor_mm: float) -> tuple[Floats, Floats]:
    """Heights and weights of a quadrature from floor to rim, dense where the hollow turns flat.

    Panels end at the heights that the map gives in the first and last direction and at
    points of the round edges; each has two Gauss-Legendre nodes.
    """
    rim = surface.height
    turn = np.sin(np.linspace(0, np.pi / 2, 9))
    edges = (inner[0], inner[-1], rim - wall.rim_mm * turn, wall.base_mm * turn, [floor_mm, rim])
    panel = np.concatenate(edges)
    if not (np.diff(inner) > 0).all():  # the hollow has creases, at heights not known beforehand
        spacing = min(wall.base_mm, wall.rim_mm) / STATIONS_PER_WALL
        count = min(int((rim - floor_mm) / spacing) + 2, MOST_CREASE_PANELS)
        panel = np.append(panel, np.linspace(floor_mm, rim, count))
    panel = np.unique(np.clip(panel[np.isfinite(panel)], floor_mm, rim))
    half = np.diff(panel) / 2
    middle = panel[:-1] + half
    away = half / np.sqrt(3)
    nodes = np.stack((middle - away, middle + away), axis=-1).ravel()
    return (
        np.concatenate(([floor_mm], nodes, [rim])),
        np.concatenate(([0.0], np.repeat(half, 2), [0.0])),
    )


def _ball_edge(
    surface: Surface, wall: Wall, levels: Floats, contact: Floats, directions: Directions
) -> tuple[Floats, Floats]:
    """How far from the axis the balls around the contacts end: support and turning.

    `contact` and both answers (directions, levels).
    """
    cos, sin = directions.cos[:, np.newaxis], directions.sin[:, np.newaxis]
    front, depth, height = surface.curve.at(contact)
    reach = np.hypot(front * cos, depth * sin)
    turning = (depth - front) * (depth + front) * sin * cos
    turning = np.divide(turning, reach, out=np.zeros_like(reach), where=reach > NO_WIDTH_MM)
    left_over = _thickness(surface, wall, height) ** 2 - (levels - height) ** 2
    return reach - np.sqrt(np.maximum(left_over, 0)), turning


def _searched(surface: Surface, wall: Wall, levels: Floats, directions: Directions) -> Floats:
    """Contact parameters (levels,) in one direction by search over closely spaced stations.

    The lowest ball says on which branch of the map the contact lies, the map where: at a
    minimum it rises through the level. At a corner or an end the station itself is it.
    """
    spacing = min(wall.base_mm, wall.rim_mm) / STATIONS_PER_WALL
    count = min(int(surface.curve.length / spacing), MOST_STATIONS)
    s = surface.curve.stations(max(STATIONS, count))
    best = _lowest(surface, wall, levels, s, directions)
    inner = _mapped(surface, wall, s, directions)[0]
    contact = s[best]
    for low in (np.maximum(best - 1, 0), np.minimum(best, len(s) - 2)):
        gap = inner[low + 1] - inner[low]
        past = np.divide(levels - inner[low], gap, out=np.full_like(gap, -1.0), where=gap > 0)
        between = (past >= 0) & (past <= 1)
        contact = np.where(between, s[low] + past * (s[low + 1] - s[low]), contact)
    return contact


def _lowest(
    surface: Surface, wall: Wall, levels: Floats, s: Floats, directions: Directions
) -> NDArray[np.intp]:
    """Which station's ball reaches nearest to the axis at each level (levels,)."""
    front, depth, heights = surface.curve.at(s)
    support = np.hypot(front * directions.cos, depth * directions.sin)
    squared = _thickness(surface, wall, heights) ** 2
    thickest = max(wall.base_mm, wall.rim_mm)
    low = np.searchsorted(heights, levels - thickest)
    high = np.searchsorted(heights, levels + thickest)
    window = np.minimum(low[:, np.newaxis] + np.arange((high - low).max()), len(s) - 1)
    left_over = squared[window] - (levels[:, np.newaxis] - heights[window]) ** 2
    reach = support[window] - np.sqrt(np.maximum(left_over, 0))
    best = np.argmin(np.where(left_over >= 0, reach, np.inf), axis=1)
    return np.asarray(window[np.arange(len(levels)), best])
