"""Rows in a sentence, over lessons and one by one."""

from datetime import date
from typing import Any

import pytest

from planning.geometry.refusal import FormRefused, Trouble
from planning.models.brief import Terms
from planning.plans.inputs import Line
from planning.plans.laid import laid_over
from planning.plans.view import kept_plan_view, plan_view
from planning.rows.choices import Lesson
from studio.units.scales import Metric
from studio.web.shown import NBSP
from tests.cast import School
from tests.planning.work import a_piece, drawn_plan, send

MM, CM, INCHES = Metric(), Metric("cm", "kg"), Metric("in", "lb")
FRIDAYS = tuple(Lesson(date(2026, 12, day), rise_mm=60) for day in (4, 11, 18))


def answer(rows: int, length_mm: float, coils: int = 1, **rests: str) -> dict[str, Any]:
    """Rows 10 mm high of coils so long; `rests` by row."""
    return {
        "coil_mm": 14.0,
        "rows": [
            {
                "row": row,
                "height_mm": row * 10.0,
                "slant_mm": row * 10.0,
                "front_mm": 100.0,
                "depth_mm": 80.0,
                "coils": coils,
                "coil_length_mm": length_mm,
                "coil_g": 90.0,
                "seam_clock": (row - 1) * 3.0 % 12,
                "blend": row % 2 == 0,
            }
            for row in range(1, rows + 1)
        ],
        "rests": [{"after_row": int(row[1:]), "reason": why} for row, why in rests.items()],
    }


def said(sentences: list[str]) -> list[str]:
    return [each.replace(NBSP, " ") for each in sentences]


@pytest.mark.parametrize(
    ("rows", "length_mm", "coils", "units", "sentence"),
    [
        (16, 550, 1, MM, "16 rows of coils 14 mm thick, about 9 m of coil."),
        (1, 550, 1, CM, "1 row of coils 1.4 cm thick, about 0.6 m of coil."),
        (4, 310, 2, CM, "4 rows of coils 1.4 cm thick, about 2.5 m of coil."),
        # 8.8 m are 28.9 ft; 14 mm is 0.551 in, nearest a sixteenth 9/16.
        (16, 550, 1, INCHES, "16 rows of coils 9/16 in thick, about 29 ft of coil."),
    ],
)
def test_rows_are_said_with_coil_enough(
    rows: int, length_mm: float, coils: int, units: Metric, sentence: str
) -> None:
    laid = laid_over(answer(rows, length_mm, coils), units)
    assert laid is not None
    assert said(laid.sentences) == [sentence]


def test_without_lessons_the_rests_are_those_of_the_answer() -> None:
    laid = laid_over(answer(16, 550, r6="stiffen", r12="stiffen"), MM)
    assert laid is not None
    assert said(laid.sentences)[1:] == [
        "Built without a break, it rests after rows 6 and 12 until the wall below has stiffened."
    ]
    assert [row.then for row in laid.rows[4:8]] == ["", "blend, then rest", "", "blend"]
    assert laid.reached == []


def test_over_lessons_it_is_said_when_the_wall_stands_where(cast: School) -> None:
    terms: Terms = a_piece(cast).assignment
    laid = laid_over(answer(16, 550), MM, terms, FRIDAYS)
    assert laid is not None
    assert [(height, text.replace(NBSP, " ")) for height, text in laid.reached] == [
        (60.0, "by Fri 4 Dec"),
        (120.0, "by Fri 11 Dec"),
        (160.0, "by Fri 18 Dec"),
    ]
    assert said(laid.sentences)[1:] == [
        "At the brief's pace it stands in 3 lessons, by Fri 18 Dec.",
        "Lessons end after rows 6 and 12: keep the edge damp, score and slip it next time.",
    ]
    assert laid.rows[5].then.replace(NBSP, " ") == "blend, then rest: Fri 4 Dec"


def test_where_the_lessons_do_not_reach_no_date_is_promised(cast: School) -> None:
    laid = laid_over(answer(16, 550), MM, a_piece(cast).assignment, FRIDAYS[:1])
    assert laid is not None
    assert said(laid.sentences)[1:] == [
        "A lesson ends after row 6: keep the edge damp, score and slip it next time."
    ]


def test_a_seam_is_an_hour_of_a_clock() -> None:
    listed = answer(3, 550)
    for row, hour in zip(listed["rows"], (0.0, 4.5, 11.9), strict=True):
        row["seam_clock"] = hour
    laid = laid_over(listed, MM)
    assert laid is not None
    assert [row.seam for row in laid.rows] == ["12", "4½", "12"]


def test_a_plan_that_was_kept_before_rows_were_has_none() -> None:
    assert laid_over({"silhouette": []}, MM) is None


def test_a_plan_on_the_page_blends_where_its_lessons_end(cast: School) -> None:
    terms = a_piece(cast).assignment
    lessons = tuple(Lesson(each.on, rise_mm=50) for each in FRIDAYS)
    view = plan_view(drawn_plan(), terms, cast.studio, lessons)
    assert view.laid is not None
    assert view.drawing is not None
    assert view.drawing.reached[0][1].replace(NBSP, " ") == "by Fri 4 Dec"
    rests = [row for row in view.laid.rows if "Fri" in row.then]
    assert rests
    assert all(row.then.startswith("blend") for row in rests)


def test_a_plan_with_one_measured_line_is_not_drawn(cast: School) -> None:
    terms = a_piece(cast).assignment
    view = plan_view(drawn_plan((Line(0, 50, 50), Line(100, 60))), terms, cast.studio)
    assert (view.drawing, view.answer, view.laid) == (None, None, None)


def test_a_plan_that_was_sent_is_laid_over_the_lessons_ahead(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = send(cast, a_piece(cast))
    lessons = tuple(Lesson(each.on, rise_mm=110) for each in FRIDAYS)
    view = kept_plan_view(plan, cast.studio, lessons)
    assert view.laid is not None
    assert [text.replace(NBSP, " ") for _height, text in view.laid.reached] == [
        "by Fri 4 Dec",
        "by Fri 11 Dec",
        "by Fri 18 Dec",
    ]
    # Where a later version of the computation refuses its form, the rows are those it keeps.
    monkeypatch.setattr("planning.plans.view.rows_of", _refused)
    kept = kept_plan_view(plan, cast.studio, lessons)
    assert kept.laid is not None
    assert [row.height_mm for row in kept.laid.rows] == [row.height_mm for row in view.laid.rows]


def _refused(*_plan: object) -> None:
    raise FormRefused([Trouble("profile", "too_few_points")])
