"""Printed lines go, lines of a hand stay: ink made by hand, so that what is what is known."""

import numpy as np
import pytest

from planning.exploration.ruling import without_ruling
from tests.planning.exploration.ideas import Array

FAINT = 0.03
PAGE = np.full((400, 300), 255, np.uint8)


def ruled(dark: float, *, upright: bool = False) -> Array:
    """A page of lines 20 pixels apart, with a dark ring of a hand's on them."""
    rows, columns = np.indices(PAGE.shape)
    ink = np.where((columns if upright else rows) % 20 == 10, dark, 0.0).astype(np.float32)
    return np.where(ring(), 0.7, ink).astype(np.float32)


def ring() -> Array:
    rows, columns = np.indices(PAGE.shape)
    away = np.hypot(rows - 200, columns - 150)
    return np.asarray((away > 78) & (away < 82))


@pytest.mark.parametrize("upright", [False, True])
def test_lines_over_the_page_go_and_strokes_that_cross_them_stay(upright: bool) -> None:
    ink = ruled(0.15, upright=upright)
    left = without_ruling(ink, PAGE, FAINT)
    assert np.mean(left[~ring()] > 0) < 0.001
    assert np.mean(left[ring()] > 0.5) > 0.97
    assert (ink == ruled(0.15, upright=upright)).all()  # what was given is as it was


def test_lines_as_dark_as_the_strokes_stay() -> None:
    ink = ruled(0.7)
    assert (without_ruling(ink, PAGE, FAINT) == ink).all()


def test_straight_lines_that_end_within_the_page_stay() -> None:
    """A tall pot's sides, however straight."""
    ink = np.zeros(PAGE.shape, np.float32)
    for column in (100, 104, 200, 204):
        ink[60:340, column : column + 2] = 0.4
    ink[338:340, 100:206] = ink[60:62, 100:206] = 0.6
    assert (without_ruling(ink, PAGE, FAINT) == ink).all()


def test_two_lines_are_no_ruling() -> None:
    ink = np.zeros(PAGE.shape, np.float32)
    ink[[120, 260]] = 0.2
    assert (without_ruling(ink, PAGE, FAINT) == ink).all()


def test_lines_that_hardly_touch_the_paper_are_none_of_its() -> None:
    """A sliver of paper, with lines that run past it on the table."""
    page = np.zeros_like(PAGE)
    page[:, :5] = 255
    ink = ruled(0.15)
    ink[:, 5:] = 0
    assert (without_ruling(ink, page, FAINT) == ink).all()


def test_blank_paper_stays_blank() -> None:
    assert not without_ruling(np.zeros(PAGE.shape, np.float32), PAGE, FAINT).any()
