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

import numpy as np
from numpy.typing import NDArray

from .hollow import (
    Hollow,
    closer_stations,
    crease_edges,
    first_contacts,
    level_panels,
    round_edges,
    window_of,
)
from .inputs import Wall
from .profile import Floats
from .section import Directions, areas, perimeters
from .surface import Surface
from .tolerances import (
    MOST_STATIONS,
    NO_WIDTH_MM,
    STATIONS,
    STATIONS_PER_WALL,
)


def elliptic_hollow(surface: Surface, wall: Wall, floor_mm: float) -> Hollow:
    """The hollow above `floor_mm` within a wall that tapers linearly in height."""
    directions = surface.directions
    s, inner = _stations(surface, wall, directions)
    levels, weights = _levels(surface, wall, s, inner, floor_mm)
    reach, turning = _touched(surface, wall, levels, s, inner)
    return Hollow(
        levels,
        weights,
        areas(reach, turning, directions),
        float(perimeters(reach[:, :1], turning[:, :1], directions)[0]),
        2 * np.maximum(reach[0], 0),
        2 * np.maximum(reach[-1], 0),
        np.zeros(2),
    )


def elliptic_perimeters(surface: Surface, wall: Wall, levels: Floats) -> Floats:
    """Perimeters (m,) at heights `levels` of the surface a wall's thickness inside."""
    directions = surface.directions
    s, inner = _stations(surface, wall, directions)
    return perimeters(*_touched(surface, wall, levels, s, inner), directions)


def _stations(surface: Surface, wall: Wall, directions: Directions) -> tuple[Floats, Floats]:
    """Stations along the meridian and their mapped heights (directions, stations)."""
    s = surface.curve.thin_stations(STATIONS)
    inner = _mapped(surface, wall, s, directions)
    closer = closer_stations(s, inner, (wall.base_mm + wall.rim_mm) / 4)
    return closer, inner if len(closer) == len(s) else _mapped(surface, wall, closer, directions)


def _touched(
    surface: Surface, wall: Wall, levels: Floats, s: Floats, inner: Floats
) -> tuple[Floats, Floats]:
    """Support and turning (directions, levels), from the mapped heights of stations `s`."""
    directions = surface.directions
    contact = np.empty((len(directions.cos), len(levels)))
    for row, heights in enumerate(inner):
        contact[row], unsure = first_contacts(levels, s, heights)
        if unsure.any():
            contact[row, unsure] = _searched(surface, wall, levels[unsure], directions.only(row))
    return _ball_edge(surface, wall, levels, contact, directions)


def thickness(surface: Surface, wall: Wall, height: Floats) -> Floats:
    return wall.base_mm + (wall.rim_mm - wall.base_mm) / surface.height * height


def mapped_heights(
    surface: Surface, wall: Wall, height: Floats, spread: Floats, rise: Floats
) -> Floats:
    """Heights of the points where the balls' envelope is touched from places at `height` that
    spread along their normal and rise.

    A ball whose radius grows by τ per length of the curve touches the envelope at the angle
    asin τ behind the normal. NaN where there is no normal, and everywhere where a wall thins or
    thickens by more than it rises: parts of it have no envelope (τ ≥ 1), and the places of the
    others say nothing for those.
    """
    taper = (wall.rim_mm - wall.base_mm) / surface.height
    with np.errstate(invalid="ignore", divide="ignore"):
        speed = np.hypot(spread, rise)
        growth = taper * rise / speed if abs(taper) < 1 else np.full_like(speed, np.nan)
        turned = np.sqrt(1 - growth**2) * spread / speed - growth * rise / speed
    return np.asarray(height + thickness(surface, wall, height) * turned)


def _mapped(surface: Surface, wall: Wall, s: Floats, directions: Directions) -> Floats:
    """Heights (directions, stations) of the points where the balls' envelope is touched."""
    front, depth, height = surface.curve.at(s)
    front_slope, depth_slope, rise = surface.curve.slopes_at(s)
    cos, sin = directions.cos[:, np.newaxis], directions.sin[:, np.newaxis]
    reach = np.hypot(front * cos, depth * sin)
    spread = front * front_slope * cos**2 + depth * depth_slope * sin**2
    # On the axis the section closes: its support falls like the half-widths themselves.
    closing = -np.hypot(front_slope * cos, depth_slope * sin)
    spread = np.divide(spread, reach, out=closing, where=reach > NO_WIDTH_MM)
    return mapped_heights(surface, wall, height, spread, rise)


def _levels(
    surface: Surface, wall: Wall, s: Floats, inner: Floats, floor_mm: float
) -> tuple[Floats, Floats]:
    """Heights and weights of a quadrature from floor to rim, dense where the hollow turns flat.

    Panels end at the heights that the map gives in the first and last direction and at
    points of the round edges.
    """
    every = max(len(s) // STATIONS, 1)
    edges = (
        inner[0, ::every],
        inner[-1, ::every],
        round_edges(wall, surface.height),
        crease_edges(wall, floor_mm, surface.height, s, inner),
    )
    return level_panels(np.concatenate(edges), floor_mm, surface.height)


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
    left_over = thickness(surface, wall, height) ** 2 - (levels - height) ** 2
    return reach - np.sqrt(np.maximum(left_over, 0)), turning


def _searched(surface: Surface, wall: Wall, levels: Floats, directions: Directions) -> Floats:
    """Contact parameters (levels,) in one direction by search over closely spaced stations.

    The lowest ball says on which branch of the map the contact lies, the map where: at a
    minimum it rises through the level. At a corner or an end the station itself is it.
    """
    spacing = min(wall.base_mm, wall.rim_mm) / STATIONS_PER_WALL
    count = min(int(surface.curve.length / spacing), MOST_STATIONS)
    s = surface.curve.thin_stations(max(STATIONS, count))
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
    squared = thickness(surface, wall, heights) ** 2
    window = window_of(heights, levels, max(wall.base_mm, wall.rim_mm))
    left_over = squared[window] - (levels[:, np.newaxis] - heights[window]) ** 2
    reach = support[window] - np.sqrt(np.maximum(left_over, 0))
    best = np.argmin(np.where(left_over >= 0, reach, np.inf), axis=1)
    return np.asarray(window[np.arange(len(levels)), best])
