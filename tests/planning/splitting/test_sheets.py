"""Photographed sheets of every paper, taken apart: quick ones here, many more in the slow test."""

from functools import cache

import numpy as np
import pytest

from planning.splitting.page import working_gray
from planning.splitting.run import answer
from tests.study.outside import ICONS, LIVING, outlines

from .counting import Figures, boxes_of, figures, overlap, split
from .cut import cut_sheet
from .pages import PAPERS
from .sheets import Sheet, sheet


@cache
def outside() -> list[np.ndarray[tuple[int, ...], np.dtype[np.float64]]]:
    return outlines(ICONS + LIVING)


def measured(first: int, each: int, papers: tuple[str, ...] = PAPERS) -> Figures:
    seeds = enumerate(paper for _ in range(each) for paper in papers)
    return figures(split(sheet(first + number, paper)) for number, paper in seeds)


def test_a_few_sheets_of_every_paper_come_apart() -> None:
    told = measured(5_000, 1)
    assert told.recall > 0.9
    assert told.precision > 0.9


def test_a_photo_of_one_drawing_stays_one() -> None:
    for number, paper in enumerate(PAPERS[::2]):
        assert split(sheet(5_100 + number, paper, count=1)).exact


def test_outside_drawings_come_apart_too() -> None:
    def form(number: int) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
        return outside()[number % len(outside())]

    told = split(sheet(5_203, "plain", form, count=8))
    assert told.fitting >= 7
    assert told.found <= 9


def test_forms_cut_from_paper_come_apart() -> None:
    told = split(cut_sheet(5_500))
    assert told.exact
    assert told.in_order


def test_boxes_are_told_in_the_pixels_that_were_sent() -> None:
    page = sheet(5_301, "plain", count=3).picture
    gray, scale = working_gray(page)
    whole, small = answer(page, 1.0), answer(gray, scale)
    assert (whole["height"], whole["width"]) == page.shape
    assert (small["height"], small["width"]) == pytest.approx(page.shape, abs=1)
    assert overlap(boxes_of(whole), boxes_of(small)).diagonal().min() > 0.95


@pytest.mark.slow
def test_the_goals_of_sheets_hold_over_all_papers() -> None:
    """Of the aims: recall and precision 0.97 over all papers, 80 % of sheets exactly right."""
    told = measured(6_000, 4)
    assert told.recall > 0.97
    assert told.precision > 0.97
    assert told.exact > 0.8


def test_a_sheet_made_twice_is_the_same() -> None:
    first, second = (sheet(5_400, "squared", count=2) for _ in range(2))
    assert isinstance(first, Sheet)
    assert np.array_equal(first.picture, second.picture)
