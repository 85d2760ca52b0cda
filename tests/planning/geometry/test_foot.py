"""The foot: base outline, foot ring, footing. mm, mm³, cm³ where a name says so."""

import math

import numpy as np
import pytest
import shapely

from planning.geometry.form import form
from planning.geometry.inputs import FootRing, Outline, Wall
from planning.geometry.plan import plan
from planning.geometry.refusal import FormRefused

from .forms import BELLIED, inputs, points
from .slices import drawn

TUBE = points((0, 60), (150, 60))
SQUARE = Outline("rounded_square", 1.0, 0.0)


def test_a_round_foot_ring_is_a_ring() -> None:
    figures = plan(inputs(TUBE, foot_ring=FootRing(12, 8)))
    ring = math.pi * (60**2 - 48**2) * 8 / 1000
    assert figures.foot_ring_cm3 == pytest.approx(ring, rel=3e-4)
    parts = (figures.wall_cm3, figures.base_cm3, figures.corner_cm3, figures.foot_ring_cm3)
    assert figures.total_cm3 == pytest.approx(sum(parts))


@pytest.mark.parametrize("outline", [Outline("leaf", 0.5), Outline("oval", 0.3), SQUARE])
def test_a_foot_ring_keeps_its_width_by_distance(outline: Outline) -> None:
    made = form(inputs(TUBE, outline=outline, wall=Wall(5, 5), foot_ring=FootRing(9, 8)))
    base = shapely.Polygon(drawn(outline) * 60)
    ring = base.area - base.buffer(-9, quad_segs=64).area
    assert made.volumes.foot == pytest.approx(ring * 8, rel=3e-4)


def test_a_foot_ring_lifts_the_pot_and_its_weight_and_no_height_line() -> None:
    without, lifted = plan(inputs(BELLIED)), plan(inputs(BELLIED, foot_ring=FootRing(10, 12)))
    assert lifted.wet.height_mm == pytest.approx(without.wet.height_mm + 12)
    assert lifted.fired.height_mm == pytest.approx((without.wet.height_mm + 12) * 0.88)
    assert lifted.wet.front_mm == without.wet.front_mm
    assert lifted.height_lines == without.height_lines
    assert lifted.tip_deg < without.tip_deg
    more = (lifted.clay.pot_wet_g - without.clay.pot_wet_g) / 1.95
    assert more == pytest.approx(lifted.foot_ring_cm3)


def test_a_foot_ring_that_leaves_no_room_is_refused() -> None:
    with pytest.raises(FormRefused, match=r"foot_ring.width_mm: A foot ring 60 mm wide"):
        plan(inputs(TUBE, foot_ring=FootRing(60, 8)))


def test_added_parts_weigh_what_they_weigh_and_dry_and_fire_like_the_pot() -> None:
    bare, handled = plan(inputs(TUBE)), plan(inputs(TUBE, added_g=200))
    assert handled.clay.pot_wet_g == pytest.approx(bare.clay.pot_wet_g + 200)
    assert handled.clay.fired_g == pytest.approx(bare.clay.fired_g + 200 * 0.79 * 0.94)
    assert handled.clay.issue_g == pytest.approx(bare.clay.issue_g + 240)
    assert handled.total_cm3 == bare.total_cm3


@pytest.mark.parametrize(
    "outline", [Outline("round"), Outline("leaf", 0.5), SQUARE, Outline("rounded_square", 0.7, 0.4)]
)
def test_the_base_outline_is_the_slab_to_cut(outline: Outline) -> None:
    base = plan(inputs(TUBE, outline=outline, wall=Wall(5, 5))).base_outline
    polygon, known = shapely.Polygon(base.points), shapely.Polygon(drawn(outline) * 60)
    assert polygon.exterior.is_ccw
    assert polygon.hausdorff_distance(known) < 0.05, "no more than a pencil line off"
    assert base.perimeter_mm == pytest.approx(known.length, rel=1e-5)
    assert base.points[0] != base.points[-1]


def test_a_square_tips_over_its_side_not_its_corner() -> None:
    # Without a base the centre of mass of an upright tube is at half its height.
    made = form(inputs(TUBE, outline=SQUARE, base_mm=1e-6))
    assert made.volumes.tip_deg == pytest.approx(math.degrees(math.atan(60 / 75)), rel=1e-4)


def test_an_uneven_outline_tips_over_the_edge_that_is_nearest_to_its_weight() -> None:
    # A triangle's axis is the middle of its box, its weight lies nearer to the front.
    triangle = Outline("traced", points=((0, 0), (2, 0), (1, 2)))
    made = form(inputs(TUBE, outline=triangle, base_mm=1e-6))
    outer = shapely.Polygon([(-60, -60), (60, -60), (0, 60)])
    wall = outer.difference(outer.buffer(-8, join_style="mitre"))
    edge = outer.exterior.distance(wall.centroid)
    assert made.volumes.tip_deg == pytest.approx(math.degrees(math.atan(edge / 75)), rel=1e-3)


def test_a_pot_whose_weight_lies_beside_its_foot_falls() -> None:
    # A small foot under the axis, and a rim whose lobe hangs out to one side.
    turns = np.arange(72) * (2 * np.pi / 72)
    radius = (
        1 + 1.6 * np.exp(-((turns / 0.5) ** 2)) + 1.6 * np.exp(-(((turns - 2 * np.pi) / 0.5) ** 2))
    )
    lobe = np.stack((radius * np.cos(turns), radius * np.sin(turns)), axis=-1)
    outline = Outline("traced", points=tuple((x, y) for x, y in lobe.tolist()))
    profile = points((0, 14), (60, 90), (120, 150))
    made = form(inputs(profile, outline=Outline("round"), rim_outline=outline, wall=Wall(5, 5)))
    upright = form(inputs(profile, wall=Wall(5, 5)))
    assert made.volumes.tip_deg < upright.volumes.tip_deg
