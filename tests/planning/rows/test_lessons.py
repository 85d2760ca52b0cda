"""Rows over dates, by plain lists. A cylinder's ten rows stand 19 mm each on a base of 10."""

from datetime import date

import pytest

from planning.rows.choices import Lesson
from planning.rows.rows import row_list
from planning.rows.sentences import RowsRefused

from .pots import choices, cylinder, pot

MONDAY, WEDNESDAY, FRIDAY, NEXT = (date(2026, 3, day) for day in (2, 4, 6, 9))


def test_by_this_date_here() -> None:
    # 60 mm hold three rows of 19, 80 mm four, the rest is three.
    lessons = (Lesson(MONDAY, 60), Lesson(WEDNESDAY, 80), Lesson(FRIDAY, rows=5), Lesson(NEXT, 60))
    listed = row_list(cylinder(), choices(lessons=lessons))
    assert [(each.on, each.row) for each in listed.reached] == [
        (MONDAY, 3),
        (WEDNESDAY, 7),
        (FRIDAY, 10),
    ]
    assert [each.height_mm for each in listed.reached] == pytest.approx([67, 143, 200])
    assert [(rest.after_row, rest.reason, rest.on) for rest in listed.rests] == [
        (3, "lesson_end", MONDAY),
        (7, "lesson_end", WEDNESDAY),
    ]
    assert "score and slip" in listed.rests[0].said.message
    assert "after row 3" in listed.rests[0].said.message
    # Every rest finds its rows worked in.
    blends = [row.row for row in listed.rows if row.blend]
    assert blends == [2, 3, 5, 7, 9, 10]
    assert listed.checks == ()


def test_a_lesson_lays_one_row_at_least() -> None:
    listed = row_list(cylinder(), choices(lessons=(Lesson(MONDAY, 5), Lesson(FRIDAY, 19))))
    assert [each.row for each in listed.reached] == [1, 2]


def test_too_few_dates_are_told() -> None:
    listed = row_list(cylinder(), choices(lessons=(Lesson(MONDAY, rows=4),)))
    (told,) = listed.checks
    assert told.message == (
        "On the last date the wall stands at row 4 of 10, 86 mm high. Add dates, lay more in a "
        "lesson, or plan a smaller pot."
    )


def test_without_dates_a_high_wall_rests_every_hand_of_soft_clay() -> None:
    # 120 mm hold six rows of 19; none after the last row.
    assert [(rest.after_row, rest.reason) for rest in row_list(cylinder(), choices()).rests] == [
        (6, "stiffen")
    ]
    assert [rest.after_row for rest in row_list(cylinder(), choices(soft_wall_mm=57)).rests] == [
        3,
        6,
        9,
    ]
    assert row_list(pot((0, 60), (120, 60)), choices()).rests == ()


def test_a_long_lesson_rests_within() -> None:
    lessons = (Lesson(MONDAY, rows=8), Lesson(WEDNESDAY, rows=8))
    listed = row_list(cylinder(), choices(lessons=lessons))
    assert [(rest.after_row, rest.reason) for rest in listed.rests] == [
        (6, "stiffen"),
        (8, "lesson_end"),
    ]


@pytest.mark.parametrize(
    ("lessons", "path", "code"),
    [
        ((Lesson(FRIDAY, 60), Lesson(MONDAY, 60)), "lessons.1.on", "dates_fall"),
        ((Lesson(MONDAY, 60, 3),), "lessons.0", "one_pace"),
        ((Lesson(MONDAY),), "lessons.0", "one_pace"),
        ((Lesson(MONDAY, 0.0),), "lessons.0.rise_mm", "out_of_range"),
        ((Lesson(MONDAY, rows=0),), "lessons.0.rows", "out_of_range"),
    ],
)
def test_lessons_that_make_no_sense_are_refused_at_their_place(
    lessons: tuple[Lesson, ...], path: str, code: str
) -> None:
    with pytest.raises(RowsRefused) as refused:
        row_list(cylinder(), choices(lessons=lessons))
    assert [(each.path, each.code) for each in refused.value.problems] == [(path, code)]
