"""Boxes stay in their picture, and are numbered as one reads."""

import pytest

from planning.splitting.boxes import ordered, with_room, within


def test_a_box_is_proposed_a_little_larger_than_its_strokes() -> None:
    assert with_room((100, 200, 100, 50), 1000, 1000) == [97, 197, 106, 56]
    assert with_room((0, 0, 100, 50), 101, 52) == [0, 0, 101, 52]


@pytest.mark.parametrize(
    ("box", "kept"),
    [
        ((10, 20, 30, 40), [10, 20, 30, 40]),
        ((-10, -20, 30, 60), [0, 0, 20, 40]),
        ((390, 290, 50, 50), [390, 290, 10, 10]),
        ((100, 100, -50, -40), [50, 60, 50, 40]),  # dragged over its other corner
        ((100, 100, 2, 2), [100, 100, 8, 8]),  # 2 % of 400
        ((500, 400, 2, 2), [392, 292, 8, 8]),
        ((-1e9, -1e9, 2e9, 2e9), [0, 0, 400, 300]),
    ],
)
def test_a_box_is_laid_inside_its_picture(box: tuple[float, ...], kept: list[int]) -> None:
    assert within(box, 400, 300) == kept


def test_a_picture_one_pixel_wide_has_a_box() -> None:
    assert within((0, 0, 5, 5), 1, 300) == [0, 0, 1, 6]


def test_boxes_are_read_by_rows_from_the_left() -> None:
    """Left to right, then down: common practice, no source."""
    upper, lower = [[10, 12, 80, 90], [200, 0, 80, 90]], [[15, 150, 80, 90], [190, 160, 90, 70]]
    assert ordered([lower[1], upper[1], lower[0], upper[0]]) == upper + lower
    assert ordered([]) == []


def test_boxes_that_touch_or_overlap_a_little_are_still_beside_each_other() -> None:
    halves = [[20, 20, 175, 200], [195, 20, 175, 200]]
    assert ordered(halves[::-1]) == halves
    overlapping = [[20, 30, 175, 200], [180, 20, 175, 200], [340, 40, 175, 180]]
    assert ordered(overlapping[::-1]) == overlapping
