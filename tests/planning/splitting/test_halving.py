"""A box with two drawings is cut in their gap; what a gap is, is known since the page was drawn."""

from collections.abc import Iterator
from typing import Any

import cv2
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.splitting.boxes import Box, in_two, with_room
from planning.splitting.halving import gap_in, halved, halves

from .pages import PAPERS
from .sheets import sheet

WIDE, HIGH = 400, 300
LEAST = 8  # 2 % of 400


def strokes(*pots: tuple[int, int, int, int]) -> Any:
    """Ovals drawn with a line, each filling its x, y, width and height."""
    drawn = np.zeros((HIGH, WIDE), np.uint8)
    for x, y, wide, high in pots:
        middle = (x + wide // 2, y + high // 2)
        cv2.ellipse(drawn, middle, (wide // 2 - 2, high // 2 - 2), 0, 0, 360, 255, 3)
    return drawn


def cut(drawn: Any, box: Box, scale: float = 1.0) -> list[Box]:
    return halves(drawn, box, scale, LEAST)


def test_it_is_cut_in_the_gap_and_not_in_its_middle() -> None:
    drawn = strokes((20, 40, 200, 200), (240, 60, 100, 180))
    near, far = cut(drawn, [10, 30, 360, 220])
    assert near == [10, 30, 220, 220]  # from 220 to 240 there is paper
    assert far == [230, 30, 140, 220]


def test_one_over_the_other_is_cut_across_though_the_box_is_wider() -> None:
    drawn = strokes((60, 20, 260, 80), (50, 130, 280, 100))
    near, far = cut(drawn, [40, 10, 300, 240])
    assert far[1] == near[1] + near[3] == pytest.approx(115, abs=2)
    assert (near[2], far[2]) == (300, 300)


def test_drawings_that_touch_are_cut_where_they_do() -> None:
    near, far = cut(strokes((20, 40, 181, 200), (198, 50, 120, 190)), [10, 30, 330, 220])
    assert near[0] + near[2] == far[0] == pytest.approx(200, abs=4)


def test_a_note_that_runs_through_the_gap_does_not_hide_it() -> None:
    drawn = strokes((20, 40, 180, 180), (240, 40, 120, 180))
    cv2.putText(drawn, "made of seeds", (60, 250), cv2.FONT_HERSHEY_SIMPLEX, 1.0, 255, 2)
    near, _far = cut(drawn, [10, 30, 370, 230])
    assert 200 < near[0] + near[2] < 240


def test_what_stands_off_at_the_side_is_no_second_drawing() -> None:
    """A number beside a pot: the gap behind it is not where two drawings part."""
    drawn = strokes((60, 40, 300, 200))
    cv2.putText(drawn, "3", (15, 70), cv2.FONT_HERSHEY_SIMPLEX, 1.0, 255, 2)
    assert gap_in(drawn) is None


@pytest.mark.parametrize(
    ("box", "two"),
    [
        ([0, 0, 301, 200], [[0, 0, 150, 200], [150, 0, 151, 200]]),
        ([10, 20, 100, 250], [[10, 20, 100, 125], [10, 145, 100, 125]]),
        ([10, 20, 16, 16], [[10, 20, 8, 16], [18, 20, 8, 16]]),
        ([10, 20, 15, 12], [[10, 20, 15, 12]]),
    ],
)
def test_without_a_gap_it_is_cut_in_its_middle(box: Box, two: list[Box]) -> None:
    """Half and half along the longer side; what is too small for two stays whole."""
    assert in_two(box, LEAST) == two
    assert cut(np.zeros((HIGH, WIDE), np.uint8), box) == two
    assert cut(np.full((HIGH, WIDE), 255, np.uint8), box) == two


def test_a_gap_too_near_to_the_edge_of_a_box_cuts_nothing_off() -> None:
    drawn = strokes((0, 0, 10, 20), (14, 0, 10, 20))
    assert cut(drawn, [0, 0, 24, 20]) == [[0, 0, 12, 20], [12, 0, 12, 20]]
    assert cut(drawn, [6, 0, 18, 20]) == [[6, 0, 18, 10], [6, 10, 18, 10]]


@given(
    st.tuples(st.integers(0, 200), st.integers(0, 150), st.integers(8, 200), st.integers(8, 150)),
    st.sampled_from((0.35, 1.0)),
)
def test_two_halves_are_the_whole_box(box: tuple[int, ...], scale: float) -> None:
    drawn = strokes((20, 40, 180, 100), (230, 60, 100, 180), (40, 160, 150, 120))
    parts = cut(drawn, list(box), scale)
    assert sum(wide * high for _, _, wide, high in parts) == box[2] * box[3]
    left, top = min(p[0] for p in parts), min(p[1] for p in parts)
    right, foot = max(p[0] + p[2] for p in parts), max(p[1] + p[3] for p in parts)
    assert (left, top, right - left, foot - top) == box
    assert len(parts) == 1 or min(side for p in parts for side in p[2:]) >= min(LEAST, *box[2:])


def neighbours(boxes: Any) -> Iterator[tuple[Any, Any, Box]]:
    """Two drawings of a sheet, and the box round them, where no third reaches into it."""
    ends = np.hstack((boxes[:, :2], boxes[:, :2] + boxes[:, 2:]))
    for i in range(len(ends)):
        for j in range(i + 1, len(ends)):
            both = np.hstack((np.minimum(ends[i], ends[j])[:2], np.maximum(ends[i], ends[j])[2:]))
            meet = (np.minimum(ends, both)[:, 2:] > np.maximum(ends, both)[:, :2]).all(axis=1)
            if meet.sum() == 2:
                x, y, right, foot = (round(float(side)) for side in both)
                yield boxes[i], boxes[j], [x, y, right - x, foot - y]


def whole_in(half: Box, drawing: Any) -> bool:
    x, y, wide, high = (float(side) for side in drawing)
    slip = 0.01 * max(wide, high)
    return (
        half[0] <= x + slip
        and half[1] <= y + slip
        and half[0] + half[2] >= x + wide - slip
        and half[1] + half[3] >= y + high - slip
    )


def apart(two: list[Box], one: Any, other: Any) -> bool:
    if len(two) != 2:
        return False
    near, far = two
    either = (whole_in(near, one), whole_in(far, other))
    return all(either) or (whole_in(near, other) and whole_in(far, one))


def test_photographed_neighbours_come_apart_whole_where_their_middle_would_cut_some() -> None:
    good, middle, count = 0, 0, 0
    for number, paper in enumerate(PAPERS[:2]):
        page = sheet(7_000 + number, paper, count=7)
        high, wide = page.picture.shape
        pairs = list(neighbours(page.boxes))
        boxes = [with_room(box, wide, high) for _, _, box in pairs]
        for (one, other, _), box, two in zip(
            pairs, boxes, halved(page.picture, boxes, 1.0), strict=True
        ):
            count += 1
            good += apart(two, one, other)
            middle += apart(in_two(box, LEAST), one, other)
    assert count >= 10
    assert good == count
    assert middle < count


def test_frames_round_the_drawings_hide_no_gap() -> None:
    picture = np.full((900, 1200), 230, np.uint8)
    for n, (x, wide) in enumerate(((60, 500), (560, 300), (860, 280))):
        cv2.rectangle(picture, (x, 100), (x + wide, 700), 60, 3)
        middle, half = (x + wide // 2, 420), (wide // 2 - 60, 200 - 20 * n)
        cv2.ellipse(picture, middle, half, 0, 0, 360, 40, 4)
    [[near, far]] = halved(picture, [[50, 90, 820, 620]], 1.0)
    assert near[0] + near[2] == far[0] == pytest.approx(560, abs=62)
    assert near[0] + near[2] > 500
    assert far[0] < 620


def test_boxes_are_in_the_pixels_of_the_picture_that_was_opened_smaller() -> None:
    page = sheet(7_100, "plain", count=2)
    high, wide = page.picture.shape
    one, other = page.boxes
    both = [0, 0, wide, high]
    smaller = np.asarray(cv2.resize(page.picture, None, fx=0.5, fy=0.5), np.uint8)
    [small] = halved(smaller, [both], 0.5)
    [full] = halved(page.picture, [both], 1.0)
    assert np.array(small) == pytest.approx(np.array(full), abs=0.02 * max(page.picture.shape))
    assert apart(full, one, other)
