"""Many round forms in one call, against handbook solids and against each form alone. mm³."""

import numpy as np
import pytest
from numpy import pi

from planning.geometry.inputs import Wall
from planning.geometry.many import many
from planning.geometry.profile import Floats
from planning.geometry.surface import surface_in_proportion
from planning.geometry.volume import Volumes, volumes

from .forms import random_profile

EIGHT, TEN, NONE = np.array([[8.0, 8.0]]), np.array([10.0]), np.array([0.0])


def random_profiles(seed: int, count: int, points: int) -> Floats:
    """Bellies, necks and flares, some with bends tighter than a wall."""
    rng = np.random.default_rng(seed)
    found: list[Floats] = []
    while len(found) < count:
        profile = random_profile(rng)
        if len(profile) == points:
            found.append(profile)
    return np.array(found)


def test_cylinders_and_cones_are_those_of_the_handbook() -> None:
    # A cylinder of 50, and a cone frustum whose inside is one with the same lean, 8/cos α narrower:
    # V = πh(R² + Rr + r²)/3.
    profiles = np.array([[[50.0, 0], [50, 100]], [[40, 0], [90, 100]]])
    found = many(profiles, EIGHT, TEN, np.array([6.0]))
    less = 8 * np.hypot(1, 0.5)
    low, high = 40 + 5 - less, 90 - less
    cone = pi * 90 / 3 * (low**2 + low * high + high**2)
    outer = pi * 90 / 3 * (45**2 + 45 * 90 + 90**2)
    assert found.capacity_mm3 == pytest.approx([pi * 42**2 * 90, cone], rel=1e-9)
    assert found.wall_mm3 == pytest.approx([pi * (50**2 - 42**2) * 90, outer - cone], rel=1e-9)
    assert found.base_mm3 == pytest.approx(
        [pi * 50**2 * 10, pi * 10 / 3 * (40**2 + 40 * 45 + 45**2)], rel=1e-9
    )
    assert found.corner_mm3 == pytest.approx(pi * 9 * 2 * pi * np.array([42, low]), rel=1e-9)
    assert not found.alone.any()


def test_a_bowl_leaves_a_smaller_one_inside() -> None:
    # Lower half of a sphere of 100 cut 50° below its equator: the cavity is that of 92, by
    # ∫ π(92² - z²) dz from the floor up.
    turn = np.radians(np.linspace(-50, 0, 41))
    low = -100 * np.sin(turn[0])
    bowl = np.stack((100 * np.cos(turn), 100 * np.sin(turn) + low), axis=-1)
    found = many(bowl[np.newaxis], EIGHT, TEN, NONE)
    floor = 10 - low
    assert found.capacity_mm3[0] == pytest.approx(pi * (92**2 * -floor + floor**3 / 3), rel=2e-6)


@pytest.mark.parametrize("points", [2, 3, 7, 11])
def test_each_is_what_it_is_alone(points: int) -> None:
    """To a ten-thousandth in the mean of the squares, as it is promised; in fact far nearer."""
    count = 40
    rng = np.random.default_rng(points)
    profiles = random_profiles(points, count, points) if points > 2 else _straight(rng, count)
    walls, base = rng.uniform(5, 11, (count, 2)), rng.uniform(2, 14, count)
    coil = rng.uniform(0, 12, count)
    found = many(profiles, walls, base, coil)
    alone = [
        volumes(surface_in_proportion(profiles[i], 1.0), Wall(*walls[i]), base[i], coil[i])
        for i in range(count)
    ]
    clay = found.wall_mm3 + found.base_mm3 + found.corner_mm3
    _assert_near(clay, alone, "total")
    _assert_near(found.wall_mm3, alone, "wall")
    _assert_near(found.base_mm3, alone, "base")
    _assert_near(found.corner_mm3, alone, "corner")
    assert found.capacity_mm3 == pytest.approx([each.hollow.volume for each in alone], rel=3e-5)
    assert not found.alone.all()


def _straight(rng: np.random.Generator, count: int) -> Floats:
    profiles = rng.uniform(50, 150, (count, 2, 2))
    profiles[:, :, 1] = 0, 200
    return np.asarray(profiles)


def _assert_near(found: Floats, alone: list[Volumes], name: str) -> None:
    off = found / np.array([getattr(each, name) for each in alone]) - 1
    assert np.sqrt((off**2).mean()) < 2e-5, name
    assert np.abs(off).max() < 1e-4, name


def test_where_the_wall_folds_over_or_closes_the_form_is_computed_alone() -> None:
    profiles = np.array(
        [
            [[60.0, 0], [60, 100], [60, 150], [60, 200]],
            [[50, 0], [90, 90], [20, 90], [20, 140]],  # a level shoulder
            [[60, 0], [90, 40], [70, 100], [0, 130]],  # closed
            [[60, 0], [95, 60], [60, 62], [60, 120]],  # an edge sharper than the wall
        ]
    )
    found = many(profiles, np.array([[8.0, 6.0]]), TEN, NONE)
    assert found.alone.tolist() == [False, True, True, True]
    for i in (1, 2, 3):
        one = volumes(surface_in_proportion(profiles[i], 1.0), Wall(8, 6), 10, 0)
        assert found.wall_mm3[i] == one.wall
        assert found.capacity_mm3[i] == one.hollow.volume


def test_a_wall_that_fills_its_form_leaves_nothing() -> None:
    found = many(np.array([[[30.0, 0], [30, 100]]]), np.array([[40.0, 40.0]]), TEN, NONE)
    assert (found.capacity_mm3[0], found.alone[0]) == (0, True)


@pytest.mark.parametrize(
    ("profiles", "walls", "base", "words"),
    [
        (np.zeros((2, 3)), EIGHT, TEN, "array"),
        (np.zeros((2, 1, 2)), EIGHT, TEN, "array"),
        (np.array([[[50.0, 1], [50, 100]]]), EIGHT, TEN, "rise"),
        (np.array([[[50.0, 0], [50, 100], [50, 90]]]), EIGHT, TEN, "rise"),
        (np.array([[[50.0, 0], [50, 0], [50, 90]]]), EIGHT, TEN, "rise"),
        (np.array([[[0.0, 0], [50, 90]]]), EIGHT, TEN, "off the axis"),
        (np.array([[[50.0, 0], [50, np.nan]]]), EIGHT, TEN, "rise"),
        (np.array([[[50.0, 0], [50, 100]]]), np.array([[8.0, 0]]), TEN, "thicker than 0"),
        (np.array([[[50.0, 0], [50, 100]]]), EIGHT, np.array([100.0]), "thinner than the pot"),
    ],
)
def test_what_is_no_profile_is_refused(
    profiles: Floats, walls: Floats, base: Floats, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        many(profiles, walls, base, NONE)
