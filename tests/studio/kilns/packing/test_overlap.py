"""Overlap and its slopes, against closed forms and finite differences; what is compiled, against
what is written."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import approx_fprime

from studio.kilns.packing import descent, overlap
from studio.kilns.packing.contact import NOTHING, Obstacles
from studio.kilns.packing.inputs import Shelf
from studio.kilns.packing.overlap import Tables
from studio.kilns.packing.tolerances import CONTACT_MM

from .kilns import pot, pots
from .wares import GAP_MM, SHELVES, ware

Floats = NDArray[np.float64]
Crowd = tuple[Tables, NDArray[np.intp], Floats, int]

POST = NOTHING.and_one(np.array([30.0, -40.0]), 20.0, np.full(72, 20.0))
SQUARE = POST.and_one(np.array([-90.0, 60.0]), None, np.full(72, 45.0))
"""What may not move: a post, and a pot that counts as not round."""


def crowd(shelf: Shelf, seed: int, fixed: Obstacles = SQUARE) -> Crowd:
    """Twelve pots of all kinds anywhere, overlapping, and an empty place."""
    dice, made = np.random.default_rng(seed), ware(shelf, pots(None, 12), fixed)
    who = np.append(np.arange(12), made.nothing)
    turns = dice.uniform(-900, 900, 13) * np.isfinite(made.arms_mm[who])
    at = np.column_stack((dice.uniform(-250, 250, (13, 2)), turns))
    return made.tables, *made.with_fixed(who, at), 13


@pytest.fixture(params=["compiled", "as written"], autouse=True)
def _in_both_ways(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    if request.param == "as written":
        for module in (overlap, descent):
            for name, value in list(vars(module).items()):
                if hasattr(value, "py_func"):
                    monkeypatch.setattr(module, name, value.py_func)


def looked_at(one: Crowd, places: Floats | None = None) -> tuple[float, Floats]:
    tables, who, at, free = one
    at = at.copy()
    if places is not None:
        at[:free] = places.reshape(-1, 3)
    slopes = np.zeros(3 * free)
    return overlap.overlap(tables, who, at, free, slopes), slopes


def test_two_round_pots_lack_what_their_centres_are_too_near() -> None:
    made = ware(SHELVES[0], [pot("a", 100), pot("b", 120)])
    at = np.array([[-40.0, 0.0, 0.0], [40.0, 0.0, 0.0]])
    energy, slopes = looked_at((made.tables, np.array([0, 1]), at, 2))
    lacking = 50 + 60 + GAP_MM + CONTACT_MM - 80
    assert energy == pytest.approx(lacking**2 / 2)
    assert slopes == pytest.approx([lacking, 0, 0, -lacking, 0, 0])


def test_pots_and_a_post_lack_what_their_centres_are_too_near() -> None:
    made = ware(SHELVES[0], [pot("a", 100)], POST)
    who, at = made.with_fixed(np.array([0]), np.array([[30.0, 10.0, 0.0]]))
    energy, slopes = looked_at((made.tables, who, at, 1))
    lacking = 50 + 20 + GAP_MM + CONTACT_MM - 50
    assert energy == pytest.approx(lacking**2 / 2)
    assert slopes == pytest.approx([0, -lacking, 0])


def test_a_pot_lacks_what_it_stands_over_the_edge() -> None:
    """On a circle of 560 mm; the tangents of a curved edge are a degree apart."""
    made = ware(SHELVES[0], [pot("a", 100)])
    energy, slopes = looked_at((made.tables, np.array([0]), np.array([[0.0, -250.0, 0.0]]), 1))
    assert np.sqrt(2 * energy) == pytest.approx(250 + 50 - 280, abs=0.05)
    assert slopes == pytest.approx([0, -20, 0], abs=0.05)


@pytest.mark.parametrize("shelf", SHELVES, ids=[each.shape for each in SHELVES])
@pytest.mark.parametrize("seed", [1, 2])
def test_slopes_are_finite_differences(shelf: Shelf, seed: int) -> None:
    one = crowd(shelf, seed)
    free = one[3]
    energy, slopes = looked_at(one)
    assert energy > 1000
    places = one[2][:free].ravel()

    def energy_at(x: Floats) -> float:
        return looked_at(one, x)[0]

    differences = approx_fprime(places, energy_at, 1e-6)
    assert slopes == pytest.approx(differences, rel=1e-4, abs=0.01)


def test_an_empty_place_overlaps_nothing() -> None:
    made = ware(SHELVES[2], [pot("a", 100)])
    who = np.array([0, made.nothing, made.nothing])
    energy, slopes = looked_at((made.tables, who, np.zeros((3, 3)), 3))
    assert energy == 0
    assert not slopes.any()


@pytest.mark.parametrize("shelf", SHELVES, ids=[each.shape for each in SHELVES])
def test_the_least_change_is_the_one_after_which_all_of_them_overlap_least(shelf: Shelf) -> None:
    tables, who, at, free = one = crowd(shelf, 3)
    dice = np.random.default_rng(4)
    slots = np.array([dice.permutation(free)[:2] for _ in range(20)])
    numbers = dice.integers(12, size=(20, 2))
    places = np.dstack((dice.uniform(-200, 200, (20, 2, 2)), np.zeros((20, 2))))
    after = []
    for slot, number, place in zip(slots, numbers, places, strict=True):
        changed, changed_at = who.copy(), at.copy()
        changed[slot], changed_at[slot] = number, place
        after.append(looked_at((tables, changed, changed_at, free))[0])
    best = overlap.least_change(*one, slots, numbers, places)
    assert best == np.argmin(after)


def test_descent_ends_where_the_slopes_are_small_or_nothing_overlaps() -> None:
    """Four pots on a large shelf part, and stay where they are told to go on; what is left of a
    crowd that is too large is less."""
    made = ware(SHELVES[0], pots(None, 4))
    who, at = np.arange(4), np.zeros((4, 3))
    at[:, :2] = [[1, 0], [0, 1], [-1, 0], [0, -2]]
    energy, looks = descent.descend(made.tables, who, at, 4, 1e-9)
    assert energy < 1e-9
    assert looked_at((made.tables, who, at, 4))[0] == energy
    assert looks > 1
    assert descent.descend(made.tables, who, at, 4, -1.0)[1] > descent.MOST_ROUNDS
    many = crowd(SHELVES[0], 5)
    before = looked_at(many)[0]
    fixed = many[2][13:].copy()
    after, _ = descent.descend(*many, 1e-9)
    assert 1e-9 < after < before / 5
    assert (many[2][13:] == fixed).all()
