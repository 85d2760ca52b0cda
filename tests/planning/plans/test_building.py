"""A plan between what is kept of it and what is built by it."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from planning.geometry.inputs import FootRing, Outline
from planning.models import PlanVersion
from planning.plans.answer import plan_answer
from planning.plans.building import made_of, reached_of, rows_of
from planning.plans.inputs import Line, drawn_as_json, drawn_from_json, kept_inputs
from planning.plans.view import kept_plan_view
from planning.selectors.lessons import building_lessons
from studio.errors import Refused
from tests.cast import TODAY, School
from tests.planning.work import LINES, a_piece, drawn_plan, send

pytestmark = pytest.mark.django_db

SQUARE = tuple((float(x), float(y)) for x, y in ((-3, -2), (3, -2), (3, 2), (-3, 2)))
KINDS: list[dict[str, Any]] = [
    {},
    {"outline": Outline("leaf", 0.5), "rim_outline": Outline("round")},
    {"outline": Outline("rounded_square", 1.0, 0.3), "foot_ring": FootRing(8, 6)},
    {"outline": Outline("traced", points=SQUARE), "added_g": 120.0},
]


@pytest.fixture
def plan(cast: School) -> PlanVersion:
    return send(cast, a_piece(cast))


@pytest.mark.parametrize("changed", KINDS)
def test_what_is_entered_comes_back_from_what_is_kept(changed: dict[str, Any]) -> None:
    drawn = drawn_plan(**changed)
    assert drawn_from_json(drawn_as_json(drawn)) == drawn


def test_a_side_drawing_is_kept_line_by_line() -> None:
    lines = tuple(replace(line, front_mm=30.0, back_mm=32.0) for line in LINES)
    drawn = drawn_plan(lines=(*lines[:2], LINES[2], *lines[3:]))
    assert drawn_from_json(drawn_as_json(drawn)) == drawn
    assert len(drawn.side or ()) == len(LINES) - 1
    assert not drawn.is_round


def test_a_side_drawing_that_begins_at_the_axis_is_kept() -> None:
    lines = (replace(LINES[0], front_mm=0.0, back_mm=0.0), *LINES[1:])
    assert drawn_from_json(drawn_as_json(drawn_plan(lines=lines))).lines == lines


def test_one_of_the_side_drawing_s_half_widths_alone_is_a_gap() -> None:
    lines = (*LINES[:2], replace(LINES[2], front_mm=30.0), *LINES[3:])
    assert drawn_plan(lines=lines).gaps == [2]


def test_a_plan_of_the_first_kind_is_still_read() -> None:
    kept = drawn_as_json(drawn_plan(outline=Outline("oval", 0.7)))
    for later in ("rim_outline", "foot_ring", "added_g"):
        del kept[later]
    kept["outline"] = {"shape": "oval", "depth_ratio": 0.7}
    assert drawn_from_json(kept) == drawn_plan(outline=Outline("oval", 0.7))


def test_a_sent_plan_is_built_in_the_clay_that_it_was_sent_with(plan: PlanVersion) -> None:
    terms = plan.piece.assignment
    before = kept_inputs(plan.inputs, terms)
    terms.clay_body.total_shrinkage_pct += 2
    assert kept_inputs(plan.inputs, terms) == before
    draft = drawn_as_json(drawn_from_json(plan.inputs))
    assert kept_inputs(draft, terms).body.total_shrinkage_pct == pytest.approx(
        before.body.total_shrinkage_pct + 2
    )


def test_the_rows_that_a_sent_plan_keeps_are_those_that_are_laid(plan: PlanVersion) -> None:
    assert plan.figures is not None
    laid = rows_of(plan)
    assert [row["height_mm"] for row in plan.figures["rows"]] == pytest.approx(
        [row.height_mm for row in laid.rows]
    )
    assert laid.rows[-1].height_mm == pytest.approx(made_of(plan).surface.height)


def test_lessons_reach_as_far_on_a_shelf_as_on_the_bench(plan: PlanVersion) -> None:
    lessons = building_lessons(plan.piece, TODAY)
    assert lessons
    assert all(TODAY <= each.on <= plan.piece.assignment.due_on for each in lessons)
    assert reached_of(plan, lessons) == rows_of(plan, lessons).reached


def test_no_lesson_is_left_after_the_pots_are_due(plan: PlanVersion) -> None:
    assert building_lessons(plan.piece, plan.piece.assignment.due_on + timedelta(days=1)) == ()


def test_a_plan_without_kept_rows_reaches_nothing(plan: PlanVersion) -> None:
    plan.figures = None
    assert reached_of(plan, building_lessons(plan.piece, TODAY)) == ()


class TestTheSoftWall:
    """Which of its cautions are said. That soft clay bears 10 kPa or more and a pot of 200 mm
    therefore nothing but its rests: common practice, no source."""

    def said(self, cast: School, by: float) -> str:
        lines = tuple(
            Line(by * line.height_mm, by * (line.left_mm or 0), by * (line.right_mm or 0))
            for line in LINES
        )
        piece = a_piece(cast)
        plan = PlanVersion(piece=piece, number=1, state="sent")
        drawn = drawn_plan(lines)
        plan.inputs = drawn_as_json(drawn)
        plan.figures = plan_answer(drawn, piece.assignment)
        return " ".join(look.message for look in kept_plan_view(plan, cast.studio).checks)

    def test_a_large_pot_on_a_narrow_foot_pauses_by_rows(self, cast: School) -> None:
        assert "The foot is narrow for the wall that it carries. Pause about row" in self.said(
            cast, 2
        )

    def test_a_small_pot_only_rests(self, cast: School) -> None:
        assert "very soft" not in self.said(cast, 1)


def test_a_coil_that_makes_too_many_rows_is_refused_at_the_coil(cast: School) -> None:
    piece = a_piece(cast)
    piece.assignment.coil_mm = 1
    with pytest.raises(Refused) as refused:
        plan_answer(drawn_plan(), piece.assignment)
    assert [each.field for each in refused.value.problems] == ["coil_mm"]
