"""The clay as a closed mesh, judged by two libraries that know nothing of pots: trimesh counts its
edges, manifold3d accepts nothing that isn't the surface of a body, and both weigh it."""

import manifold3d
import numpy as np
import pytest
import trimesh
from scipy.spatial import cKDTree

from planning.geometry.form import form
from planning.geometry.inputs import FootRing, Outline, PlanInputs, Point, Wall
from planning.geometry.mesh import Mesh, clay_solid
from planning.geometry.skin import FOR_LOOKING, FOR_MAKING, skin

from .forms import BELLIED, Floats, inputs, points
from .test_against_slices import calm_profile, random_sample

FLARED = points((0, 30), (60, 55), (150, 120), (200, 140))
NARROW_FOOT = points((0, 28), (60, 80), (200, 120))
BOTTLE = points((0, 60), (60, 100), (120, 90), (170, 40), (185, 0))
STRAIGHT = points((0, 60), (150, 60))


def star(tips: int, inner: float) -> Outline:
    """Tips on a circle, corners that point inward on a smaller one."""
    turn = np.arange(2 * tips) * np.pi / tips
    radius = np.where(np.arange(2 * tips) % 2, inner, 1.0)
    ring = np.stack((radius * np.cos(turn), radius * np.sin(turn)), axis=-1)
    return Outline("traced", points=tuple((x, y) for x, y in ring.tolist()))


TRIANGLE = Outline("traced", points=((0, 0), (2, 0), (1, 1.9)))
FORMS = {
    "round": inputs(BELLIED),
    "oval": inputs(BELLIED, outline=Outline("oval", 0.5), wall=Wall(10, 5)),
    "leaf": inputs(BELLIED, outline=Outline("leaf", 0.35), foot_ring=FootRing(9, 6)),
    "rounded square": inputs(BELLIED, outline=Outline("rounded_square", 1.0, 0.3)),
    "box": inputs(STRAIGHT, outline=Outline("rounded_square", 0.7, 0.0)),
    "triangle": inputs(NARROW_FOOT, outline=TRIANGLE),
    "star to round": inputs(FLARED, outline=star(5, 0.6), rim_outline=Outline("round")),
    "closed": inputs(BOTTLE, foot_ring=FootRing(12, 8)),
}
RARER = {
    "star of twelve tips": inputs(FLARED, outline=star(12, 0.6)),
    "deep star": inputs(FLARED, outline=star(7, 0.3)),
    "square to a leaf": inputs(
        BELLIED, outline=Outline("rounded_square", 1.0, 0.2), rim_outline=Outline("leaf", 0.5)
    ),
    "closed leaf": inputs(BOTTLE, outline=Outline("leaf", 0.7)),
    "side profile": inputs(BELLIED, side_profile=points((0, 40), (150, 70), (290, 90))),
    "pointed foot": inputs(points((0, 8), (200, 120)), outline=Outline("rounded_square", 0.8, 0.2)),
}


def solid(given: PlanInputs) -> Mesh:
    return clay_solid(given, form(given))


def read(mesh: Mesh) -> trimesh.Trimesh:
    return trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)


def body(mesh: Mesh) -> manifold3d.Manifold:
    return manifold3d.Manifold(
        manifold3d.Mesh(mesh.vertices.astype(np.float32), mesh.faces.astype(np.uint32))
    )


def assert_is_the_plans_clay(given: PlanInputs) -> None:
    """The plan's own clay has tests of its own; the corner coil isn't in the mesh."""
    made = form(given)
    mesh, clay = clay_solid(given, made), made.volumes.total - made.volumes.corner
    seen, made_of_it = read(mesh), body(mesh)
    assert seen.is_watertight
    assert seen.is_winding_consistent
    # Positive only where the faces look outwards.
    assert seen.volume == pytest.approx(clay, rel=1e-3)
    assert made_of_it.status() == manifold3d.Error.NoError
    assert made_of_it.volume() == pytest.approx(clay, rel=1e-3)


@pytest.mark.parametrize("name", FORMS)
def test_the_mesh_is_watertight_looks_outwards_and_holds_the_plans_clay_to_a_thousandth(
    name: str,
) -> None:
    assert_is_the_plans_clay(FORMS[name])


@pytest.mark.slow
@pytest.mark.parametrize("name", RARER)
def test_so_do_rarer_forms(name: str) -> None:
    assert_is_the_plans_clay(RARER[name])


@pytest.mark.slow
@pytest.mark.parametrize("start", range(0, 60, 20))
def test_so_do_sixty_random_forms_of_all_outlines(start: int) -> None:
    for seed in range(start, start + 20):
        assert_is_the_plans_clay(random_inputs(seed))


def random_inputs(seed: int) -> PlanInputs:
    """The forms of `test_against_slices`, every third on a foot ring."""
    sample, wall = random_sample(seed, calm_profile(np.random.default_rng(seed)))
    return inputs(
        profile(sample.front),
        side_profile=None if sample.side is None else profile(sample.side),
        outline=sample.base,
        rim_outline=sample.rim,
        wall=wall,
        foot_ring=FootRing(12, 8) if seed % 3 == 0 else None,
    )


def profile(meridian: Floats) -> tuple[Point, ...]:
    return points(*((height, half) for half, height in meridian.tolist()))


def test_a_straight_round_pot_is_two_cylinders() -> None:
    # Outer π 60² · 150 less inner π 52² · 140: wall 8 mm, base 10 mm.
    clay = np.pi * (60**2 * 150 - 52**2 * 140)
    assert read(solid(inputs(STRAIGHT))).volume == pytest.approx(clay, rel=5e-4)


def test_a_straight_box_is_two_boxes_to_the_last_corner() -> None:
    # 120 × 84 outside, 104 × 68 inside; flat walls need no tolerance but for single corners.
    assert read(solid(FORMS["box"])).volume == pytest.approx(
        120 * 84 * 150 - 104 * 68 * 140, rel=1e-5
    )


def test_it_stands_on_its_foot_ring_which_is_hollow_below() -> None:
    mesh = solid(FORMS["closed"])
    low, high = mesh.vertices.min(axis=0), mesh.vertices.max(axis=0)
    assert (low[2], high[2]) == (0, pytest.approx(185 + 8))
    # The curve through the lines swells nowhere beyond the widest of them.
    assert high[:2] == pytest.approx([100, 100], abs=0.02)
    # A ring 12 mm wide under a base of radius 60.
    ring = body(mesh).trim_by_plane((0, 0, -1), -7.9)
    assert ring.volume() == pytest.approx(np.pi * (60**2 - 48**2) * 7.9, rel=1e-3)


def test_a_closed_form_has_a_hollow_of_its_own() -> None:
    assert read(solid(FORMS["closed"])).body_count == 2
    assert read(solid(FORMS["box"])).body_count == 1


def test_it_shrinks_evenly() -> None:
    mesh = solid(FORMS["box"])
    assert read(mesh.scaled(0.88)).volume == pytest.approx(read(mesh).volume * 0.88**3)


@pytest.mark.parametrize("name", ["round", "leaf", "rounded square", "triangle"])
def test_every_place_inside_lies_the_walls_thickness_from_the_outside(name: str) -> None:
    """In space, to the outside's own triangles; on the floor it is farther."""
    given = FORMS[name]
    drawn = skin(given, form(given), FOR_MAKING)
    rings = drawn.outside
    after = np.roll(rings, -1, axis=1)
    corners = (rings[:-1], after[:-1], after[1:], rings[1:])
    faces = np.concatenate(
        [np.stack([corners[i] for i in each], axis=2) for each in ((0, 1, 2), (0, 2, 3))]
    ).reshape(-1, 3, 3)
    places = drawn.inside[len(drawn.inside) // 5 :: 9, ::7].reshape(-1, 3)
    _, near = cKDTree(faces.mean(axis=1)).query(places, k=80)
    found = trimesh.triangles.closest_point(  # type: ignore[no-untyped-call]
        faces[near.ravel()], np.repeat(places, near.shape[1], axis=0)
    )
    apart = np.linalg.norm(found.reshape(*near.shape, 3) - places[:, np.newaxis], axis=2).min(
        axis=1
    )
    assert apart == pytest.approx(np.full(len(places), 8), abs=0.1)


def test_a_leafs_tips_are_the_only_corners_of_its_outside() -> None:
    given = FORMS["leaf"]
    drawn = skin(given, form(given), FOR_LOOKING)
    tips = drawn.outside[:, drawn.corners]
    assert tips.shape[1] == 2
    assert tips[..., 1] == pytest.approx(np.zeros(tips.shape[:2]), abs=1e-9)
    widest = np.abs(drawn.outside[..., :1]).max(axis=1)
    assert np.abs(tips[..., 0]) == pytest.approx(np.repeat(widest, 2, axis=1))


@pytest.mark.parametrize("name", FORMS)
def test_what_is_looked_at_on_a_phone_is_small(name: str) -> None:
    drawn = skin(FORMS[name], form(FORMS[name]), FOR_LOOKING)
    assert drawn.outside[..., 0].size + drawn.inside[..., 0].size < 6000
