"""The goals of comparing drawings, on collections that take minutes: `make study` prints more."""

import numpy as np
import pytest

from planning.exploration import fitted
from planning.exploration.similarity import likeness
from tests.planning.exploration.ideas import FITTED, UNSEEN
from tests.study.__main__ import coincidences, separated
from tests.study.drawings import Read, again, made_up, of_pictures, read
from tests.study.figures import counted
from tests.study.outside import ICONS, LIVING, outlines, sketchbooks

pytestmark = pytest.mark.slow


def test_redrawings_of_made_up_forms_are_one_idea() -> None:
    told = read(made_up(210_000, 50, UNSEEN), 4, 51)
    check(told, least_auc=0.985, correlation=0.98, error=0.1)


def test_redrawings_of_outside_icons_are_one_idea() -> None:
    check(read(outlines(ICONS)[:60], 4, 52), least_auc=0.97, correlation=0.98, error=0.1)


def test_redrawings_of_living_things_are_one_idea() -> None:
    check(read(outlines(LIVING), 4, 53), least_auc=0.9, correlation=0.97, error=0.12)


def test_whole_photographs_of_pages_are_compared() -> None:
    """By other hands, on forms of which some are near each other: from photographs a mean error
    of an eighth was aimed at, and so far is reached."""
    told = of_pictures(sketchbooks(16, 10))
    assert told.unread < 0.05 * 160
    check(told, least_auc=0.98, correlation=0.93, error=0.16)


def check(told: Read, *, least_auc: float, correlation: float, error: float) -> None:
    distances = told.distances()
    every, mirrored = separated(told, distances)
    assert every > least_auc
    assert np.isnan(mirrored) or mirrored > least_auc
    numbers = counted(told.idea, likeness(distances), 120, 54)
    assert numbers.correlation > correlation
    assert numbers.error < error


def test_a_shaky_hand_has_as_many_ideas() -> None:
    forms = made_up(600_000, 24, UNSEEN)
    steady, shaky = (
        float(np.mean(told.distinct / told.true))
        for told in (
            counted(each.idea, likeness(each.distances()), 80, 55)
            for each in (read(forms, 4, 56, shaky=by) for by in (1.0, 3.0))
        )
    )
    assert shaky == pytest.approx(steady, rel=0.1)


def test_copies_are_caught_at_one_false_alarm_in_a_hundred() -> None:
    copies, redrawings = coincidences(again(made_up(710_000, 50, FITTED + UNSEEN), 57))
    assert np.mean(copies > fitted.COPY) > 0.8
    assert np.mean(redrawings > fitted.COPY) < 0.03
