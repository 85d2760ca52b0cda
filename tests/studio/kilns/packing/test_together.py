"""Pots in or on each other as one outline: against the union of their outlines by Shapely."""

import pytest
import shapely

from studio.kilns.packing.inputs import Outline, OutlineShape, Piece
from studio.kilns.packing.shapes import outline_points
from studio.kilns.packing.together import as_one

SHAPES: tuple[OutlineShape, ...] = ("round", "oval", "leaf", "rounded_square")


def polygon(piece: Piece) -> shapely.Polygon:
    return shapely.Polygon(outline_points(piece))


@pytest.mark.parametrize("host", SHAPES)
@pytest.mark.parametrize("guest", SHAPES)
@pytest.mark.parametrize("size", [(60, 50), (200, 90), (90, 200), (260, 240)])
def test_it_covers_each_of_them_and_no_more_than_their_hull(
    host: OutlineShape, guest: OutlineShape, size: tuple[float, float]
) -> None:
    below = Piece("a", 140, 120, 90, Outline(host, 0.3))
    above = Piece("b", *size, 60, Outline(guest, 0.3))
    one = as_one(below, [above], 130)
    assert (one.id, one.height_mm) == ("a", 130)
    both = shapely.union(polygon(below), polygon(above))
    whole = polygon(one)
    # 0.05 mm: what a layout may be off before it is called wrong.
    assert shapely.covers(shapely.buffer(whole, 0.1), both)
    hull = shapely.convex_hull(both)
    assert shapely.covers(shapely.buffer(hull, 0.1), whole)


def test_where_one_covers_the_other_it_is_exactly_that_one() -> None:
    small, large = Piece("a", 100, 100, 150), Piece("b", 160, 160, 60)
    assert as_one(large, [small], 150) == Piece("b", 160, 160, 150)
    assert as_one(small, [large], 190) == Piece("a", 160, 160, 190)
    assert as_one(large, [small, large], 200) == Piece("b", 160, 160, 200)
