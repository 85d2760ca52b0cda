"""The hollow of a form that isn't elliptic, level by level, convex or not.

As in `offset`, the wall removes a ball around each outer point. At a level z the balls around
the outer section at parameter s leave discs of radius ρ = √(t² - (z - z(s))²), so what remains
there lies at least ρ(s) within every outer section. For every node of the outline one parameter is
found at which that bites deepest, and the rings drawn by them are cleaned in `faces`.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from .faces import Faces, Indices, Raw, hollow_faces
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
from .offset import mapped_heights, thickness
from .profile import Floats
from .rings import Rings
from .shell import Shell, leanings, shell
from .surface import HEIGHT, Surface
from .tolerances import (
    MOST_STATIONS,
    RING_CREASE_NODES,
    RING_LEVEL_STATIONS,
    RING_STATIONS_PER_WALL,
    SAME_NORMAL,
    SEARCHED_AT_ONCE,
    STATIONS,
)


@dataclass(frozen=True)
class Walled:
    """An outer surface of rings and the wall within it, linear in height."""

    surface: Surface
    rings: Rings
    wall: Wall

    def mapped(self, s: Floats, outer: Shell | None = None) -> Floats:
        """Heights (nodes, m) of the points where the balls' envelope is touched, from `s` (m,)."""
        outer = outer or shell(self.surface, self.rings, s)
        spread, rise = leanings(self.surface, self.rings, s, outer)
        return mapped_heights(self.surface, self.wall, outer.height, spread, rise)

    def stations(self) -> tuple[Floats, Floats]:
        """Stations along the meridian and their mapped heights (nodes, stations)."""
        s = self.surface.curve.thin_stations(STATIONS)
        inner = self.mapped(s)
        closer = closer_stations(s, inner, (self.wall.base_mm + self.wall.rim_mm) / 4)
        return closer, inner if len(closer) == len(s) else self.mapped(closer)

    def radius(self, heights: Floats, levels: Floats) -> Floats:
        """Of the discs at levels around places at heights; NaN where the ball ends before."""
        left_over = thickness(self.surface, self.wall, heights) ** 2 - (levels - heights) ** 2
        return np.sqrt(np.where(left_over >= 0, left_over, np.nan))


def ring_hollow(walled: Walled, floor_mm: float) -> Hollow:
    """The hollow above `floor_mm`."""
    s, inner = walled.stations()
    levels, weights = _levels(walled, floor_mm, s, inner)
    faces = _faces(walled, levels, s, inner)
    count, sizes = len(levels), weights[faces.level] * faces.areas
    fronts, depths = faces.widths(count)
    aside = faces.aside(sizes)
    return Hollow(
        levels,
        weights,
        faces.sums(faces.areas, count),
        float(faces.sums(faces.perimeters, count)[0]),
        fronts,
        depths,
        sizes @ faces.middles,
        None if aside is None else float(levels[faces.level[aside]]),
    )


def ring_inner_perimeters(walled: Walled, levels: Floats) -> Floats:
    """Perimeters (m,) at heights `levels` of the surface that lies the wall's thickness inside."""
    faces = ring_sections(walled, levels)
    return faces.sums(faces.perimeters, len(levels))


def ring_sections(walled: Walled, levels: Floats) -> Faces:
    """What is hollow at heights `levels` (m,)."""
    return _faces(walled, levels, *walled.stations())


def _levels(walled: Walled, floor_mm: float, s: Floats, inner: Floats) -> tuple[Floats, Floats]:
    """Panels end where the map takes some stations at the widest and the deepest node."""
    surface, place = walled.surface, walled.rings.place
    nodes = [int(place[0].argmax()), int(place[1].argmax())]
    every = max(len(surface.curve.thin_stations(STATIONS)) // RING_LEVEL_STATIONS, 1)
    edges = (
        inner[nodes, ::every].ravel(),
        round_edges(walled.wall, surface.height),
        crease_edges(walled.wall, floor_mm, surface.height, s, inner[::RING_CREASE_NODES]),
    )
    return level_panels(np.concatenate(edges), floor_mm, surface.height)


def _faces(walled: Walled, levels: Floats, s: Floats, inner: Floats) -> Faces:
    found = [first_contacts(levels, s, heights) for heights in inner]
    contact, unsure = (np.array(each) for each in zip(*found, strict=True))
    nodes, some = np.flatnonzero(unsure.any(axis=1)), unsure.any(axis=0)
    if len(nodes):
        block = np.ix_(nodes, some)
        searched = _searched(walled, levels[some], nodes)
        contact[block] = np.where(unsure[block], searched, contact[block])
    outer = shell(walled.surface, walled.rings, contact)
    return hollow_faces(Raw(outer, np.nan_to_num(walled.radius(outer.height, levels))))


@dataclass(frozen=True)
class _Search:
    """Stations (n,), and for each level (m,) those whose balls reach it (m, window), with the
    radius of their discs (NaN where they end before), and the level's own place on the meridian."""

    s: Floats
    levels: Floats
    window: Indices
    radius: Floats
    own: Floats


def _searched(walled: Walled, levels: Floats, nodes: Indices) -> Floats:
    """Contact parameters (nodes, levels) by search over closely spaced stations, as in `offset`:
    the disc that bites deepest says on which branch of the map the contact lies, the map where."""
    curve, wall = walled.surface.curve, walled.wall
    spacing = min(wall.base_mm, wall.rim_mm) / RING_STATIONS_PER_WALL
    s = curve.thin_stations(max(STATIONS, min(int(curve.length / spacing), MOST_STATIONS)))
    heights = curve.at(s)[HEIGHT]
    window = window_of(heights, levels, max(wall.base_mm, wall.rim_mm))
    radius = walled.radius(heights[window], levels[:, np.newaxis])
    search = _Search(s, levels, window, radius, walled.surface.parameters_at(levels))
    chunk = max(SEARCHED_AT_ONCE // window.size, 1)
    return np.concatenate(
        [
            _contacts(replace(walled, rings=walled.rings.only(some)), search)
            for some in np.split(nodes, np.arange(chunk, len(nodes), chunk))
        ]
    )


def _contacts(walled: Walled, search: _Search) -> Floats:
    """Contact parameters (nodes, levels) of the walled form's own nodes."""
    s, levels = search.s, search.levels
    outer = shell(walled.surface, walled.rings, s)
    best = _deepest(walled, search, outer.normal)
    inner = walled.mapped(s, outer)
    contact: Floats = s[best]
    for low in (np.maximum(best - 1, 0), np.minimum(best, len(s) - 2)):
        start = np.take_along_axis(inner, low, axis=1)
        gap = np.take_along_axis(inner, low + 1, axis=1) - start
        past = np.divide(levels - start, gap, out=np.full_like(gap, -1.0), where=gap > 0)
        between: NDArray[np.bool_] = (past >= 0) & (past <= 1)
        contact = np.where(between, s[low] + past * (s[low + 1] - s[low]), contact)
    return contact


def _deepest(walled: Walled, search: _Search, normals: Floats) -> Indices:
    """Which station's disc reaches farthest inward at each level, seen along the normal there:
    (nodes, levels), from all stations' `normals` (2, nodes, stations). A place is linear in the
    half-widths and their products with the height."""
    surface, rings, window = walled.surface, walled.rings, search.window
    front, depth, height = surface.curve.at(search.s)
    share = height / surface.height
    scale = np.stack((front, depth)) / rings.extent.at(share)[0]
    towards = shell(surface, rings, search.own).normal
    parts = [(rings.place, scale), (rings.change, scale * share)][: 1 + rings.changes]
    of_nodes = np.concatenate([towards * each[..., np.newaxis] for each, _ in parts])
    of_stations = np.concatenate([each[:, window] for _, each in parts])
    reach = (of_nodes.transpose(2, 1, 0) @ of_stations.transpose(1, 0, 2)).transpose(1, 0, 2)
    reach -= search.radius * _lean(normals, towards, window)
    reach[:, np.isnan(search.radius)] = np.inf
    best: Indices = reach.argmin(axis=2)
    return np.asarray(window[np.arange(len(window)), best])


def _lean(normals: Floats, towards: Floats, window: Indices) -> Floats:
    """Cosines (nodes, levels, window) between the normals (2, nodes, stations) and those at the
    levels; 1 where a form keeps its shape and they never turn."""
    if np.ptp(normals, axis=2).max() < SAME_NORMAL:
        return np.ones(1)
    width = window.shape[1]
    after = np.pad(normals, ((0, 0), (0, 0), (0, width)), mode="edge")
    near = np.lib.stride_tricks.sliding_window_view(after, width, axis=2)[:, :, window[:, 0]]
    near *= towards[..., np.newaxis]
    near[0] += near[1]
    return np.asarray(near[0])
