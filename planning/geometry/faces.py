"""Hollow faces: what is left of level sections when the discs of the wall are taken out.

`Raw` holds, for each level, the places of the outer wall that bite deepest, one for each node of
the outline, and the radius of their discs. The points at that radius inside, along the horizontal
normals, draw a raw ring. Every edge of the hollow is part of the raw ring, and no part of the raw
ring enters the hollow, since each of its points lies on a disc. So where the raw ring crosses
itself or runs backwards (at tips and corners, in a waist), it is cut into faces at its crossings,
and those are hollow whose inner point no disc covers.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from .profile import Floats
from .shell import Shell
from .tolerances import LEAST_FACE_MM2, LEAST_POCKET, SAME_PLACE_MM, STEADY_SHARE
from .trimming import trimmed

Flags = NDArray[np.bool_]
Indices = NDArray[np.intp]
Polygons = NDArray[np.object_]


@dataclass(frozen=True)
class Raw:
    """`outer` and `radius` (nodes, levels)."""

    outer: Shell
    radius: Floats


@dataclass(frozen=True)
class Faces:
    """Hollow faces: polygons (k,) and the index of the level that each lies at (k,)."""

    polygons: Polygons
    level: Indices

    @property
    def areas(self) -> Floats:
        return np.asarray(shapely.area(self.polygons), dtype=np.float64)

    @property
    def perimeters(self) -> Floats:
        return np.asarray(shapely.length(self.polygons), dtype=np.float64)

    @property
    def middles(self) -> Floats:
        """Centres of area (k, 2)."""
        return shapely.get_coordinates(shapely.centroid(self.polygons))

    def sums(self, values: Floats, count: int) -> Floats:
        """Values of the faces (k,) summed for each of `count` levels."""
        return np.asarray(np.bincount(self.level, values, count), dtype=np.float64)

    def widths(self, count: int) -> tuple[Floats, Floats]:
        """Front and depth of all that is hollow at each of `count` levels, 0 where nothing is."""
        low, high = np.full((2, count), np.inf), np.full((2, count), -np.inf)
        bounds = shapely.bounds(self.polygons).T
        for axis in (0, 1):
            np.minimum.at(low[axis], self.level, bounds[axis])
            np.maximum.at(high[axis], self.level, bounds[axis + 2])
        front, depth = np.maximum(high - low, 0)
        return front, depth

    def aside(self, volumes: Floats) -> int | None:
        """Which face is the widest of a part of the hollow that hangs together with no other,
        the main part apart; None where there is one part only. `volumes` (k,) of the faces."""
        if (np.bincount(self.level) <= 1).all():
            return None
        below, above = np.nonzero(self.level[:, np.newaxis] + 1 == self.level)
        touch = shapely.intersects(self.polygons[below], self.polygons[above])
        links = coo_array(
            (np.ones(touch.sum()), (below[touch], above[touch])), (len(self.level),) * 2
        )
        count, part = connected_components(links, directed=False)
        sizes = np.bincount(part, volumes, count)
        apart = sizes > LEAST_POCKET * sizes.sum()
        apart[sizes.argmax()] = False
        others = np.flatnonzero(apart[part])
        return int(others[self.areas[others].argmax()]) if len(others) else None


def hollow_faces(raw: Raw) -> Faces:
    """All hollow faces of all levels."""
    rings, forward, steady = _raw_rings(raw)
    plain = np.asarray(forward.all(axis=1))
    tipped = np.flatnonzero(~plain)
    rings[tipped], plain[tipped] = trimmed(rings[tipped], forward[tipped], steady[tipped])
    polygons = np.asarray(shapely.polygons(rings))
    plain[plain] = shapely.is_valid(polygons[plain])
    hollow = plain.copy()
    hollow[plain] = shapely.area(polygons[plain]) > LEAST_FACE_MM2
    whole = Faces(polygons[hollow], np.flatnonzero(hollow))
    if plain.all():
        return whole
    cut = _cut(Faces(polygons[~plain], np.flatnonzero(~plain)))
    hollow = ~_covered(cut, raw)
    return Faces(
        np.append(whole.polygons, cut.polygons[hollow]), np.append(whole.level, cut.level[hollow])
    )


def _raw_rings(raw: Raw) -> tuple[Floats, Flags, Flags]:
    """The rings (levels, points, 2); which of their sides run forward; and which are steady (both
    (levels, points)): at a crease contacts jump from one branch to another, and their places don't
    draw a ring of the outside there."""
    ring = raw.outer.place - raw.radius * raw.outer.normal
    tangent = np.stack((-raw.outer.normal[1], raw.outer.normal[0]))
    side, next_tangent = np.roll(ring, -1, axis=1) - ring, np.roll(tangent, -1, axis=1)
    forward = (side * (tangent + next_tangent)).sum(axis=0) >= -SAME_PLACE_MM
    # A point between any two, a third farther out than the arc: the area is then that of the
    # arcs, where straight sides cut it short. What runs backwards bounds nothing.
    leaving = (side * tangent).sum(axis=0) * tangent
    arriving = (side * next_tangent).sum(axis=0) * next_tangent
    between = ring + side / 2 + (leaving - arriving) / 6 * forward
    drawn = np.stack((ring, between), axis=2).reshape(2, 2 * ring.shape[1], ring.shape[2])
    jump = np.abs(np.roll(raw.outer.height, -1, axis=0) - raw.outer.height)
    steady = jump < STEADY_SHARE * raw.radius.max(axis=0)
    apart = np.repeat(np.abs(side).max(axis=(0, 2), initial=0.0) > SAME_PLACE_MM, 2)
    if not apart.any():  # all on the axis
        apart[:] = True
    forward, steady = (np.repeat(each, 2, axis=0)[apart].T for each in (forward, steady))
    return drawn[:, apart].transpose(2, 1, 0), forward, steady


def _cut(rings: Faces) -> Faces:
    """The faces of rings that cross themselves, without the specks at their crossings."""
    lines = np.asarray(shapely.get_exterior_ring(rings.polygons))[:, np.newaxis]
    sides = np.asarray(shapely.union_all(lines, axis=1))  # cut wherever they meet
    faces = shapely.polygonize(sides[:, np.newaxis])
    parts, row = shapely.get_parts(faces, return_index=True)
    large = shapely.area(parts) > LEAST_FACE_MM2
    return Faces(parts[large], rings.level[row[large]])


def _covered(faces: Faces, raw: Raw) -> Flags:
    """Whether a disc of its own level covers a face's inner point (k,)."""
    inside = shapely.get_coordinates(shapely.point_on_surface(faces.polygons)).T
    towards = inside[:, np.newaxis] - raw.outer.place[:, :, faces.level]
    near = (towards**2).sum(axis=0) < raw.radius[:, faces.level] ** 2
    covered = np.asarray(near.any(axis=0))
    left = np.flatnonzero(~covered)
    covered[left] = _slipped_through(towards[:, :, left], raw, faces.level[left])
    return covered


def _slipped_through(towards: Floats, raw: Raw, level: Indices) -> Flags:
    """Whether points (k,), seen from the nodes as `towards` (2, nodes, k), lie within discs that
    stand between two nodes, on the line that joins them."""
    place, radius = raw.outer.place[:, :, level], raw.radius[:, level]
    side = np.roll(place, -1, axis=1) - place
    length = (side**2).sum(axis=0)
    along = (side * towards).sum(axis=0)
    share = np.divide(along, length, out=np.zeros_like(length), where=length > 0).clip(0, 1)
    reach = radius + share * (np.roll(radius, -1, axis=0) - radius)
    apart = ((towards - share * side) ** 2).sum(axis=0)
    return np.asarray((apart < reach**2).any(axis=0))
