"""The measured drawing shows the plan's own lines, and labels only what can be read."""

import itertools

import pytest

from planning.pictures.levels import APART
from planning.pictures.measured import DATES, LEFT, WIDTH, PlanDrawing, plan_picture
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


def test_a_form_that_can_not_be_computed_is_drawn_as_its_height_lines() -> None:
    picture = plan_picture(PlanDrawing((), BELLIED))
    assert picture.profile == ""
    assert [line.height_mm for line in picture.lines] == [280, 200, 100, 0]
    assert picture.table_y == plan_picture(PlanDrawing(BELLIED, BELLIED)).table_y


def test_dates_stand_left_of_the_lines_and_never_crowd() -> None:
    dates = [(height * 10.0, f"by {height}") for height in range(1, 29)]
    picture = plan_picture(PlanDrawing(BELLIED, BELLIED, reached=dates, dated=True))
    scale = (picture.table_y - 14) / 280
    assert [date.y for date in picture.dates] == [
        pytest.approx(picture.table_y - height * scale) for height, _text in reversed(dates)
    ]
    labelled = [date for date in picture.dates if date.labelled]
    assert labelled[0].text == "by 28"
    assert min(b.y - a.y for a, b in itertools.pairwise(labelled)) >= APART
    assert len(labelled) < len(dates)
    assert picture.line_start_x == DATES
    assert picture.width == WIDTH + DATES - LEFT


def test_a_foot_ring_lifts_the_pot_and_is_as_wide_as_its_base() -> None:
    lifted = plan_picture(PlanDrawing(BELLIED, BELLIED, foot_mm=20))
    assert lifted.table_y - lifted.base_y == pytest.approx(20 * lifted.scale)
    base = lifted.lines[-1]
    assert base.y == lifted.base_y
    left, right = f"{base.left_x:.1f}", f"{base.right_x:.1f}"
    assert lifted.foot.startswith(f"M{left} {base.y:.1f}V{lifted.table_y:.1f}H{right}V")


def test_a_drawing_that_is_changed_keeps_its_scale_as_long_as_it_looks_right() -> None:
    fitting = plan_picture(PlanDrawing(BELLIED)).scale
    for share, stays in ((0.5, False), (0.8, True), (1.1, True), (1.3, False), (9, False)):
        picture = plan_picture(PlanDrawing(BELLIED, kept=share * fitting))
        assert picture.scale == pytest.approx(share * fitting if stays else fitting)


def test_a_drawing_that_a_hand_holds_keeps_its_scale() -> None:
    fitting = plan_picture(PlanDrawing(BELLIED)).scale
    for share, stays in ((0.5, True), (1.3, True), (9, False)):
        picture = plan_picture(PlanDrawing(BELLIED, kept=share * fitting, still=True))
        assert picture.scale == pytest.approx(share * fitting if stays else fitting)
