"""Outlines and shelves as points, circles and tangents. Pots are convex here: a hull stands for
a traced outline, because what doesn't touch the hull doesn't touch the pot."""

from dataclasses import dataclass
from functools import lru_cache
from math import cos, radians, sin

import numpy as np
import shapely
from numpy.typing import NDArray

from .inputs import Outline, Piece, Placement, Shelf
from .tolerances import OUTLINE_POINTS, SHELF_FACES

Floats = NDArray[np.float64]

OCTAGON_CORNER = np.tan(np.pi / 8)
"""Half of an octagon's side ÷ half of the distance across its flats."""

CENTRE = Placement("", 0.0, 0.0, 0.0)


@dataclass(frozen=True, eq=False)
class Body:
    """A pot's outline around its centre, unturned: a circle has a radius, all have points (m, 2).

    `folds` is into how many equal turns a full one falls; None for a circle.
    """

    points: Floats
    radius_mm: float | None
    folds: int | None


def body(piece: Piece) -> Body:
    """The outline of a piece at its size."""
    return _body(piece.outline, piece.front_mm, piece.depth_mm)


@lru_cache(maxsize=1024)
def _body(outline: Outline, front_mm: float, depth_mm: float) -> Body:
    points = _unit(outline, depth_mm / front_mm) * (front_mm / 2, depth_mm / 2)
    if outline.shape in {"round", "oval"} and front_mm == depth_mm:
        return Body(points, front_mm / 2, None)
    square = outline.shape == "rounded_square" and front_mm == depth_mm
    folds = 4 if square else 1 if outline.shape == "traced" else 2
    return Body(points, None, folds)


def _unit(outline: Outline, depth_ratio: float) -> Floats:
    """The outline with half-widths 1 in both directions, counter-clockwise (m, 2)."""
    match outline.shape:
        case "leaf":
            return _lens(min(depth_ratio, 1.0))
        case "rounded_square":
            return _rounded_square(outline.corner_ratio)
        case "traced":
            return _hull(outline.points)
    return circle(OUTLINE_POINTS)


def circle(count: int) -> Floats:
    """Points (count, 2) evenly around the unit circle, the first on the x axis."""
    angle = np.arange(count) * (2 * np.pi / count)
    return np.stack((np.cos(angle), np.sin(angle)), axis=-1)


def _lens(rise: float) -> Floats:
    """Two equal arcs from tip to tip, in the proportion of the pot, then made one deep."""
    half = 2 * np.arctan(rise)
    angle = np.linspace(-half, half, OUTLINE_POINTS // 2, endpoint=False)
    radius = 1 / np.sin(half)
    sagitta = radius * (np.cos(angle) - np.cos(half))
    front = np.stack((radius * np.sin(angle), -sagitta / rise), axis=-1)
    return np.concatenate((front, -front))


def _rounded_square(corner_ratio: float) -> Floats:
    turns = np.arange(4)[:, np.newaxis] * (np.pi / 2)
    angle = (turns + np.linspace(0, np.pi / 2, OUTLINE_POINTS // 4)).ravel()
    corners = np.repeat([[1, 1], [-1, 1], [-1, -1], [1, -1]], OUTLINE_POINTS // 4, axis=0)
    arc = np.stack((np.cos(angle), np.sin(angle)), axis=-1)
    return np.asarray(corners * (1 - corner_ratio) + arc * corner_ratio)


def _hull(traced: tuple[tuple[float, float], ...]) -> Floats:
    hull = shapely.orient_polygons(shapely.convex_hull(shapely.MultiPoint(traced)))
    points = shapely.get_coordinates(hull)[:-1]
    low, high = points.min(axis=0), points.max(axis=0)
    return np.asarray((2 * points - low - high) / (high - low), dtype=np.float64)


def turned(points: Floats, turn_deg: float) -> Floats:
    """Points (m, 2) turned counter-clockwise about the origin."""
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    return np.asarray(points @ np.array([[c, s], [-s, c]]))


def outline_points(piece: Piece, placement: Placement = CENTRE) -> tuple[tuple[float, float], ...]:
    """The outline of a piece where it stands, for drawing, counter-clockwise.

    >>> outline_points(Piece("K7-3F", 100, 100, 200), Placement("K7-3F", 10, 0))[0]
    (60.0, 0.0)
    """
    centre = np.array([placement.x_mm, placement.y_mm])
    placed = turned(body(piece).points, placement.turn_deg) + centre
    return tuple((float(x), float(y)) for x, y in placed)


@dataclass(frozen=True, eq=False)
class Edge:
    """A shelf's edge as tangents: normals (k, 2) outward and their distances (k,).

    `curved`: the tangents stand for a curve; `radius_mm` where that is a circle.
    """

    normals: Floats
    distances: Floats
    curved: bool
    radius_mm: float | None


def edge(shelf: Shelf) -> Edge:
    """The tangents of a shelf's edge."""
    half_x, half_y = shelf.width_mm / 2, shelf.depth_mm / 2
    match shelf.shape:
        case "rectangle":
            normals = circle(4).round()
            return Edge(normals, np.abs(normals) @ (half_x, half_y), False, None)
        case "octagon":
            return Edge(circle(8), np.full(8, half_x), False, None)
    normals = circle(SHELF_FACES)
    distances = np.hypot(half_x * normals[:, 0], half_y * normals[:, 1])
    return Edge(normals, distances, True, half_x if half_x == half_y else None)


def shelf_points(shelf: Shelf) -> tuple[tuple[float, float], ...]:
    """The edge of a shelf for drawing, counter-clockwise.

    >>> shelf_points(Shelf("rectangle", 400, 300))
    ((200.0, 150.0), (-200.0, 150.0), (-200.0, -150.0), (200.0, -150.0))
    """
    match shelf.shape:
        case "rectangle":
            points = np.array([[1, 1], [-1, 1], [-1, -1], [1, -1]], dtype=float)
        case "octagon":
            c = OCTAGON_CORNER
            points = np.array(
                [[1, -c], [1, c], [c, 1], [-c, 1], [-1, c], [-1, -c], [-c, -1], [c, -1]]
            )
        case _:
            points = circle(SHELF_FACES)
    placed = points * (shelf.width_mm / 2, shelf.depth_mm / 2)
    return tuple((float(x), float(y)) for x, y in placed)
