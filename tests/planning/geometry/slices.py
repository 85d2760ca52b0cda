"""Forms of every outline measured another way: dense outlines drawn by GEOS, blended by reading
radii, and hollows cut level by level out of neighbouring slices with GEOS buffers."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline
from shapely.geometry.base import BaseGeometry

from planning.geometry.inputs import Outline, Wall
from planning.geometry.outline import radial
from planning.geometry.rings import rings
from planning.geometry.surface import Surface, surface_of_rings, surface_with_side

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Sample:
    """A form as it was drawn: meridians of (half-width, height), and its outlines."""

    front: Floats
    base: Outline
    rim: Outline | None = None
    side: Floats | None = None

    def surface(self) -> Surface:
        ring = rings(radial(self.base), None if self.rim is None else radial(self.rim))
        if self.side is None:
            return surface_of_rings(self.front, ring)
        return surface_with_side(self.front, self.side, ring)


def drawn(outline: Outline, *, smooth: bool = False) -> Floats:
    """An outline as a dense polygon (n, 2), half-width 1, its middle at the origin.

    `smooth`: a traced one goes through its points as a periodic cubic spline.
    """
    ratio = outline.depth_ratio
    match outline.shape:
        case "leaf":
            # Two discs through both tips: radius (1 + d²)/2d.
            radius = (1 + ratio**2) / (2 * ratio)
            discs = [
                shapely.Point(0, sign * (radius - ratio)).buffer(radius, quad_segs=3000)
                for sign in (-1, 1)
            ]
            shape = discs[0].intersection(discs[1])
        case "rounded_square":
            core = shapely.box(*(np.array([-1, -1, 1, 1]) * (1 - outline.corner_ratio)))
            shape = core.buffer(outline.corner_ratio, quad_segs=800)
        case "traced":
            shape = shapely.Polygon(_spline(outline.points) if smooth else outline.points)
        case _:
            shape = shapely.Point(0, 0).buffer(1, quad_segs=1000)
    points: Floats = shapely.get_coordinates(shape)[:-1]
    low, high = points.min(axis=0), points.max(axis=0)
    points = (points - (low + high) / 2) / ((high[0] - low[0]) / 2)
    if outline.shape in ("oval", "rounded_square"):
        points[:, 1] *= ratio
    return points


def _spline(points: tuple[tuple[float, float], ...]) -> Floats:
    ring = np.array((*points, points[0]))
    curve = CubicSpline(np.arange(len(ring)), ring, bc_type="periodic")
    return np.asarray(curve(np.linspace(0, len(points), 6000, endpoint=False)))


def radii(points: Floats, angles: Floats) -> Floats:
    """Where rays from the origin meet a dense polygon."""
    seen = np.arctan2(points[:, 1], points[:, 0])
    order = np.argsort(seen)
    x, y = points[order].T
    low = np.searchsorted(seen[order], np.arctan2(np.sin(angles), np.cos(angles))) - 1
    high = (low + 1) % len(order)
    cross = x[low] * y[high] - x[high] * y[low]
    cos, sin = np.cos(angles), np.sin(angles)
    return np.asarray(cross / (cos * (y[high] - y[low]) - sin * (x[high] - x[low])))


class Slices:
    """Outer sections of a sample at any height, as polygons of `count` points at least."""

    def __init__(self, sample: Sample, count: int = 720) -> None:
        self.surface = sample.surface()
        self.sample = sample
        self.height = float(sample.front[-1, 1])
        ends = [drawn(each, smooth=True) for each in (sample.base, sample.rim or sample.base)]
        even = np.linspace(-np.pi, np.pi, count, endpoint=False)
        corners = np.concatenate([_corners(each) for each in ends])
        angles = np.unique(np.concatenate((even, corners)))
        self.ray = np.stack((np.cos(angles), np.sin(angles)), axis=-1)
        self.radii = [radii(each, angles) for each in ends]

    def points(self, height: float) -> Floats:
        share = height / self.height
        ring = self.ray * ((1 - share) * self.radii[0] + share * self.radii[1])[:, np.newaxis]
        half = np.ptp(ring, axis=0) / 2
        front, depth, _ = self.surface.curve.at(self.surface.parameters_at(np.array([height])))
        if self.sample.side is None:
            return np.asarray(ring * (front[0] / half[0]))
        return np.asarray(ring * (np.array([front[0], depth[0]]) / half))

    def section(self, height: float) -> shapely.Polygon:
        return shapely.Polygon(self.points(height))

    def hollow(self, height: float, wall: Wall, count: int = 40) -> BaseGeometry:
        """What lies at least the wall's thickness from all outer sections near a height."""
        left: BaseGeometry = self.section(height)
        reach = max(wall.base_mm, wall.rim_mm)
        # Evenly turned as seen from the inside, so that no stretch of the balls is left out.
        turn = np.sin(np.linspace(-np.pi / 2, np.pi / 2, count))
        near = np.unique(np.clip(height + reach * turn, 0, self.height))
        for level in near:
            thickness = wall.base_mm + (wall.rim_mm - wall.base_mm) * level / self.height
            if abs(level - height) < thickness:
                radius = float(np.sqrt(thickness**2 - (level - height) ** 2))
                inner = shapely.buffer(self.section(float(level)), -radius, quad_segs=24)
                left = left.intersection(inner)
        return left


def _corners(points: Floats) -> Floats:
    """Angles at which a dense polygon turns by more than a few degrees."""
    after = np.roll(points, -1, axis=0) - points
    before = np.roll(after, 1, axis=0)
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turn = np.abs(np.arctan2(cross, (before * after).sum(axis=1)))
    return np.asarray(np.arctan2(points[:, 1], points[:, 0])[turn > np.radians(3)])
