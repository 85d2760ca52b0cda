"""The still picture against what a cylinder looks like from above: a box with two ellipses. A
circle of radius r at height z is seen as an ellipse of half axes r and r sin α about -z cos α."""

import re
from math import acos, cos, pi, radians, sin, sqrt

import numpy as np
import pytest
import shapely

from planning.geometry.form import form
from planning.geometry.inputs import FootRing, Outline, PlanInputs
from planning.geometry.skin import FOR_LOOKING, skin
from planning.pictures.still import LOOKING_DOWN_DEG, Still, still
from tests.planning.geometry.forms import BELLIED, Floats, inputs, points

DOWN = radians(LOOKING_DOWN_DEG)
CYLINDER = inputs(points((0, 60), (50, 60), (100, 60)))


def picture(given: PlanInputs) -> Still:
    made = form(given)
    return still(skin(given, made, FOR_LOOKING), made)


def runs(path: str) -> list[Floats]:
    """The points of each run of a path, (n, 2)."""
    found = [re.findall(r"-?[\d.]+", each) for each in path.split("M")[1:]]
    return [np.array(each, dtype=float).reshape(-1, 2) for each in found]


def area(path: str) -> float:
    return sum(shapely.Polygon(each).area for each in runs(path))


def test_a_cylinder_is_a_box_between_two_half_ellipses() -> None:
    expected = 120 * 100 * cos(DOWN) + pi * 60**2 * sin(DOWN)
    assert area(picture(CYLINDER).body) == pytest.approx(expected, rel=5e-3)
    assert area(picture(CYLINDER).rim) == pytest.approx(pi * 60**2 * sin(DOWN), rel=5e-3)
    assert area(picture(CYLINDER).mouth) == pytest.approx(pi * 52**2 * sin(DOWN), rel=5e-3)


def test_of_a_line_round_it_the_near_half_is_seen() -> None:
    (line,) = runs(picture(CYLINDER).lines)
    across, down = line.T
    assert (across.min(), across.max()) == pytest.approx((-60, 60), abs=1.5)
    below = (down + 50 * cos(DOWN)) / sin(DOWN)
    assert np.hypot(across, below) == pytest.approx(np.full(len(across), 60), abs=0.4)
    # Half a column at either end may be seen edge on.
    assert below.min() > -3


def test_of_the_floor_that_part_is_seen_that_the_mouth_lets_through() -> None:
    """Two circles of radius r, d apart, share 2 r² acos(d/2r) - d/2 √(4r² - d²)."""
    low = inputs(points((0, 90), (40, 90)))
    r = 82.0
    d = 30 / np.tan(DOWN)  # the mouth as it falls on the floor, 30 mm lower
    shared = 2 * r**2 * acos(d / (2 * r)) - d / 2 * sqrt(4 * r**2 - d**2)
    assert area(picture(low).floor) == pytest.approx(shared * sin(DOWN), rel=0.02)
    assert picture(CYLINDER).floor == ""


def test_a_line_under_a_wide_rim_is_hidden() -> None:
    narrow = points((0, 60), (80, 100), (150, 40), (190, 35), (210, 110))
    found = runs(picture(inputs(narrow)).lines)
    # The near edge of the rim, 210 mm up and 110 mm before the axis, comes lower on the picture
    # than any place of the line at 190 mm; those at 80 and 150 mm are free.
    rim = -210 * cos(DOWN) + 110 * sin(DOWN)
    assert -190 * cos(DOWN) + 35 * sin(DOWN) < rim
    highest = sorted(each[:, 1].min() / cos(DOWN) for each in found)
    assert highest == pytest.approx([-150, -80], abs=3)


def test_everything_is_drawn_within_its_box_and_stands_on_the_table() -> None:
    for given in (
        inputs(BELLIED),
        inputs(BELLIED, outline=Outline("leaf", 0.5), foot_ring=FootRing(9, 6)),
        inputs(BELLIED, outline=Outline("rounded_square", 1, 0)),
    ):
        drawn = picture(given)
        left, top, width, height = drawn.box
        points_seen = np.concatenate(runs(drawn.body))
        assert points_seen.min(axis=0).tolist() > [left, top]
        assert points_seen[:, 0].max() < left + width
        assert 0 < points_seen[:, 1].max() < top + height
        assert drawn.view_box.count(" ") == 3


def test_the_foot_ring_is_part_of_the_body() -> None:
    on_a_ring = inputs(points((0, 60), (100, 60)), foot_ring=FootRing(12, 10))
    expected = 120 * 110 * cos(DOWN) + pi * 60**2 * sin(DOWN)
    assert area(picture(on_a_ring).body) == pytest.approx(expected, rel=5e-3)


def test_the_light_comes_from_the_upper_left() -> None:
    drawn = picture(CYLINDER)
    body, shadow = (np.concatenate(runs(each))[:, 0] for each in (drawn.body, drawn.shadow))
    assert shadow.max() > body.max() + 10
    assert shadow.min() == pytest.approx(body.min(), abs=0.5)


def test_a_box_shows_the_edges_that_look_at_the_eye() -> None:
    box = inputs(points((0, 60), (100, 60)), outline=Outline("rounded_square", 0.7, 0))
    upright = [each for each in runs(picture(box).lines) if np.ptp(each[:, 0]) < 0.5]
    assert len(upright) >= 1
    assert max(np.ptp(each[:, 1]) for each in upright) == pytest.approx(100 * cos(DOWN), rel=0.05)


def test_a_closed_form_has_no_mouth() -> None:
    drawn = picture(inputs(points((0, 60), (60, 100), (120, 90), (170, 40), (185, 0))))
    assert (drawn.mouth, drawn.floor) == ("", "")
