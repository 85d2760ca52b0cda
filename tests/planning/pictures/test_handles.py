"""A handle is where its line ends on the drawing, and says what was measured there."""

import pytest

from planning.pictures.handles import handles
from planning.pictures.measured import PlanDrawing, plan_picture

BELLIED = [(0.0, 40.0, 42.0), (100.0, 110.0, 112.0), (200.0, 60.0, 62.0)]


def test_a_handle_is_at_the_end_of_its_line() -> None:
    picture = plan_picture(PlanDrawing(BELLIED, BELLIED))
    found = handles(picture, [(row, *line) for row, line in enumerate(BELLIED)])
    ends = [
        end
        for line in reversed(picture.lines)
        for end in ((line.left_x, line.y), (line.right_x, line.y))
    ]
    for handle, (x, y) in zip(found, ends, strict=True):
        assert (handle.x, handle.y) == pytest.approx((x, y))
    assert [(each.line, each.side, each.half_mm) for each in found[2:4]] == [
        (2, "left", 110.0),
        (2, "right", 112.0),
    ]


def test_what_is_not_measured_has_no_handle() -> None:
    picture = plan_picture(PlanDrawing(BELLIED))
    found = handles(picture, [(0, 0, None, 42), (7, 100, 110, None)])
    assert [(each.row, each.side) for each in found] == [(0, "right"), (7, "left")]


def test_a_fired_drawing_is_pulled_by_the_millimetres_that_stand_on_paper() -> None:
    """Drawn as fired, with a total shrinkage of 20 %: the wet pot is 1.25 times as wide."""
    wet = [(height * 1.25, left * 1.25, right * 1.25) for height, left, right in BELLIED]
    picture = plan_picture(PlanDrawing(wet, wet, enlarged=1.25))
    left, _right = handles(picture, [(1, 100, 110, 112)])
    line = picture.lines[1]
    assert (left.x, left.y) == pytest.approx((line.left_x, line.y))
    assert (picture.axis_x - left.x) * picture.mm_per_unit == pytest.approx(110)


def test_every_handle_of_a_fitting_drawing_is_within_reach() -> None:
    picture = plan_picture(PlanDrawing(BELLIED, BELLIED))
    found = handles(picture, [(row, *line) for row, line in enumerate(BELLIED)])
    assert max(abs(each.x - picture.axis_x) for each in found) < picture.reach
    assert picture.axis_x - picture.reach > 0
