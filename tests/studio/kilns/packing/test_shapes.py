"""Outlines and edges against areas and perimeters known in closed form."""

import doctest
from math import acos, pi, sqrt, tan

import pytest
import shapely

from studio.kilns.packing import shapes as module
from studio.kilns.packing.inputs import Outline, Piece, Placement, Shelf
from studio.kilns.packing.shapes import edge, outline_points, shelf_points


def area(outline: Outline, front_mm: float = 200, depth_mm: float = 120) -> float:
    drawn = shapely.Polygon(outline_points(Piece("a", front_mm, depth_mm, 50, outline)))
    assert drawn.is_valid
    assert drawn.exterior.is_ccw
    assert drawn.bounds == pytest.approx((-front_mm / 2, -depth_mm / 2, front_mm / 2, depth_mm / 2))
    return float(drawn.area)


def test_round_and_oval_are_ellipses() -> None:
    assert area(Outline("round"), 200, 200) == pytest.approx(pi * 100**2, rel=1e-4)
    assert area(Outline("oval")) == pytest.approx(pi * 100 * 60, rel=1e-4)


def test_a_leaf_is_a_lens_of_two_equal_arcs() -> None:
    """Two segments of a circle of radius R over the chord 2a: R² acos(d/R) - d√(R² - d²) each."""
    radius = (100**2 + 60**2) / (2 * 60)
    d = radius - 60
    lens = 2 * (radius**2 * acos(d / radius) - d * sqrt(radius**2 - d**2))
    assert area(Outline("leaf")) == pytest.approx(lens, rel=1e-4)


def test_a_rounded_square_lacks_its_corners() -> None:
    whole = area(Outline("rounded_square", 0.4), 200, 200)
    assert whole == pytest.approx(200**2 - (4 - pi) * 40**2, rel=1e-4)
    assert area(Outline("rounded_square", 0)) == pytest.approx(200 * 120)


def test_a_traced_outline_stands_for_its_hull_at_the_piece_s_size() -> None:
    notched = Outline("traced", points=((0, 0), (4, 0), (4, 4), (2, 1), (0, 4)))
    assert area(notched) == pytest.approx(200 * 120)


def test_turns_go_counter_clockwise_from_above() -> None:
    points = outline_points(Piece("a", 200, 100, 50), Placement("a", 10, 20, 90))
    assert points[0] == pytest.approx((10, 120))


def test_edges_hold_the_shelves_that_they_stand_for() -> None:
    octagon = shapely.Polygon(shelf_points(Shelf("octagon", 400, 400)))
    assert octagon.area == pytest.approx(8 * tan(pi / 8) * 200**2)
    for shelf in (
        Shelf("round", 400, 400),
        Shelf("oval", 400, 300),
        Shelf("rectangle", 400, 300),
        Shelf("octagon", 400, 400),
    ):
        tangents = edge(shelf)
        for x, y in shelf_points(shelf):
            assert -0.05 < (tangents.normals @ (x, y) - tangents.distances).max() < 1e-9


def test_its_examples_are_true() -> None:
    assert doctest.testmod(module).failed == 0
