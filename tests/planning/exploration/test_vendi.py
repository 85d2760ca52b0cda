"""The Vendi score against its published examples and its authors' own implementation."""

import numpy as np
import pytest

from planning.exploration.vendi import vendi_score
from tests.planning.exploration.ideas import Array

STEPS = np.abs(np.subtract.outer(np.arange(8), np.arange(8)))


@pytest.mark.parametrize(
    ("similarity", "score"),
    [
        # README of vendi_score 0.0.3 (Friedman and Dieng, MIT): 2.9999 and 2.1573 there.
        (
            np.exp(-np.abs(np.subtract.outer([0, 0, 10, 10, 20, 20], [0, 0, 10, 10, 20, 20]))),
            2.9999,
        ),
        (np.array([[1, 0.9, 0], [0.9, 1, 0], [0, 0, 1]]), 2.1573),
    ],
)
def test_the_published_examples_come_out(similarity: Array, score: float) -> None:
    assert vendi_score(similarity) == pytest.approx(score, abs=1e-4)


@pytest.mark.parametrize(
    ("similarity", "score"),
    [
        # What `vendi.score_K` of vendi_score 0.0.3 answers.
        (np.exp(-STEPS / 2), 5.412279650174761),
        (np.exp(-((STEPS / 3) ** 2)), 2.96329832453781),
        (1 / (1 + STEPS), 5.968479266641099),
        (np.cos(STEPS / 4), 1.7923854130186367),
        (np.array([[1, 0.9, 0], [0.9, 1, 0], [0, 0, 1]]), 2.1573004833739833),
    ],
)
def test_the_authors_implementation_agrees(similarity: Array, score: float) -> None:
    assert vendi_score(similarity) == pytest.approx(score, abs=1e-6)


def test_it_counts_what_has_nothing_in_common_and_nothing_twice() -> None:
    """Friedman and Dieng 2022: n for n wholly different, 1 for n that are the same."""
    assert vendi_score(np.eye(7)) == pytest.approx(7)
    assert vendi_score(np.ones((7, 7))) == pytest.approx(1)
    assert vendi_score(np.empty((0, 0))) == 0
