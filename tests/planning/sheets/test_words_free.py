"""On a true-size page no word stands where something is cut, joined or laid on."""

import numpy as np
import pytest

from planning.sheets.base import base_drawing
from studio.paper.text import width_mm

from .joined import registers
from .pots import CM, PAPERS, globe, printed
from .vectors import text_boxes

NAME = "K7-3F Ode A. · Period 3"
# Half the arms of a cross level and upright, and the square round its ring, mm.
PARTS = ((4.5, 0.1), (0.1, 4.5), (2.5, 2.5))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("kind", ["template", "whole", "base"])
def test_no_cross_stands_on_a_word(kind: str, paper: str) -> None:
    read = printed("big", kind, paper)
    for page in range(len(read.sizes_mm)):
        letters = text_boxes(read, page)
        for x, y in registers(read, page).values():
            for wide, high in PARTS:
                struck = [
                    box
                    for box in letters
                    if box[0] < x + wide
                    and x - wide < box[2]
                    and box[1] < y + high
                    and y - high < box[3]
                ]
                assert struck == []


@pytest.mark.parametrize("across", [60.0, 70.0, 110.0, 180.0])
def test_no_word_touches_the_ring_of_a_small_base_and_the_name_is_whole(across: float) -> None:
    """A circle of radius r is 2 √(r² - d²) wide at the distance d from its middle."""
    pot = globe(200, across, ring=True)
    ring = pot.inputs.foot_ring
    assert ring is not None
    made = base_drawing(pot.figures.base_outline, ring, CM, base_mm=pot.made.base_mm, name=NAME)
    radius = 0.6 * across / 2 - ring.width_mm
    said = {words.text: words for words in made.labels}
    for text in (NAME, "this side up"):
        words = said[text]
        half = width_mm(text, words.size_pt, words.face) / 2
        inside = abs(words.y_mm) < radius and half < np.sqrt(radius**2 - words.y_mm**2)
        below = words.y_mm > 0.6 * across / 2 + 5.0
        assert inside or below
