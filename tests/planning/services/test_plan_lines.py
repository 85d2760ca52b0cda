"""What was traced in a photo is corrected, placed by hand, and taken into the plan."""

from dataclasses import replace

import pytest

from planning.geometry.inputs import Outline
from planning.models import Piece, PlanVersion
from planning.models.plan_photo import Row
from planning.plans.inputs import Drawn, Line, drawn_from_json
from planning.services.plan_lines import (
    begin_again,
    begin_by_hand,
    correct_lines,
    take_into_plan,
)
from planning.services.plan_photos import Scaled, rescale
from planning.services.plans import save_draft, send_plan
from studio.errors import Conflict, Refused
from tests.cast import NOW, School
from tests.planning.plan_photos import FOUR, ROWS, chosen_piece, sent, traced, untraced
from tests.planning.work import drawn_plan

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]
SIDE: list[Row] = [[0.0, 30.0, 34.0], [75.0, 45.0, 49.0], [150.0, 40.0, 44.0]]


def drawn_of(piece: Piece) -> Drawn:
    return drawn_from_json(PlanVersion.objects.filter(piece=piece).latest("number").inputs)


def test_a_corrected_line_is_the_one_that_is_taken_into_a_new_plan(cast: School) -> None:
    piece = chosen_piece(cast)
    photo = traced(sent(piece))
    halves = [(left, right) for _height, left, right in ROWS[:-1]]
    correct_lines(photo=photo, halves=[*halves, (46.5, 44.0)])
    take_into_plan(photo=photo, at=NOW)
    drawn = drawn_of(piece)
    assert drawn.lines[:-1] == tuple(Line(*row) for row in ROWS[:-1])
    assert drawn.lines[-1] == Line(150.0, 46.5, 44.0)
    # Wall and base of the brief in `tests.planning.projects`.
    terms = piece.assignment
    assert (drawn.wall_base_mm, drawn.base_mm) == (float(terms.wall_mm), float(terms.base_mm))
    photo.refresh_from_db()
    assert photo.taken_at == NOW


def test_of_a_plan_that_is_begun_again_no_photo_stands_in_it(cast: School) -> None:
    piece = chosen_piece(cast)
    photo = traced(sent(piece))
    take_into_plan(photo=photo, at=NOW)
    begin_again(piece=piece, lines=(Line(0.0), Line(150.0)), at=NOW)
    photo.refresh_from_db()
    assert photo.taken_at is None
    assert photo.lines == [list(row) for row in ROWS]  # to be taken anew


def test_of_a_plan_that_waits_with_the_teacher_the_photo_stays_in_it(cast: School) -> None:
    piece = chosen_piece(cast)
    photo = traced(sent(piece))
    take_into_plan(photo=photo, at=NOW)
    send_plan(piece=piece, by=cast.student, at=NOW)
    with pytest.raises(Conflict, match="Take it back before you change it"):
        begin_again(piece=piece, lines=(Line(0.0), Line(150.0)), at=NOW)
    photo.refresh_from_db()
    assert photo.taken_at == NOW


def test_what_else_was_entered_stays_and_a_side_drawing_is_read_at_the_new_heights(
    cast: School,
) -> None:
    piece = chosen_piece(cast)
    lines = (
        Line(0, 40, 40, 20, 22),
        Line(60, 60, 60, 40, 42),
        Line(120, 50, 50, 60, 62),
    )
    kept = replace(drawn_plan(lines=lines), wall_base_mm=9.0, outline=Outline("oval", 0.7))
    save_draft(piece=piece, drawn=kept, at=NOW)
    take_into_plan(photo=traced(sent(piece)), at=NOW)
    drawn = drawn_of(piece)
    assert (drawn.wall_base_mm, drawn.outline) == (9.0, Outline("oval", 0.7))
    assert [line.left_mm for line in drawn.lines] == [row[1] for row in ROWS]
    # A straight line from 20 to 60 over the whole height, rim on rim.
    front = [line.front_mm for line in drawn.lines]
    assert front == pytest.approx([20, 20 + 40 / 3, 20 + 80 / 3, 60], abs=1e-3)
    assert [line.back_mm for line in drawn.lines] == pytest.approx(
        [each + 2 for each in front if each is not None], abs=2e-3
    )


def test_a_side_drawing_gives_front_and_back_at_the_heights_of_the_plan(cast: School) -> None:
    piece = chosen_piece(cast)
    side = traced(sent(piece, shows="side"))
    side.lines = [list(row) for row in SIDE]
    side.save()
    with pytest.raises(Refused, match="Take the drawing from the front into the plan first"):
        take_into_plan(photo=side, at=NOW)
    take_into_plan(photo=traced(sent(piece)), at=NOW)
    take_into_plan(photo=side, at=NOW)
    lines = drawn_of(piece).lines
    assert [line.height_mm for line in lines] == [row[0] for row in ROWS]
    assert [line.left_mm for line in lines] == [row[1] for row in ROWS]
    assert (lines[0].front_mm, lines[0].back_mm) == (30, 34)
    assert (lines[-1].front_mm, lines[-1].back_mm) == (40, 44)
    assert 30 < (lines[1].front_mm or 0) < 45


def test_a_side_drawing_of_another_height_is_refused(cast: School) -> None:
    piece = chosen_piece(cast)
    take_into_plan(photo=traced(sent(piece)), at=NOW)
    side = traced(sent(piece, shows="side"))
    side.lines = [*SIDE[:-1], [160.0, 40.0, 44.0]]
    side.save()
    with pytest.raises(Refused, match=r"16\.0.cm tall and the plan 15\.0.cm"):
        take_into_plan(photo=side, at=NOW)
    side.lines = [*SIDE[:-1], [152.0, 40.0, 44.0]]
    side.save()
    take_into_plan(photo=side, at=NOW)
    assert drawn_of(piece).lines[-1].front_mm == 40


def test_an_outline_of_the_base_becomes_the_traced_outline(cast: School) -> None:
    piece = chosen_piece(cast)
    points = [[-50.0, 0.0], [0.0, -30.0], [50.0, 0.0], [0.0, 30.0]]
    photo = traced(sent(piece, shows="base"), points=points)
    take_into_plan(photo=photo, at=NOW)
    outline = drawn_of(piece).outline
    assert (outline.shape, outline.points) == ("traced", tuple((x, y) for x, y in points))
    with pytest.raises(Refused, match="Nothing is traced in this photo yet"):
        take_into_plan(photo=traced(photo, points=[]), at=NOW)


def test_what_could_not_be_traced_is_placed_by_hand(cast: School) -> None:
    piece = chosen_piece(cast)
    photo = untraced(sent(piece, scaled=FOUR), placed=True)
    with pytest.raises(Refused, match="Nothing is traced in this photo yet"):
        take_into_plan(photo=photo, at=NOW)
    begin_by_hand(photo=photo, height_mm=100, every_mm=40, sides="right")
    photo.refresh_from_db()
    assert photo.lines == [[0, None, None], [40, None, None], [80, None, None], [100, None, None]]
    correct_lines(photo=photo, halves=[(30, 30), (None, None), (50, 50), (40, 40)])
    with pytest.raises(Refused, match="some have no half-width yet"):
        take_into_plan(photo=photo, at=NOW)
    correct_lines(photo=photo, halves=[(30, 30), (42, 42), (50, 50), (40, 40)])
    take_into_plan(photo=photo, at=NOW)
    assert drawn_of(piece).lines[1] == Line(40, 42, 42)


def test_without_a_scale_nothing_is_placed_by_hand(cast: School) -> None:
    photo = untraced(sent(chosen_piece(cast), scaled=Scaled("card")), placed=False)
    with pytest.raises(Conflict, match="Without its scale nothing can be measured"):
        begin_by_hand(photo=photo, height_mm=100, every_mm=20, sides="both")


def test_corrections_of_what_was_traced_anew_are_a_conflict(cast: School) -> None:
    photo = traced(sent(chosen_piece(cast)))
    with pytest.raises(Conflict, match="traced anew meanwhile"):
        correct_lines(photo=photo, halves=[(1, 1)])


def test_measures_of_an_earlier_asking_are_written_over_no_later_one(cast: School) -> None:
    """As many lines as before, seen in a window that stayed open."""
    piece = chosen_piece(cast)
    photo = traced(sent(piece))
    seen = photo.asked
    rescale(photo=photo, by=cast.student, scaled=Scaled("card", 25.0), at=NOW)
    photo.refresh_from_db()
    photo = traced(photo)
    with pytest.raises(Conflict, match="traced anew meanwhile"):
        correct_lines(photo=photo, halves=[(1, 1)] * len(ROWS), asked=seen)
    with pytest.raises(Conflict, match="traced anew meanwhile"):
        take_into_plan(photo=photo, at=NOW, asked=seen)
    assert not PlanVersion.objects.filter(piece=piece).exists()
    photo.refresh_from_db()
    assert photo.lines == [list(row) for row in ROWS]


def test_lines_begun_by_hand_at_other_heights_keep_no_measures_of_the_first(cast: School) -> None:
    photo = untraced(sent(chosen_piece(cast), scaled=FOUR), placed=True)
    photo = begin_by_hand(photo=photo, height_mm=100, every_mm=50, sides="right")
    seen = photo.asked
    begin_by_hand(photo=photo, height_mm=160, every_mm=80, sides="right")
    with pytest.raises(Conflict, match="traced anew meanwhile"):
        correct_lines(photo=photo, halves=[(1, 1)] * 3, asked=seen)


def test_nothing_is_taken_into_a_plan_that_is_with_the_teacher(cast: School) -> None:
    piece = chosen_piece(cast)
    photo = traced(sent(piece))
    save_draft(piece=piece, drawn=drawn_plan(), at=NOW)
    send_plan(piece=piece, by=cast.student, at=NOW)
    with pytest.raises(Conflict, match="Your plan is with the teacher"):
        take_into_plan(photo=photo, at=NOW)
    photo.refresh_from_db()
    assert photo.taken_at is None


def test_lines_that_are_too_close_for_a_plan_are_taken_at_every_second_one(cast: School) -> None:
    piece = chosen_piece(cast)
    photo = traced(sent(piece))
    photo.lines = [[5.0 * n, 40.0, 40.0] for n in range(82)]
    photo.save()
    take_into_plan(photo=photo, at=NOW)
    heights = [line.height_mm for line in drawn_of(piece).lines]
    assert heights == [*(10.0 * n for n in range(41)), 405.0]
