"""Which drawings are one idea, and how many ideas there are: drawings whose ideas are known."""

from functools import cache

import cv2
import numpy as np
import pytest

from planning.exploration.ideas import grouped, ideas_in
from planning.exploration.poses import poses_of
from planning.exploration.similarity import compared, kernel, likeness
from tests.planning.exploration.ideas import UNSEEN, Array, filled, wholly_different
from tests.study.drawings import Read, made_up, read
from tests.study.figures import auc, counted, pairs

# The same families as far as they go, other forms than anything was fitted to.
FORMS, TIMES = 14, 4


@cache
def drawings() -> Read:
    return read(made_up(200_100, FORMS, UNSEEN), TIMES, 3)


@cache
def chance() -> Array:
    return likeness(drawings().distances())


def test_every_drawing_is_read() -> None:
    assert drawings().unread <= 1


def test_redrawings_are_told_from_other_forms_mirrored_or_not() -> None:
    """The goal: an area under the curve of 0.985."""
    same = pairs(drawings().idea[:, None] == drawings().idea)
    mirrored = pairs(drawings().mirrored[:, None] != drawings().mirrored)
    alike = pairs(chance())
    assert auc(alike, same) > 0.985
    assert auc(alike[mirrored], same[mirrored]) > 0.985


def test_the_number_of_ideas_is_that_of_the_forms() -> None:
    """The goals: correlation 0.98, mean error 10 %, evenly and unevenly redrawn."""
    told = counted(drawings().idea, chance(), 60, 5, (5, 14))
    assert told.correlation > 0.98
    assert told.error < 0.1
    assert told.within_range > 0.8


def test_a_similarity_has_a_unit_diagonal_and_no_eigenvalue_below_nothing() -> None:
    similarity = kernel(chance())
    assert np.diag(similarity) == pytest.approx(np.ones(len(similarity)))
    assert similarity == pytest.approx(similarity.T)
    assert np.linalg.eigvalsh(similarity).min() > -1e-9
    # What has none below is left as it is.
    assert kernel(np.eye(4)) == pytest.approx(np.eye(4))


def test_one_more_drawing_never_lowers_the_number() -> None:
    rng = np.random.default_rng(8)
    for _ in range(12):
        some = rng.permutation(len(chance()))[:15]
        numbers = [ideas_in(chance()[np.ix_(some[:n], some[:n])]) for n in range(16)]
        for name in ("low", "distinct", "high"):
            grown = np.diff([getattr(each, name) for each in numbers])
            assert grown.min() > -1e-9
            assert grown.max() < 1 + 0.3
        assert all(each.low <= each.distinct <= each.high + 1e-9 for each in numbers)


def test_one_idea_drawn_many_times_is_one_and_wholly_different_ones_all_count() -> None:
    different = read(wholly_different(), 1, 4)
    assert ideas_in(likeness(different.distances())).distinct > 0.9 * len(wholly_different())
    redrawn = np.flatnonzero(drawings().idea == 0)
    assert ideas_in(chance()[np.ix_(redrawn, redrawn)]).distinct == pytest.approx(1, abs=0.05)


@pytest.mark.parametrize("count", [1, 5, 20])
def test_the_exact_cases_come_out(count: int) -> None:
    """Friedman and Dieng 2022: 1 for n that are the same, n for n wholly different."""
    assert ideas_in(np.ones((count, count))).distinct == pytest.approx(1, abs=1e-9)
    different = ideas_in(np.eye(count))
    assert different.distinct == pytest.approx(count)
    assert different.low == pytest.approx(count)
    assert different.high == count
    assert different.groups == tuple((n,) for n in range(count))


def test_no_drawing_is_no_idea() -> None:
    nothing = ideas_in(np.empty((0, 0)))
    assert (nothing.groups, nothing.distinct, nothing.low, nothing.high) == ((), 0, 0, 0)


def test_groups_are_in_the_order_drawn_by_their_first() -> None:
    alike = np.kron(np.array([[1, 0], [0, 1]]), np.full((2, 2), 0.9))
    order = [2, 0, 3, 1]
    alike = alike[np.ix_(order, order)]
    np.fill_diagonal(alike, 1)
    assert grouped(alike, 0.5) == ((0, 2), (1, 3))
    # Average linkage (Sokal and Michener 1958): the mean of 0.9 and 0.3 joins at 0.6, not at 0.7.
    three = np.array([[1, 0.9, 0.9], [0.9, 1, 0.3], [0.9, 0.3, 1]])
    assert grouped(three, 0.59) == ((0, 1, 2),)
    assert grouped(three, 0.61) in (((0, 1), (2,)), ((0, 2), (1,)))


def test_a_form_of_few_pixels_is_the_same_as_a_large_one() -> None:
    large = filled(wholly_different()[4], 300)
    small = np.asarray(cv2.resize(large, (75, 75), interpolation=cv2.INTER_AREA), np.uint8)
    distances = compared([poses_of(large), poses_of(small)]).distances
    assert likeness(distances)[0, 1] > 0.95


def test_forms_are_compared_alike_from_either_side() -> None:
    distances = drawings().distances()
    assert distances == pytest.approx(np.swapaxes(distances, 0, 1), abs=1e-6)
    told = compared(drawings().poses[:3])
    assert (np.diag(told.ways) == 0).all()
