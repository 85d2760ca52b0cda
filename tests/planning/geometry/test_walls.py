"""The wall level by level, against solids whose levels are known. mm, mm², mm³."""

import math

import numpy as np
import pytest
import shapely

from planning.geometry.form import Form, form
from planning.geometry.inputs import Outline, Wall
from planning.geometry.walls import outer_rings, wall_at, wall_between

from .forms import BELLIED, inputs, points

CYLINDER = form(inputs(points((0, 60), (150, 60))))
BEAN = Outline(
    "traced",
    points=tuple(
        ((1 - 0.3 * math.sin(turn)) * math.cos(turn), math.sin(turn))
        for turn in np.arange(40) * (math.pi / 20)
    ),
)
FORMS = [
    form(inputs(BELLIED, outline=outline, rim_outline=rim, wall=Wall(9, 7)))
    for outline, rim in [
        (Outline("round"), None),
        (Outline("oval", 0.6), None),
        (Outline("leaf", 0.6), None),
        (BEAN, None),
        (Outline("rounded_square", 1.0, 0.3), Outline("round")),
    ]
]


def test_a_cylinder_is_the_same_at_every_height() -> None:
    heights = np.array([0.0, 20.0, 75.5, 150.0])
    found = wall_at(CYLINDER, heights)
    assert found.front_mm == pytest.approx(np.full(4, 120))
    assert found.depth_mm == pytest.approx(np.full(4, 120))
    assert found.perimeter_mm == pytest.approx(np.full(4, 120 * math.pi))
    assert found.mid_perimeter_mm == pytest.approx(np.full(4, 2 * math.pi * 56))
    assert found.slant_mm == pytest.approx(heights)
    clay = wall_between(CYLINDER, np.array([0.0, 10.0, 50.0]), np.array([10.0, 50.0, 150.0]))
    ring = math.pi * (60**2 - 52**2)
    assert clay == pytest.approx([0, 40 * ring, 100 * ring], rel=1e-9)


def test_a_cone_s_middle_lies_along_its_normal() -> None:
    # Radius 50 to 110 over a height of 80: a slant of 100. Half the wall along the normal is
    # t/2 ÷ 0.8 in the level, since the wall leans by cos = 0.8.
    cone = form(inputs(points((0, 50), (80, 110)), base_mm=6))
    heights = np.array([20.0, 40.0, 60.0])
    found = wall_at(cone, heights)
    radius = 50 + 0.75 * heights
    assert found.slant_mm == pytest.approx(heights * 1.25)
    assert found.mid_perimeter_mm == pytest.approx(2 * math.pi * (radius - 5))
    low, high = np.array([20.0, 40.0]), np.array([40.0, 60.0])
    # Between two levels the wall is a ring of constant level width t ÷ 0.8 = 10.
    middle = 50 + 0.75 * (low + high) / 2 - 5
    assert wall_between(cone, low, high) == pytest.approx(2 * math.pi * middle * 10 * 20)


def test_a_leaf_s_middle_is_a_smaller_lens() -> None:
    leaf = form(inputs(points((0, 100), (150, 100)), outline=Outline("leaf", 0.5)))
    radius = 100 * 1.25  # (1 + d²)/2d
    off = radius - 50
    found = wall_at(leaf, np.array([50.0, 100.0]))
    assert found.perimeter_mm == pytest.approx([4 * radius * math.acos(off / radius)] * 2, rel=1e-5)
    inner = radius - 4
    lens = 4 * inner * math.acos(off / inner)
    assert found.mid_perimeter_mm == pytest.approx([lens] * 2, rel=2e-4)


@pytest.mark.parametrize("made", FORMS)
def test_bands_of_the_wall_add_up_to_the_wall(made: Form) -> None:
    rim = made.surface.height
    heights = np.linspace(0, rim, 24)
    bands = wall_between(made, heights[:-1], heights[1:])
    assert bands.sum() == pytest.approx(made.volumes.wall, rel=1e-9)
    assert (bands[2:] > 0).all()


@pytest.mark.parametrize("made", FORMS)
def test_a_band_is_nearly_its_middle_s_length_times_wall_times_slant(made: Form) -> None:
    # Pappus for a strip of the wall: what is left out is of the order of (t/r)² and of how the
    # level cuts at both ends differ.
    heights = np.linspace(40, 260, 45)
    found = wall_at(made, heights)
    thickness = 9 - 2 * (heights[:-1] + heights[1:]) / 2 / made.surface.height
    around = (found.mid_perimeter_mm[:-1] + found.mid_perimeter_mm[1:]) / 2
    bands = around * thickness * np.diff(found.slant_mm)
    exact = wall_between(made, heights[:-1], heights[1:])
    assert bands.sum() == pytest.approx(exact.sum(), rel=0.02)


@pytest.mark.parametrize("made", FORMS)
def test_outer_rings_have_the_widths_and_the_length_that_are_answered(made: Form) -> None:
    heights = np.array([0.0, 100.0, made.surface.height])
    found = wall_at(made, heights)
    for row, ring in enumerate(outer_rings(made, heights)):
        polygon = shapely.Polygon(ring)
        assert polygon.is_valid
        assert polygon.exterior.is_ccw
        left, front, right, back = polygon.bounds
        assert right - left == pytest.approx(found.front_mm[row], rel=1e-4)
        assert back - front == pytest.approx(found.depth_mm[row], rel=1e-4)
        assert polygon.length == pytest.approx(found.perimeter_mm[row], rel=3e-4)


def test_one_height_or_none_is_as_good_as_many() -> None:
    for made in FORMS[1:3]:
        many = wall_at(made, np.array([30.0, 60.0, 90.0])).mid_perimeter_mm
        assert wall_at(made, np.array([60.0])).mid_perimeter_mm == pytest.approx(many[1:2])
        assert wall_at(made, np.empty(0)).slant_mm.shape == (0,)
        assert wall_between(made, np.empty(0), np.empty(0)).shape == (0,)
        assert outer_rings(made, np.empty(0)).shape[0] == 0
