"""Hollows under outlines that aren't elliptic, against closed forms. mm, mm², mm³."""

import math

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from planning.geometry.form import form
from planning.geometry.inputs import Outline, Wall
from planning.geometry.outline import radial
from planning.geometry.refusal import FormRefused
from planning.geometry.rings import rings
from planning.geometry.surface import Surface, surface_of_rings
from planning.geometry.volume import Volumes, volumes

from .forms import BELLIED, inputs, points

Floats = NDArray[np.float64]


def prism(outline: Outline, half: float, height: float = 200.0) -> Surface:
    return surface_of_rings(np.array([[half, 0.0], [half, height]]), rings(radial(outline)))


def hollow_section(outline: Outline, half: float, thickness: float) -> tuple[float, float]:
    """Area and edge of the hollow's level section within an upright wall."""
    built: Volumes = volumes(prism(outline, half), Wall(thickness, thickness), 10, 4)
    return built.hollow.volume / 190, built.corner / (math.pi * 4)


@pytest.mark.parametrize(("ratio", "thickness"), [(0.2, 6), (0.5, 8), (0.9, 15)])
def test_inside_a_leaf_lies_a_smaller_lens(ratio: float, thickness: float) -> None:
    # Arcs about the same centres, t shorter: they meet nearer to the middle than the tips.
    half = 100.0
    radius = half * (1 + ratio**2) / (2 * ratio)
    off = radius - half * ratio
    inner = radius - thickness
    turn = math.acos(off / inner)
    lens = inner**2 * (2 * turn - math.sin(2 * turn))
    area, edge = hollow_section(Outline("leaf", ratio), half, thickness)
    assert area == pytest.approx(lens, rel=5e-5)
    assert edge == pytest.approx(4 * inner * turn, rel=1e-3)


@pytest.mark.parametrize(("corner", "thickness"), [(0.0, 8), (0.05, 8), (0.3, 8), (1.0, 8)])
def test_inside_a_rounded_square_lies_one_with_tighter_corners(
    corner: float, thickness: float
) -> None:
    # Corners of radius c - t, sharp ones where the wall is thicker than the radius.
    half = 100.0
    inner, left = half - thickness, max(half * corner - thickness, 0)
    area, edge = hollow_section(Outline("rounded_square", 1.0, corner), half, thickness)
    assert area == pytest.approx(4 * inner**2 - (4 - math.pi) * left**2, rel=5e-5)
    assert edge == pytest.approx(8 * (inner - left) + 2 * math.pi * left, rel=2e-4)


def test_a_smooth_bay_obeys_the_tube_formula() -> None:
    # On a cylinder over any smooth closed curve H is half its curvature, whose integral is 2π, and
    # K is 0: A·t - t²∫H + t³/3∫K is (P·t - π·t²) a millimetre, bays or none.
    turns = np.arange(400) * (2 * np.pi / 400)
    radius = 1 + 0.35 * np.cos(2 * turns) + 0.1 * np.sin(3 * turns)
    bean = np.stack((radius * np.cos(turns), radius * np.sin(turns)), axis=-1)
    outline = Outline("traced", points=tuple((x, y) for x, y in bean.tolist()))
    fine = np.arange(20_000) * (2 * np.pi / 20_000)
    radius = 1 + 0.35 * np.cos(2 * fine) + 0.1 * np.sin(3 * fine)
    dense = shapely.Polygon(np.stack((radius * np.cos(fine), radius * np.sin(fine)), axis=-1))
    assert dense.convex_hull.area > 1.03 * dense.area, "it has a bay"
    scale = 200 / (dense.bounds[2] - dense.bounds[0])
    area, edge = hollow_section(outline, 100, 8)
    wall = 8 * dense.length * scale - math.pi * 64
    assert dense.area * scale**2 - area == pytest.approx(wall, rel=2e-4)
    assert edge == pytest.approx(dense.length * scale - 2 * math.pi * 8, rel=3e-4)


def test_round_a_corner_that_points_inward_the_hollow_is_round() -> None:
    # A plus sign of width 2 and arms 2/3 wide: inward corners keep the wall's distance by arcs of
    # radius t, outward ones by corners: 20 inner quarter-discs less 4·(1 - π/4)·t² in all.
    a = 1 / 3
    corners = [(1, -a), (1, a), (a, a), (a, 1), (-a, 1), (-a, a), (-1, a), (-1, -a), (-a, -a)]
    plus = Outline("traced", points=(*corners, (-a, -1), (a, -1), (a, -a)))
    t, arm = 8.0, 300 * a
    arms = 4 * (300 - arm) * (2 * arm - 2 * t)
    # Arms to the line through their inward corners, the square between these, and beside each of
    # its corners what the quarter disc leaves of a square of side t is gone already.
    core = (2 * arm) ** 2 - 4 * math.pi * t**2 / 4
    area, _ = hollow_section(plus, 300, t)
    assert area == pytest.approx(arms - 4 * t * (2 * arm - 2 * t) + core, rel=2e-5)


def test_a_square_pyramid_has_a_square_pyramid_inside() -> None:
    # Plane walls leaning by α: half the inner side is less by t/cos α at every level.
    points_up = np.array([[80.0, 0.0], [130.0, 150.0]])
    square = rings(radial(Outline("rounded_square", 1.0, 0.0)))
    built = volumes(surface_of_rings(points_up, square), Wall(8, 8), 10, 0)
    less = 8 * math.hypot(1, 1 / 3)
    low, high = 80 + 10 / 3 - less, 130 - less
    assert built.outer == pytest.approx(4 * 150 / 3 * (80**2 + 80 * 130 + 130**2), rel=1e-5)
    assert built.hollow.volume == pytest.approx(
        4 * 140 / 3 * (low**2 + low * high + high**2), rel=2e-5
    )


def pinched(by: float) -> Outline:
    """Two lobes, left and right, with a waist between them."""
    turns = np.arange(60) * (2 * np.pi / 60)
    radius = 1 + by * np.cos(2 * turns)
    lobes = np.stack((radius * np.cos(turns), radius * np.sin(turns)), axis=-1)
    return Outline("traced", points=tuple((x, y) for x, y in lobes.tolist()))


def test_a_waist_narrower_than_two_walls_parts_the_hollow_and_is_refused() -> None:
    with pytest.raises(FormRefused) as refused:
        form(inputs(points((0, 100), (150, 100)), outline=pinched(0.9)))
    (problem,) = refused.value.problems
    assert (problem.path, problem.code) == ("outline", "hollow_parts")
    assert problem.values["front_mm"] == pytest.approx(200)
    assert "the hollow falls into two" in problem.message


def test_two_pockets_that_join_higher_up_are_one_hollow() -> None:
    profile = points((0, 100), (150, 100))
    made = form(inputs(profile, outline=pinched(0.9), rim_outline=Outline("round")))
    assert made.volumes.hollow.parted_at is None
    assert made.volumes.hollow.volume > 0


def test_a_speck_of_hollow_beside_the_main_one_parts_nothing() -> None:
    # A knob on a disc: its own hollow would be a thousandth, so that it counts as filled.
    turns = np.arange(120) * (2 * math.pi / 120)
    radius = 1 + 0.21 * np.exp(-(((turns - math.pi / 2) / 0.11) ** 4))
    knob = tuple(
        zip((radius * np.cos(turns)).tolist(), (radius * np.sin(turns)).tolist(), strict=True)
    )
    made = form(inputs(points((0, 100), (60, 100)), outline=Outline("traced", points=knob)))
    assert made.volumes.hollow.parted_at is None


def test_a_wall_that_fills_a_narrow_leaf_is_refused() -> None:
    with pytest.raises(FormRefused, match="no hollow is left"):
        form(inputs(points((0, 60), (150, 60)), outline=Outline("leaf", 0.2), wall=Wall(13, 13)))


def test_a_waist_just_as_wide_as_two_walls_is_a_cut_and_no_hair() -> None:
    # Half as deep as wide: where the leaf is 60 wide, two walls of 15 touch in its middle.
    waisted = points((0, 170), (150, 30), (300, 30), (450, 170))
    with pytest.raises(FormRefused, match="cuts the hollow in two"):
        form(inputs(waisted, outline=Outline("leaf", 0.5), wall=Wall(15, 15)))


def test_a_waisted_profile_cuts_the_hollow_of_a_leaf_in_two() -> None:
    profile = points((0, 90), (100, 14), (200, 90))
    with pytest.raises(FormRefused, match="cuts the hollow in two"):
        form(inputs(profile, outline=Outline("leaf", 0.5)))


@pytest.mark.parametrize(
    "outline",
    [Outline("leaf", 0.5), Outline("rounded_square", 0.8, 0.2), pinched(0.4)],
)
def test_a_form_may_close_whatever_its_outline(outline: Outline) -> None:
    closed = form(
        inputs(points((0, 90), (60, 110), (120, 80), (150, 0)), outline=outline, wall=Wall(4, 4))
    )
    assert closed.volumes.hollow.areas[-1] == 0
    assert closed.volumes.hollow.volume > 0


def test_a_steep_taper_leaves_nothing_to_map_and_is_searched() -> None:
    # The wall thins by more than it rises: no place has an inner normal, the rim's edge bounds all.
    form_low = inputs(
        points((0, 100), (14, 101)), outline=Outline("leaf", 0.8), wall=Wall(25, 2), base_mm=2
    )
    made = form(form_low)
    assert 0 < made.volumes.hollow.volume < made.volumes.outer


def test_a_steep_taper_that_fills_a_low_form_is_refused() -> None:
    # Where parts of the wall have an envelope and others have none, the former say nothing for
    # the latter: half way up the wall is thicker than the form.
    with pytest.raises(FormRefused, match="no hollow is left"):
        form(inputs(points((0, 3), (1, 1), (2, 1.5)), wall=Wall(6, 0.5), base_mm=1))


def test_the_same_form_as_rings_and_as_ellipses_is_the_same() -> None:
    profile = np.array([(each.half_mm, each.height_mm) for each in BELLIED])
    one = volumes(surface_of_rings(profile, rings(radial(Outline("oval", 0.6)))), Wall(9, 7), 10, 6)
    other = form(inputs(BELLIED, outline=Outline("oval", 0.6), wall=Wall(9, 7), corner_coil_mm=6))
    for name in ("outer", "base", "corner", "total", "outer_area"):
        assert getattr(one, name) == pytest.approx(getattr(other.volumes, name), rel=1e-4)
    assert one.hollow.volume == pytest.approx(other.volumes.hollow.volume, rel=2e-5)
    assert one.tip_deg == pytest.approx(other.volumes.tip_deg, abs=0.01)


@pytest.mark.parametrize("rim", [None, Outline("round")])
def test_round_a_corner_that_points_inward_the_normal_turns_one_way(rim: Outline | None) -> None:
    a = 1 / 3
    corners = [(1, -a), (1, a), (a, a), (a, 1), (-a, 1), (-a, a), (-1, a), (-1, -a), (-a, -a)]
    plus = Outline("traced", points=(*corners, (-a, -1), (a, -1), (a, -a)))
    ring = rings(radial(plus), None if rim is None else radial(rim))
    heading = np.arctan2(ring.run[1], ring.run[0])
    turn = np.degrees(np.angle(np.exp(1j * (np.roll(heading, -1) - heading))))
    turn = turn[(ring.steps == 0) & (np.abs(turn) > 1)]
    inward, outward = turn[turn < 0], turn[turn > 0]
    assert outward == pytest.approx(np.full(8, 90.0))
    assert inward.sum() == pytest.approx(-4 * 90)
    assert inward.min() > -30
