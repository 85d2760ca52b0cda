"""Outlines by themselves: closed forms of their area and length, and traced ones as they come."""

import math

import numpy as np
import pytest
import shapely

from planning.geometry.inputs import Outline
from planning.geometry.outline import radial
from planning.geometry.refusal import Trouble
from planning.geometry.rings import Rings, rings
from planning.geometry.traced import traced_troubles

from .slices import drawn, radii

Points = tuple[tuple[float, float], ...]


def area(ring: Rings) -> float:
    return float(ring.moments[0, 0])


def length(ring: Rings) -> float:
    return float(ring.weights @ np.hypot(*ring.run))


def around(count: int, wide: float = 1.0, deep: float = 1.0, start: float = 0.0) -> Points:
    turns = start + np.arange(count) * (2 * math.pi / count)
    return tuple((wide * math.cos(turn), deep * math.sin(turn)) for turn in turns)


@pytest.mark.parametrize("ratio", [0.1, 0.4, 0.9, 1.0])
def test_a_leaf_is_two_segments_of_a_circle(ratio: float) -> None:
    # Chord 2, rise d: radius (1 + d²)/2d, half angle 2 atan d; a segment is r²(2α - sin 2α)/2.
    radius, half = (1 + ratio**2) / (2 * ratio), 2 * math.atan(ratio)
    leaf = rings(radial(Outline("leaf", ratio)))
    assert area(leaf) == pytest.approx(radius**2 * (2 * half - math.sin(2 * half)), rel=1e-5)
    assert length(leaf) == pytest.approx(4 * radius * half, rel=1e-5)


@pytest.mark.parametrize("corner", [0.0, 0.001, 0.3, 1.0])
def test_a_rounded_square_lacks_its_corners(corner: float) -> None:
    square = rings(radial(Outline("rounded_square", 1.0, corner)))
    assert area(square) == pytest.approx(4 - (4 - math.pi) * corner**2, rel=1e-5)
    assert length(square) == pytest.approx(8 * (1 - corner) + 2 * math.pi * corner, rel=1e-5)
    flat = rings(radial(Outline("rounded_square", 0.4, corner)))
    assert area(flat) == pytest.approx(0.4 * (4 - (4 - math.pi) * corner**2), rel=1e-5)


def test_an_oval_has_the_exact_perimeter() -> None:
    # Half-widths 10 and 5: 48.442241103, see the table of ellipse perimeters (derived by AGM).
    assert 10 * length(rings(radial(Outline("oval", 0.5)))) == pytest.approx(48.442241103, rel=1e-6)


OUTLINES = [
    Outline("oval", 0.7),
    Outline("leaf", 0.45),
    Outline("rounded_square", 1.6, 0.25),
    Outline("rounded_square", 0.8, 0.0),
    Outline("traced", points=around(5)),
    Outline("traced", points=((0, 0), (4, 0), (4, 3), (2, 1.6), (0, 3))),
]


@pytest.mark.parametrize("outline", OUTLINES)
def test_radii_are_those_of_the_drawn_outline_and_slopes_are_their_growth(outline: Outline) -> None:
    shape = radial(outline)
    angles = np.linspace(0.01, 6.27, 400)
    radius, slope = shape.radii(angles, angles)
    assert radius == pytest.approx(radii(drawn(outline), angles), rel=1e-6)
    near = np.abs(angles[:, np.newaxis] - shape.joints).min(axis=1) < 1e-4
    step = 1e-6
    ahead, behind = (shape.radii(angles + turn, angles)[0] for turn in (step, -step))
    assert slope[~near] == pytest.approx((ahead - behind)[~near] / (2 * step), rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("count", [10, 24, 60])
def test_points_on_a_circle_trace_a_circle(count: int) -> None:
    ring = rings(radial(Outline("traced", points=around(count, 37, 37, start=0.2))))
    assert area(ring) == pytest.approx(math.pi, rel=2e-5)
    assert length(ring) == pytest.approx(2 * math.pi, rel=2e-5)


def test_points_on_an_ellipse_trace_an_ellipse() -> None:
    shape = radial(Outline("traced", points=around(48, 5, 3)))
    assert shape.depth == pytest.approx(0.6, rel=1e-9)
    # Half-widths 5 and 3: 25.526998863 (derived by AGM).
    assert 5 * length(rings(shape)) == pytest.approx(25.526998863, rel=2e-5)
    assert area(rings(shape)) == pytest.approx(0.6 * math.pi, rel=2e-5)


def test_corners_stay_corners_and_straight_sides_straight() -> None:
    for points in (((0, 0), (2, 0), (1, 2)), around(8), ((0, 0), (4, 0), (4, 3), (2, 2), (0, 3))):
        polygon = shapely.Polygon(points)
        half = (polygon.bounds[2] - polygon.bounds[0]) / 2
        ring = rings(radial(Outline("traced", points=points)))
        assert area(ring) * half**2 == pytest.approx(polygon.area, rel=1e-5)
        assert length(ring) * half == pytest.approx(polygon.length, rel=1e-5)


def test_a_side_between_a_corner_and_a_round_is_an_arc() -> None:
    # A half-moon: a half circle closed by a straight side through its middle.
    turns = np.linspace(0, math.pi, 13)
    points = tuple((math.cos(turn), math.sin(turn)) for turn in turns)
    ring = rings(radial(Outline("traced", points=points)))
    assert area(ring) == pytest.approx(math.pi / 2, rel=1e-4)
    assert length(ring) == pytest.approx(math.pi + 2, rel=1e-4)


def test_neither_unit_nor_start_nor_way_round_nor_place_matters() -> None:
    bean = tuple(
        ((1 - 0.4 * math.exp(-(((turn - 1.5) / 0.5) ** 2))) * x, y)
        for turn, (x, y) in zip(np.arange(40) * (2 * math.pi / 40), around(40), strict=True)
    )
    known = rings(radial(Outline("traced", points=bean)))
    moved = tuple((25.4 * x + 900, 25.4 * y - 70) for x, y in bean)
    for points in (moved, bean[::-1], bean[11:] + bean[:11], (*bean, bean[0])):
        other = rings(radial(Outline("traced", points=points)))
        assert area(other) == pytest.approx(area(known), rel=1e-4)
        assert length(other) == pytest.approx(length(known), rel=1e-4)


def test_an_outline_changes_by_its_radius_at_equal_angle() -> None:
    base, rim = Outline("leaf", 0.5), Outline("traced", points=around(30, 1, 1, start=0.1))
    ring = rings(radial(base), radial(rim))
    angles = np.linspace(-3.1, 3.1, 2001)
    ends = [radii(drawn(each), angles) for each in (base, Outline("round"))]
    for share in (0.25, 0.5, 1.0):
        place = ring.at(np.array([share]))[0][..., 0]
        radius = np.hypot(*place)
        mixed = np.interp(
            np.arctan2(place[1], place[0]), angles, (1 - share) * ends[0] + share * ends[1]
        )
        inside = np.abs(np.arctan2(place[1], place[0])) < 3
        assert radius[inside] == pytest.approx(mixed[inside], rel=1e-4)
    assert ring.depth_ratio(np.array([0.0, 0.5, 1.0])) == pytest.approx([0.5, 0.75, 1], rel=1e-5)


NAN = float("nan")


@pytest.mark.parametrize(
    ("points", "path", "words"),
    [
        ((), "o", "at least three"),
        (((0, 0), (1, 0), (0, 0)), "o", "at least three"),
        (around(401), "o", "at most 400"),
        (((0, 0), (1, NAN), (0, 1)), "o.1", "ordinary number"),
        (((0, 0), (1, 0), (1, 0), (0, 1)), "o.2", "Point 3 repeats"),
        (((0, 0), (1, 1), (1, 0), (0, 1)), "o.2", "crosses itself"),
        (((0, 0), (1, 0), (0.5, 0)), "o.0", "crosses itself"),
        (((0, 0), (1, 0), (0, 0), (0, 1)), "o.2", "crosses itself"),
        (around(20, 11, 1), "o", "ten times as long"),
        (((0, 0), (4, 0), (4, 1), (1, 1), (1, 4), (0, 4)), "o.2", "Seen from the middle"),
    ],
)
def test_what_is_no_outline_is_refused_at_its_point(points: Points, path: str, words: str) -> None:
    found: list[Trouble] = list(traced_troubles("o", points))
    assert [each.path for each in found] == [path]
    assert words in found[0].message


def test_more_corners_than_anybody_folds_are_refused() -> None:
    star = tuple(
        (x * (1 - 0.3 * (n % 2)), y * (1 - 0.3 * (n % 2))) for n, (x, y) in enumerate(around(50))
    )
    found = list(traced_troubles("o", star))
    assert [(each.path, each.code) for each in found] == [("o", "outline_many_corners")]


def test_points_that_go_round_are_let_through() -> None:
    for points in (around(3), around(400), (*around(7), around(7)[0]), OUTLINES[-1].points):
        assert not list(traced_troubles("o", points))
