"""How large a step between two forms is, and which drawing is most like a plan."""

from itertools import pairwise

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from planning.exploration.reading import Unread
from planning.exploration.silhouette import Drawn, form_in
from planning.exploration.steps import (
    SIZES,
    form_of_outline,
    nearest,
    size_of,
    steps_taken,
    way_of,
)
from tests.planning.exploration.drawn import any_way, drawn
from tests.planning.exploration.ideas import Array, filled, redrawn, unit, vessel, wholly_different
from tests.study.drawings import made_up

BELLIED, CONE = np.array((0.25, 0.45, 0.4, 0.2)), np.array((0.1, 0.2, 0.35, 0.5))
BLANK = Unread("nothing_drawn", {}, "drawing")


def samples(part: float, tall: float = 1.2) -> list[tuple[float, float, float]]:
    """A pot so far on its way from a bellied one to an open cone, as a plan's outline in mm."""
    at = np.linspace(0, 1, 90)
    halves = PchipInterpolator(np.linspace(0, 1, 4), BELLIED + part * (CONE - BELLIED))(at)
    return [(200 * tall * h, 200 * w, 200 * w) for h, w in zip(at, halves, strict=True)]


def pot(part: float) -> Drawn:
    return as_drawn(form_of_outline(samples(part)))


def as_drawn(form: Array) -> Drawn:
    return Drawn(form, form)


def test_the_further_a_form_has_changed_the_larger_the_step() -> None:
    """Halfway between two pots is further from the first than a quarter of the way."""
    start = pot(0)
    told = [steps_taken([start, pot(part)])[0] for part in (0, 0.1, 0.2, 0.3, 0.5, 1)]
    alike = [each for each in told if each is not None]
    assert len(alike) == 6
    assert alike[0] == pytest.approx(1, abs=1e-3)
    assert all(later < before for before, later in pairwise(alike))
    assert (size_of(alike[0]), size_of(alike[-1])) == ("same", "apart")


def test_one_form_drawn_twice_is_the_smallest_step_and_other_forms_the_largest() -> None:
    twice = []
    for seed, outline in enumerate(made_up(91_000, 12, (vessel,))):
        rng = np.random.default_rng(seed)
        pair = [form_in(drawn(redrawn(outline, rng, 0.5), any_way(rng), rng)) for _ in range(2)]
        twice += steps_taken(pair)
    sizes = [size_of(alike) for alike in twice if alike is not None]
    assert np.mean([size == "same" for size in sizes]) >= 0.9
    others = steps_taken([as_drawn(filled(unit(each))) for each in wholly_different()])
    assert {size_of(alike) for alike in others if alike is not None} == {"apart"}


def test_sizes_are_told_from_the_smallest_to_the_largest() -> None:
    assert [size_of(alike) for alike in (1, 0.65, 0.64, 0.3, 0.29, 0.02, 0.01, 0)] == [
        *["same"] * 2,
        *["near"] * 2,
        *["far"] * 2,
        *["apart"] * 2,
    ]
    assert SIZES == ("same", "near", "far", "apart")


@pytest.mark.parametrize(
    ("steps", "way"),
    [
        ([], ""),
        ([0.9], ""),
        ([0.9, None, 0.1], ""),
        ([0.0, 0.1, 0.5, 0.9, 0.9], "smaller"),
        ([0.9, 0.4, 0.001], "larger"),
        ([0.99, 0.7, 0.8], "same"),
        ([0.4, 0.9, 0.001], "last_largest"),
        ([0.9, 0.001, 0.4], "mixed"),
        ([0.001, 0.9, 0.001], "mixed"),
    ],
)
def test_how_the_steps_run(steps: list[float | None], way: str) -> None:
    assert way_of(steps) == way


def test_beside_a_drawing_without_a_form_no_step_is_made_up() -> None:
    told = steps_taken([pot(0), pot(0), BLANK, pot(0), pot(0)])
    assert [each is None for each in told] == [False, True, True, False]
    assert steps_taken([pot(0)]) == steps_taken([]) == []


def test_the_drawing_most_like_the_plan_is_the_one_it_was_made_from() -> None:
    drawings: list[Drawn | Unread] = [pot(1), BLANK, pot(0.1), pot(0.6)]
    found = nearest(drawings, form_of_outline(samples(0.12)))
    assert found is not None
    assert (found[0], size_of(found[1])) == (2, "same")
    twins = nearest([pot(0), pot(0)], form_of_outline(samples(0)))
    assert twins is not None
    assert twins[0] == 1
    assert nearest([BLANK], form_of_outline(samples(0))) is None


def test_an_outline_becomes_a_form_of_its_own_proportions() -> None:
    """A cylinder 300 mm high on 40 mm to the left and 60 mm to the right: 3 to 1, filled."""
    form = form_of_outline([(0, 40, 60), (300, 40, 60)])
    rows, columns = np.nonzero(form)
    high, wide = np.ptp(rows) + 1, np.ptp(columns) + 1
    assert high / wide == pytest.approx(3, rel=0.02)
    assert len(rows) == pytest.approx(high * wide, rel=0.001)
    assert set(np.unique(form)) == {0, 255}


def test_the_foot_of_an_outline_is_at_the_bottom() -> None:
    form = form_of_outline([(0, 100, 100), (300, 10, 10)])
    assert np.count_nonzero(form[len(form) // 2 :]) > 2 * np.count_nonzero(form[: len(form) // 2])
