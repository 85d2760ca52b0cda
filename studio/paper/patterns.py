"""Clay in black and white: each stage has its own pattern, so that a copier keeps them apart."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from math import cos, pi, sin

import numpy as np
from shapely import (
    MultiLineString,
    Polygon,
    contains_xy,
    get_coordinates,
    get_parts,
    make_valid,
)
from shapely.geometry.base import BaseGeometry

from .pages import Mark, Point, Shape

# Greys of a whole surface; every other stage is black on white.
FILLS = {"wet": 0.68, "glaze_fired": 0.4}
DASHED = {"on_paper", "planned", "missing"}
LINE_MM = 0.16
DOT_MM = 0.2  # a dot's radius: drawn with six corners, since a page has thousands
HEXAGON = [(DOT_MM * cos(pi * turn / 3), DOT_MM * sin(pi * turn / 3)) for turn in range(6)]
TILE_MM = 2.7
DOTS = ((0.5, 0.6), (1.9, 0.4), (1.2, 1.4), (2.4, 1.8), (0.4, 2.2), (1.6, 2.4))


def filled(shape: Shape, stage: str) -> list[Mark]:
    """A closed shape with the surface of clay at this stage; white at a stage not known here.

    Lines and dots lie on a lattice of the whole page, so that neighbours match.
    """
    area = make_valid(Polygon(shape.points_mm))
    ground = replace(shape, width_mm=0.0, fill=FILLS.get(stage, 1.0))
    outline = replace(shape, fill=None, dashed=stage in DASHED)
    return [ground, *_pattern(area, stage), outline]


def _pattern(area: BaseGeometry, stage: str) -> list[Mark]:
    lines: dict[str, Callable[[BaseGeometry], Iterator[list[Point]]]] = {
        "planned": partial(_levels, step_mm=3.0),
        "leather_hard": partial(_levels, step_mm=1.4),
        "bisque_fired": _diagonals,
        "glazed": _waves,
    }
    if area.area == 0:
        return []
    if stage == "bone_dry":
        return _dots(area)
    return _lines(area, lines[stage](area)) if stage in lines else []


def _lines(area: BaseGeometry, lines: Iterator[list[Point]]) -> list[Mark]:
    within = area.intersection(MultiLineString(list(lines)))
    paths = (get_coordinates(part) for part in get_parts(within) if part.length > 0)
    return [
        Shape(tuple((float(x), float(y)) for x, y in path), closed=False, width_mm=LINE_MM)
        for path in paths
    ]


def _steps(least_mm: float, most_mm: float, step_mm: float) -> Iterator[float]:
    first, last = int(least_mm // step_mm), int(most_mm // step_mm) + 1
    return (number * step_mm for number in range(first, last + 1))


def _levels(area: BaseGeometry, step_mm: float) -> Iterator[list[Point]]:
    left, top, right, bottom = area.bounds
    return ([(left - 1, y), (right + 1, y)] for y in _steps(top, bottom, step_mm))


def _diagonals(area: BaseGeometry) -> Iterator[list[Point]]:
    """Rising to the right, 1.5 mm apart."""
    left, top, right, bottom = area.bounds
    sums = _steps(left + top, right + bottom, 1.5 * 2**0.5)
    return ([(sum_mm - bottom - 1, bottom + 1), (sum_mm - top + 1, top - 1)] for sum_mm in sums)


def _waves(area: BaseGeometry) -> Iterator[list[Point]]:
    left, top, right, bottom = area.bounds
    across = list(_steps(left - 0.5, right + 0.5, 0.35))
    return (
        [(x, y + 0.5 * sin(2 * pi * x / 4.2)) for x in across]
        for y in _steps(top - 1, bottom + 1, 1.9)
    )


def _dots(area: BaseGeometry) -> list[Mark]:
    left, top, right, bottom = area.bounds
    dots = np.array(
        [
            (x + dx, y + dy)
            for y in _steps(top - TILE_MM, bottom, TILE_MM)
            for x in _steps(left - TILE_MM, right, TILE_MM)
            for dx, dy in DOTS
        ]
    )
    within = contains_xy(area.buffer(-DOT_MM), dots[:, 0], dots[:, 1])
    return [_dot(float(x), float(y)) for x, y in dots[within]]


def _dot(x_mm: float, y_mm: float) -> Shape:
    points = tuple((x_mm + dx, y_mm + dy) for dx, dy in HEXAGON)
    return Shape(points, width_mm=0.0, fill=0.0)
