"""Some forty random forms against independent routes: GEOS offsets revolved by Pappus, booleans of
triangle meshes (trimesh and manifold3d), and distances to a cloud of points for ovals."""

import numpy as np
import pytest
import shapely

from planning.geometry.inputs import Wall
from planning.geometry.surface import Surface, surface_in_proportion, surface_with_side
from planning.geometry.volume import volumes

from .forms import (
    fine_meridian,
    hollow_polygon,
    hollow_volume_by_distance,
    mesh_clay_volume,
    random_profile,
    revolved_volume,
)


@pytest.mark.parametrize("seed", range(28))
def test_a_round_pot_agrees_with_a_polygon_offset_to_six_parts_in_a_hundred_thousand(
    seed: int,
) -> None:
    rng = np.random.default_rng(seed)
    surface = surface_in_proportion(random_profile(rng), 1.0)
    thickness, floor = float(rng.uniform(5, 11)), float(rng.uniform(3, 14))
    built = volumes(surface, Wall(thickness, thickness), floor, 0)
    meridian = fine_meridian(surface, 6000)[:, [0, 2]]
    hollow = hollow_polygon(meridian, thickness, floor)
    outer = shapely.Polygon([(0, 0), *meridian.tolist(), (0, meridian[-1, 1])])
    clay = revolved_volume(outer) - revolved_volume(hollow)
    assert built.total == pytest.approx(clay, rel=6e-5)


@pytest.mark.parametrize("seed", range(100, 104))
def test_a_round_pot_agrees_with_a_boolean_of_meshes_to_a_part_in_ten_thousand(seed: int) -> None:
    rng = np.random.default_rng(seed)
    surface = surface_in_proportion(random_profile(rng), 1.0)
    built = volumes(surface, Wall(8, 8), 10, 0)
    meridian = fine_meridian(surface, 600)[:, [0, 2]]
    hollow = hollow_polygon(meridian, 8, 10).simplify(1e-3)
    assert built.total == pytest.approx(mesh_clay_volume(meridian, hollow, 64), rel=1e-4)


@pytest.mark.parametrize("seed", range(200, 206))
def test_an_oval_pot_agrees_with_a_distance_check_to_two_parts_in_ten_thousand(seed: int) -> None:
    rng = np.random.default_rng(seed)
    points = random_profile(rng)
    surface = surface_in_proportion(points, float(rng.uniform(0.45, 1.9)))
    _assert_agrees_with_distances(surface, float(rng.uniform(5, 9)))


@pytest.mark.parametrize("seed", range(300, 303))
def test_a_pot_with_a_side_profile_agrees_with_a_distance_check(seed: int) -> None:
    rng = np.random.default_rng(seed)
    front = random_profile(rng)
    side = np.stack((front[:, 0] * rng.uniform(0.6, 1.4, len(front)), front[:, 1]), axis=-1)
    _assert_agrees_with_distances(surface_with_side(front, side), 7.0)


def _assert_agrees_with_distances(surface: Surface, thickness: float) -> None:
    built = volumes(surface, Wall(thickness, thickness), 10, 0)
    hollow = hollow_volume_by_distance(surface, thickness, 10)
    assert built.outer - built.hollow.volume == pytest.approx(built.outer - hollow, rel=2e-4)
