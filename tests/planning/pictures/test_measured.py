"""The measured drawing shows the plan's own lines, and labels only what can be read."""

import itertools

import pytest

from planning.pictures.measured import APART, WIDTH, PlanDrawing, plan_picture
from planning.pictures.outline import Sample

BELLIED: list[Sample] = [(0, 40, 42), (100, 110, 112), (200, 60, 62), (280, 70, 72)]


def test_the_widest_place_is_measured_where_it_is() -> None:
    picture = plan_picture(PlanDrawing(BELLIED))
    assert picture.widest_mm == 222
    scale = (picture.table_y - 14) / 280
    assert picture.table_y - picture.widest_y == pytest.approx(100 * scale)
    assert picture.widest_right_x - picture.widest_left_x == pytest.approx(222 * scale)


def test_every_height_line_is_at_its_height_and_as_wide_as_the_plan_there() -> None:
    picture = plan_picture(PlanDrawing(BELLIED, BELLIED))
    scale = (picture.table_y - 14) / 280
    assert [line.height_mm for line in picture.lines] == [280, 200, 100, 0]
    for line, (height, left, right) in zip(picture.lines, reversed(BELLIED), strict=True):
        assert picture.table_y - line.y == pytest.approx(height * scale)
        assert picture.axis_x - line.left_x == pytest.approx(left * scale)
        assert line.right_x - picture.axis_x == pytest.approx(right * scale)


def test_labels_never_crowd_and_the_rim_keeps_its_own() -> None:
    lines = [(height * 5.0, 50.0, 50.0) for height in range(57)]
    picture = plan_picture(PlanDrawing(BELLIED, lines))
    labelled = [line for line in picture.lines if line.labelled]
    assert labelled[0].height_mm == 280
    gaps = [b.y - a.y for a, b in itertools.pairwise(labelled)]
    assert min(gaps) >= APART
    assert len(labelled) < len(picture.lines)


def test_everything_stays_within_the_picture() -> None:
    for widest in (20.0, 110.0, 900.0):
        picture = plan_picture(PlanDrawing([(0, widest, 5), (300, 5, 5)]))
        assert picture.widest_left_x > 0
        assert picture.widest_right_x < picture.line_end_x < WIDTH


def test_a_plan_of_one_line_is_no_plan_yet() -> None:
    with pytest.raises(ValueError, match="a silhouette has at least two samples"):
        plan_picture(PlanDrawing([(0, 1, 1)]))
