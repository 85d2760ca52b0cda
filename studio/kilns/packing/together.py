"""Pots that stand in or on each other, as the one thing that they are for a shelf."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

import shapely

from .inputs import Outline, Piece
from .shapes import body
from .tolerances import CHECKED_MM, MOST_TRACED_POINTS


def as_one(host: Piece, guests: Sequence[Piece], height_mm: float) -> Piece:
    """A host with its guests, all about one middle and turned alike, so high together.

    Where one of them covers the others from above, they have its outline; else the hull of all.

    >>> tall, wide = Piece("a", 100, 100, 150), Piece("b", 160, 160, 60)
    >>> as_one(tall, [wide], 190)
    Piece(id='a', front_mm=160, depth_mm=160, height_mm=190, outline=Outline(shape='round', \
corner_ratio=0.0, points=()))
    """
    pieces = (host, *guests)
    shapes = [shapely.Polygon(body(each).points) for each in pieces]
    hull = shapely.convex_hull(shapely.union_all(shapes))
    for piece, shape in zip(pieces, shapes, strict=True):
        if shapely.covers(shapely.buffer(shape, CHECKED_MM), hull):
            return replace(piece, id=host.id, height_mm=height_mm)
    low_x, low_y, high_x, high_y = hull.bounds
    points = shapely.get_coordinates(hull)[:-1]
    # One in so many: each is 0.02 mm off at most.
    some = points[:: ceil(len(points) / MOST_TRACED_POINTS)]
    traced = Outline("traced", points=tuple((float(x), float(y)) for x, y in some))
    return Piece(host.id, high_x - low_x, high_y - low_y, height_mm, traced)
