"""The hollow as sections from the floor to the rim plane, however they were found."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .inputs import Wall
from .profile import Floats
from .tolerances import (
    MOST_BETWEEN_STATIONS,
    MOST_CREASE_PANELS,
    SAME_PLACE_MM,
    STATIONS_PER_WALL,
)


@dataclass(frozen=True)
class Hollow:
    """Sections of the hollow at levels.

    `levels`, `weights`, `areas` (m,): Σ weights·areas is the capacity in mm³, and the first
    and last level are the floor and the rim plane with weight 0. `fronts` and `depths` (m,)
    are the inner widths, 0 where nothing is hollow. `side_moments` (2,) are ∫x dV and ∫y dV,
    mm⁴. `parted_at` is a height at which the outline parts the hollow.
    """

    levels: Floats
    weights: Floats
    areas: Floats
    floor_perimeter: float
    fronts: Floats
    depths: Floats
    side_moments: Floats
    parted_at: float | None = None

    @property
    def volume(self) -> float:
        return float(self.weights @ self.areas)

    @property
    def moment(self) -> float:
        """∫ z dV, mm⁴."""
        return float((self.weights * self.levels) @ self.areas)

    def volume_below(self, heights: Floats) -> Floats:
        """Hollow (mm³) from the floor up to heights (k,), by the line through each panel's two
        nodes: the same sum as `volume` at every panel's end."""
        nodes = self.levels[1:-1].reshape(-1, 2)
        sizes = self.areas[1:-1].reshape(-1, 2)
        half = self.weights[1:-1:2]
        start = nodes.mean(axis=1) - half
        below = np.append(0.0, np.cumsum(half * sizes.sum(axis=1)))
        panel = np.clip(np.searchsorted(start, heights) - 1, 0, len(start) - 1)
        up = np.clip(heights - start[panel], 0, 2 * half[panel])
        slope = np.diff(sizes, axis=1)[:, 0] / np.diff(nodes, axis=1)[:, 0]
        mean = sizes.mean(axis=1)[panel] + slope[panel] * (up / 2 - half[panel])
        return np.asarray(below[panel] + up * mean)


def level_panels(edges: Floats, floor_mm: float, rim_mm: float) -> tuple[Floats, Floats]:
    """Levels and weights from floor to rim: two Gauss-Legendre nodes between any two edges, and
    the floor and the rim themselves without weight."""
    panel = np.append(edges[np.isfinite(edges)], [floor_mm, rim_mm])
    panel = np.unique(np.clip(panel, floor_mm, rim_mm))
    half = np.diff(panel) / 2
    middle = panel[:-1] + half
    away = half / np.sqrt(3)
    nodes = np.stack((middle - away, middle + away), axis=-1).ravel()
    return (
        np.concatenate(([floor_mm], nodes, [rim_mm])),
        np.concatenate(([0.0], np.repeat(half, 2), [0.0])),
    )


def closer_stations(s: Floats, inner: Floats, most_mm: float) -> Floats:
    """Stations with more between two whose mapped heights (nodes, stations) lie farther than
    `most_mm` apart, as they do where the wall bends sharply."""
    jump = np.nan_to_num(np.abs(np.diff(inner))).max(axis=0)
    count = np.clip(np.ceil(jump / most_mm), 1, MOST_BETWEEN_STATIONS).astype(np.intp)
    if (count == 1).all():
        return s
    cell = np.repeat(np.arange(len(count)), count)
    place = np.arange(len(cell)) - np.repeat(np.cumsum(count) - count, count)
    inner_places: Floats = s[cell] + np.diff(s)[cell] * place / count[cell]
    return np.append(inner_places, s[-1])


def first_contacts(levels: Floats, s: Floats, inner: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Where one node's mapped heights `inner` (stations,) pass each level, and whether they may
    do so more than once: read from below and from above, the map gives two places there."""
    if (np.diff(inner) > 0).all():
        return np.interp(levels, inner, s), np.zeros(len(levels), dtype=np.bool_)
    known = np.flatnonzero(np.isfinite(inner))
    if not len(known):
        return np.zeros(len(levels)), np.ones(len(levels), dtype=np.bool_)
    highest, lowest = np.fmax.accumulate(inner), np.fmin.accumulate(inner[::-1])[::-1]
    highest[: known[0]], lowest[known[-1] :] = inner[known[0]], inner[known[-1]]
    from_below, from_above = (np.interp(levels, each, s) for each in (highest, lowest))
    return from_below, np.abs(from_above - from_below) > SAME_PLACE_MM


def crease_edges(wall: Wall, floor_mm: float, rim_mm: float, s: Floats, inner: Floats) -> Floats:
    """Heights close together wherever one of the maps (nodes, stations) passes a height more than
    once: somewhere there the hollow has a crease."""
    if (np.diff(inner) > 0).all():
        return np.empty(0)
    spacing = min(wall.base_mm, wall.rim_mm) / STATIONS_PER_WALL
    # Three at the least, so that there is one between floor and rim however low the rim is.
    count = min(max(int((rim_mm - floor_mm) / spacing) + 2, 3), MOST_CREASE_PANELS)
    heights = np.linspace(floor_mm, rim_mm, count)
    creased = np.any([first_contacts(heights, s, each)[1] for each in inner], axis=0)
    beside = np.convolve(creased, np.ones(3), mode="same") > 0
    return np.asarray(heights[beside])


def round_edges(wall: Wall, rim_mm: float) -> Floats:
    """Heights of points of the balls around the wall's two edges."""
    turn = np.sin(np.linspace(0, np.pi / 2, 9))
    return np.concatenate((rim_mm - wall.rim_mm * turn, wall.base_mm * turn))


def window_of(heights: Floats, levels: Floats, reach: float) -> NDArray[np.intp]:
    """Which of the rising `heights` lie within `reach` of each level: (levels, widest window);
    a narrower one is filled up with what follows."""
    low = np.searchsorted(heights, levels - reach)
    high = np.searchsorted(heights, levels + reach)
    window = low[:, np.newaxis] + np.arange((high - low).max())
    return np.asarray(np.minimum(window, len(heights) - 1))
