"""Pictures at the bench: a pot laid over its plan, its rows, its seams, its checks over time."""

import re
from math import dist

import pytest

from planning.pictures.building import building_picture
from planning.pictures.checked import (
    SIDE,
    WIDTH,
    Checked,
    CheckedPicture,
    DartsAt,
    MeasuredPlace,
    checked_picture,
)
from planning.pictures.clock import BOX, RADIUS, Stroke, seam_clock
from planning.pictures.drift import CheckLine, Dot, drift_picture
from planning.pictures.levels import level_at
from planning.pictures.outline import Sample

UPRIGHT: list[Sample] = [(0, 80, 80), (100, 80, 80), (200, 80, 80)]


def wide(height_mm: float, width_mm: float, *, wrong: bool = True) -> MeasuredPlace:
    return MeasuredPlace(height_mm, 160, width_mm, wrong)


def scale_of(picture: CheckedPicture) -> float:
    """Drawing units a mm: the highest label is known."""
    [mark] = picture.marks
    return (picture.table_y - mark.y) / mark.height_mm


def numbers(path: str) -> list[float]:
    return [float(each) for each in re.findall(r"-?\d+\.?\d*", path)]


# --- laid over


def test_a_deviation_is_drawn_at_the_scale_of_the_pot() -> None:
    picture = checked_picture(Checked(UPRIGHT, [wide(100, 176)]))
    [mark] = picture.marks
    scale = scale_of(picture)
    assert mark.off_mm == pytest.approx(16)
    assert mark.pot_right_x - mark.plan_right_x == pytest.approx(8 * scale)
    assert mark.plan_left_x - mark.pot_left_x == pytest.approx(8 * scale)
    assert mark.plan_right_x - mark.plan_left_x == pytest.approx(160 * scale)
    assert mark.wrong
    assert mark.shows


def test_nothing_leaves_the_room_between_the_labels() -> None:
    picture = checked_picture(Checked(UPRIGHT, [wide(100, 240), wide(60, 100)]))
    edges = [x for mark in picture.marks for x in (mark.pot_left_x, mark.pot_right_x)]
    assert SIDE <= min(edges) <= max(edges) <= WIDTH - SIDE


def test_less_than_a_ruler_shows_is_not_marked() -> None:
    [mark] = checked_picture(Checked(UPRIGHT, [wide(100, 160.3, wrong=False)])).marks
    assert not mark.shows


def test_labels_that_would_touch_are_left_out() -> None:
    places = [wide(height, 160) for height in (100, 101, 60)]
    marks = checked_picture(Checked(UPRIGHT, places)).marks
    assert [(mark.height_mm, mark.labelled) for mark in marks] == [
        (101, True),
        (100, False),
        (60, True),
    ]


def test_the_pot_stands_up_to_the_highest_place_only() -> None:
    picture = checked_picture(Checked(UPRIGHT, [wide(100, 176)]))
    start_x, start_y = numbers(picture.pot)[:2]
    assert (start_x, start_y) == pytest.approx(
        (picture.axis_x + 80 * scale_of(picture), picture.table_y), abs=0.06
    )
    assert picture.onward == ""


def test_without_a_place_only_the_plan_is_drawn() -> None:
    picture = checked_picture(Checked(UPRIGHT, [], DartsAt(100, 4, 8, 30)))
    assert (picture.pot, picture.marks, picture.darts) == ("", [], [])
    assert picture.plan


def test_an_outline_needs_two_ends() -> None:
    with pytest.raises(ValueError, match="two samples"):
        checked_picture(Checked(UPRIGHT[:1], []))


def test_the_outline_from_here_starts_at_the_edge() -> None:
    onward = [(100.0, 88.0, 88.0), (200.0, 80.0, 80.0)]
    picture = checked_picture(Checked(UPRIGHT, [wide(100, 176)], onward=onward))
    [mark] = picture.marks
    assert numbers(picture.onward)[:2] == pytest.approx([mark.pot_right_x, mark.y], abs=0.06)


@pytest.mark.parametrize(("count", "seen"), [(4, 2), (5, 2), (6, 3)])
def test_darts_on_the_near_side_are_drawn_from_the_edge_down(count: int, seen: int) -> None:
    """Evenly spaced round a circle half of them face whoever looks; of five, one is seen from its
    edge and not drawn."""
    picture = checked_picture(Checked(UPRIGHT, [wide(100, 176)], DartsAt(100, count, 10, 40)))
    assert len(picture.darts) == seen
    scale, [mark] = scale_of(picture), picture.marks
    for dart in picture.darts:
        left_x, y, tip_x, tip_y, right_x, _ = numbers(dart)
        assert y == pytest.approx(mark.y, abs=0.06)
        assert tip_y - y == pytest.approx(40 * scale, abs=0.1)
        assert 0 < right_x - left_x <= 10 * scale + 0.1
        assert mark.pot_left_x <= tip_x <= mark.pot_right_x


def test_levels_beyond_the_ends_are_those_of_the_ends() -> None:
    cone: list[Sample] = [(10, 20, 30), (110, 70, 80)]
    assert level_at(cone, 60) == pytest.approx((60, 45, 55))
    assert level_at(cone, 0) == (0, 20, 30)
    assert level_at(cone, 200) == (200, 70, 80)


# --- rows


def test_rows_that_stand_are_filled_up_to_their_top() -> None:
    picture = building_picture(UPRIGHT, [20, 40, 60, 80], laid=3, by_lesson_mm=80)
    scale = picture.table_y - picture.rows[0].y
    assert [round((picture.table_y - row.y) / scale) for row in picture.rows] == [1, 2]
    assert picture.here is not None
    assert picture.here.height_mm == 80
    assert picture.by_lesson is not None
    assert picture.by_lesson.y == picture.here.y
    assert picture.by_lesson_label_y < picture.here.y - 10
    assert picture.clay


def test_before_the_first_row_nothing_stands_and_after_the_last_none_is_next() -> None:
    nothing = building_picture(UPRIGHT, [20, 40], laid=0)
    assert (nothing.clay, nothing.rows, nothing.by_lesson) == ("", [], None)
    assert nothing.here is not None
    assert nothing.here.height_mm == 20
    whole = building_picture(UPRIGHT, [100, 200], laid=2, by_lesson_mm=150)
    assert whole.here is None
    assert whole.by_lesson is not None
    assert whole.by_lesson_label_y == whole.by_lesson.y


def test_a_lesson_that_goes_far_keeps_its_own_label() -> None:
    picture = building_picture(UPRIGHT, [20, 40, 200], laid=0, by_lesson_mm=200)
    assert picture.by_lesson is not None
    assert picture.by_lesson_label_y == picture.by_lesson.y


# --- seams


def end(stroke: Stroke) -> tuple[float, float]:
    return stroke.x2 - BOX / 2, BOX / 2 - stroke.y2


def test_seams_lie_where_the_hand_of_a_clock_points() -> None:
    """12 is up, 3 to the right, 6 down, 9 to the left."""
    for hour, (x, y) in {0: (0, 1), 3: (1, 0), 6: (0, -1), 9: (-1, 0), 12: (0, 1)}.items():
        [seam] = seam_clock([hour]).seams
        across, up = end(seam)
        far = dist((0, 0), (across, up))
        assert far > RADIUS
        assert (across / far, up / far) == pytest.approx((x, y), abs=1e-9)


def test_the_row_below_is_drawn_smaller() -> None:
    clock = seam_clock([3.0], [0.0, 6.0])
    assert len(clock.below) == 2
    assert dist((0, 0), end(clock.below[0])) < dist((0, 0), end(clock.seams[0]))


# --- over time


def drawn(*checks: list[tuple[float, float]]) -> list[list[Dot]]:
    lines = [CheckLine(number, places) for number, places in enumerate(checks, start=1)]
    return [line.dots for line in drift_picture(UPRIGHT, lines, 5, 3).lines]


def test_wider_runs_to_the_right_and_higher_upwards() -> None:
    [[low, high]] = drawn([(150, 10), (50, -10)])
    picture = drift_picture(UPRIGHT, [CheckLine(1, [(50, -10), (150, 10)])], 5, 3)
    assert low.x < picture.zero_x < high.x
    assert high.x - picture.zero_x == pytest.approx(picture.zero_x - low.x)
    assert high.y < low.y < picture.table_y
    assert (picture.table_y - high.y) / (picture.table_y - low.y) == pytest.approx(3)
    assert picture.most_mm == 10


def test_the_newest_is_the_dark_one() -> None:
    checks = [CheckLine(n, [(50, 1)]) for n in (1, 2, 3, 4)]
    lines = drift_picture(UPRIGHT, checks, 5, 3).lines
    assert [(line.number, line.age) for line in lines] == [
        (1, "earlier"),
        (2, "earlier"),
        (3, "before"),
        (4, "newest"),
    ]
    assert lines[0].label.y < lines[0].dots[-1].y


def test_near_enough_is_the_larger_of_both_tolerances_on_either_side() -> None:
    """3 % of 160 mm is 4.8 mm, so 5 mm hold; 5 % are 8 mm."""
    for pct, band in ((3, 5), (5, 8)):
        picture = drift_picture(UPRIGHT, [CheckLine(1, [(50, 20)])], 5, pct)
        xs = numbers(picture.near_enough)[::2]
        unit = (picture.lines[0].dots[0].x - picture.zero_x) / 20
        assert max(xs) - picture.zero_x == pytest.approx(band * unit, abs=0.1)
        assert picture.zero_x - min(xs) == pytest.approx(band * unit, abs=0.1)
