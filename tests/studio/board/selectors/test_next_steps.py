"""What comes next for each piece, in words that anybody in the room may read."""

import pytest

from planning.models import Piece
from planning.selectors.progress import progress_of
from planning.services.adjustments import set_adjustment
from planning.services.plans import approve, send_back
from studio.board.selectors.next_steps import step_of_pot, step_on_paper
from studio.ware.models import Pot
from studio.ware.selectors import cover_list
from studio.ware.services import lose_pots, say_built
from tests.cast import NOW, TODAY, School
from tests.planning.work import a_piece, choose, draw, refine, send
from tests.studio.ware.pots import a_pot, again, bisqued, check, dried, glazed, move


def on_paper(piece: Piece) -> str:
    found = Piece.objects.select_related("assignment", "let_through").get(pk=piece.pk)
    return str(step_on_paper(found, progress_of([found])[found.pk]).now)


def of_pot(pot: Pot, cast: School) -> str:
    found = again(pot)
    damp = found in cover_list(cast.section, TODAY).pots
    return str(step_of_pot(found, damp=damp).now)


def test_a_piece_on_paper_goes_from_sketches_to_waiting_for_clay(cast: School) -> None:
    piece = a_piece(cast)
    assert on_paper(piece) == "Draw more ideas, small and quick."
    draw(cast, piece)
    assert on_paper(piece) == "Choose one idea to build."


def test_after_the_choice_it_is_refined_planned_and_answered(cast: School) -> None:
    piece = a_piece(cast)
    choose(cast, piece)
    assert on_paper(piece) == "Draw the chosen idea again, larger."
    refine(piece)
    assert on_paper(piece) == "Draw the plan at full size."


def test_a_plan_that_waits_is_not_built_from(cast: School) -> None:
    piece = a_piece(cast)
    plan = send(cast, piece)
    assert on_paper(piece) == "Draw: the plan is with the teacher."
    approve(plan=plan, by=cast.teacher, at=NOW)
    assert on_paper(piece) == "Draw: clay waits for the teacher."


def test_a_plan_sent_back_is_changed_and_its_note_stays_private(cast: School) -> None:
    piece = a_piece(cast)
    send_back(plan=send(cast, piece), by=cast.teacher, at=NOW, note="Widen the foot.")
    assert on_paper(piece) == "Change the plan, as it was asked."


def test_a_student_with_own_counts_reads_no_count(cast: School) -> None:
    piece = a_piece(cast)
    draw(cast, piece, 3)
    set_adjustment(
        assignment=piece.assignment,
        student=cast.student,
        by=cast.teacher,
        counts={"least_thumbnails": 4},
        dates={},
        private_reason="In hospital.",
        at=NOW,
    )
    assert on_paper(piece) == "Draw more ideas, small and quick."


def test_a_wet_pot_is_built_on_with_its_edge_scored(cast: School) -> None:
    """After a rest the edge is scored and slipped: common practice, no source."""
    pot = a_pot(cast)
    assert of_pot(pot, cast) == "Build on: score the edge first."
    assert "(slip)" in str(step_of_pot(pot, damp=True).meaning)


def test_a_pot_that_is_said_to_be_built_is_left_wrapped(cast: School) -> None:
    pot = a_pot(cast)
    say_built(pot=pot, by=cast.student, at=NOW)
    assert of_pot(pot, cast) == "Leave it wrapped: it is built."


def test_a_leather_hard_pot_is_smoothed_until_it_is_checked(cast: School) -> None:
    pot = a_pot(cast)
    move(pot, "leather_hard", cast.teacher)
    assert of_pot(pot, cast) == "Smooth and trim it; keep it damp."
    check(pot, cast.teacher)
    assert of_pot(pot, cast) == "Leave it: it is built, and dries."


def test_what_is_dry_fired_or_glazed_is_left_alone(cast: School) -> None:
    assert of_pot(dried(a_pot(cast, "A"), cast.teacher), cast) == "Don't touch it: dry and brittle."
    fired = bisqued(a_pot(cast, "B"), cast.teacher)
    assert of_pot(fired, cast) == "Leave it: it waits for glaze."
    raw = glazed(a_pot(cast, "C"), cast)
    assert of_pot(raw, cast) == "Don't touch it: the glaze rubs off."
    move(raw, "glaze_fired", cast.teacher, reason="Unloaded")
    assert of_pot(raw, cast) == "Finished: leave it where it is."
    move(raw, "on_display", cast.teacher)
    assert of_pot(raw, cast) == "Finished: leave it where it is."
    move(raw, "collected", cast.teacher)
    assert of_pot(raw, cast) == "Finished, and taken home."


@pytest.mark.parametrize(
    ("kind", "now"),
    [("broken", "Draw: a new pot comes later."), ("missing", "Look for it; else draw.")],
)
def test_whose_pot_is_lost_draws(cast: School, kind: str, now: str) -> None:
    pot = a_pot(cast)
    lose_pots(pots=[pot], kind=kind, by=cast.teacher, at=NOW, note="Dropped by Bram Vos")
    assert of_pot(pot, cast) == now
