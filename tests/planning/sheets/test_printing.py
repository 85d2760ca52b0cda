"""Bars, fonts, and words over a joint."""

import numpy as np
import pytest

from planning.sheets.checkbars import check_bars
from planning.sheets.clock import at_hours, front_up
from planning.sheets.tiles import true_size_sheets
from planning.sheets.truesize import Box, labels_within, line_within
from studio.paper.pages import A4, Shape, Sheet, Stroke, Words
from studio.paper.pdf import pdf
from tests.studio.paper.measuring import Print

from .pots import HEAD, drawing_of
from .vectors import paths


def test_bars_have_a_tick_at_each_centimetre_and_each_inch() -> None:
    read = Print(pdf(A4, [Sheet(tuple(check_bars(20, 30, 170)))], title="Bars"))
    ticks = [path for path in paths(read) if not path.is_level]
    upper, lower = (
        sorted(float(path.points[0, 0]) - 20 for path in ticks if (path.box[1] < 33) == above)
        for above in (True, False)
    )
    assert upper == pytest.approx([10.0 * n for n in range(11)], abs=0.005)
    assert lower == pytest.approx([25.4 * n for n in range(5)], abs=0.005)


def test_every_font_is_embedded() -> None:
    sheets = true_size_sheets(drawing_of("small", "whole"), HEAD, A4)
    content = pdf(A4, sheets, title="A drawing")
    assert content.count(b"/Type /Font ") == content.count(b"/FontFile2") > 0


WINDOWS = [Box(0, 0, 100, 50), Box(86, 0, 186, 50)]
CELLS = [Box(0, 0, 93, 50), Box(93, 0, 186, 50)]


def test_a_word_over_a_joint_stands_on_both_pages() -> None:
    found = labels_within([Words(91, 20, "12", 9)], WINDOWS, CELLS)
    assert [len(page) for page in found] == [1, 1]
    assert found[0] == found[1]


def test_a_word_too_long_for_a_joint_goes_where_most_of_it_is() -> None:
    found = labels_within([Words(70, 20, "a long word indeed", 9)], WINDOWS, CELLS)
    assert [len(page) for page in found] == [1, 0]
    assert found[0][0].x_mm < 70


def test_a_word_far_from_joints_stays_where_it_is() -> None:
    word = Words(120, 20, "12", 9)
    assert labels_within([word], WINDOWS, CELLS) == [[], [word]]


def test_lines_are_cut_at_the_window_s_edge() -> None:
    window = WINDOWS[0]
    (stroke,) = line_within(Stroke(-10, 20, 120, 20), window)
    assert isinstance(stroke, Stroke)
    assert sorted((stroke.x1_mm, stroke.x2_mm)) == [0, 100]
    assert line_within(Stroke(0, 60, 100, 60), window) == []
    square = Shape(((-10, 10), (10, 10), (10, 30), (-10, 30)))
    (open_part,) = line_within(square, window)
    assert isinstance(open_part, Shape)
    assert not open_part.closed
    assert open_part.points_mm[0][0] == open_part.points_mm[-1][0] == 0
    (part,) = line_within(Shape(square.points_mm, fill=0.0), window)
    assert isinstance(part, Shape)
    assert np.ptp([x for x, _y in part.points_mm]) == 10
    assert line_within(Shape(square.points_mm, fill=0.0), WINDOWS[1]) == []


def test_hours_are_even_lengths_of_the_way_round() -> None:
    """A rectangle 80 wide and 40 deep, 240 round: an hour is 20. From the front's middle to the
    corner are 40, so that 2 o'clock is the corner, and 3 the middle of the side at the right."""
    ring = front_up([(40, -20), (40, 20), (-40, 20), (-40, -20)])
    assert ring[0] == pytest.approx([0, -20])
    points, outwards = at_hours(ring, [0, 1, 3, 4, 6, 9, 12])
    assert points == pytest.approx(
        np.array([(0, -20), (20, -20), (40, 0), (40, 20), (0, 20), (-40, 0), (0, -20)])
    )
    assert outwards[[0, 2, 4, 5]] == pytest.approx(np.array([(0, -1), (1, 0), (0, 1), (-1, 0)]))
