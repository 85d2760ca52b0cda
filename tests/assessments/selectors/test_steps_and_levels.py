"""Steps and the plan in sentences, and what a level is suggested by."""

from functools import partial
from typing import Any
from uuid import UUID

import pytest

from assessments.models import EvidenceKind
from assessments.selectors.evidence import Suggested, evidence_of
from assessments.selectors.marks import loaded, marks_of
from assessments.services.rubrics import ensure_rubric
from planning.models import (
    Choice,
    IdeaChange,
    LetThrough,
    Piece,
    PlanVersion,
    Refinement,
    Steps,
    Thumbnail,
)
from planning.services.assignments import count_ideas
from planning.services.choosing import choose_design, let_through
from planning.services.drawings import withdraw
from planning.services.ideas_by_hand import change_ideas
from planning.services.plans import approve
from planning.services.steps import OnTheWay, keep_steps, on_the_way
from tests.cast import NOW, School
from tests.planning.drawings import as_compared
from tests.planning.projects import a_brief, given
from tests.planning.work import a_piece, choose, draw, piece_of, refine, send

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def said(piece: Piece) -> list[str]:
    [found] = loaded(Piece.objects.filter(pk=piece.pk))
    return list(evidence_of([found])[piece.pk].beside("exploration").sentences)


def compared(piece: Piece, *alike: float | None, **told: Any) -> OnTheWay:
    way = on_the_way(piece.pk)
    assert way is not None
    answer = {"alike": list(alike), "nearest": None, "unreadable": []} | told
    keep_steps(piece=piece, way=way, answer=answer)
    return way


class TestSteps:
    def test_sizes_how_they_run_and_what_could_not_be_compared(self, cast: School) -> None:
        piece = a_piece(cast)
        choose(cast, piece)
        refine(piece, 4)
        way = compared(piece, 0.001, 0.9, 0.9, 0.4)
        assert said(piece)[-2:] == [
            (
                "Each beside the drawing before it, from the chosen one on: refinement 1 about as "
                "different as two ideas; refinements 2 to 3 about as alike as one form drawn "
                "twice; refinement 4 one idea, clearly changed."
            ),
            "The steps are large and small in turn.",
        ]
        why = {"at": "drawing", "code": "open_line", "values": {}}
        compared(piece, 0.1, None, None, 0.9, unreadable=[{"id": way.told.refinements[1], **why}])
        assert said(piece)[-2] == (
            "Each beside the drawing before it, from the chosen one on: refinement 1 nearly "
            "another idea; refinement 4 about as alike as one form drawn twice."
        )
        assert said(piece)[-1].startswith("Refinement 2 could not be compared. The outline doesn't")
        assert not any("steps" in each for each in said(piece))

    @pytest.mark.parametrize(
        ("alike", "sentence"),
        [
            ((0.01, 0.5, 0.9), "The steps get smaller."),
            ((0.9, 0.9, 0.9), "The steps are all about as large."),
            ((0.9, 0.5, 0.01), "The steps get larger."),
            ((0.5, 0.9, 0.01), "The last step is the largest."),
        ],
    )
    def test_how_they_run(self, cast: School, alike: tuple[float, ...], sentence: str) -> None:
        piece = a_piece(cast)
        choose(cast, piece)
        refine(piece, 3)
        compared(piece, *alike)
        assert said(piece)[-1] == sentence

    def test_the_drawing_most_like_the_plan(self, cast: School) -> None:
        plan = send(cast, a_piece(cast))
        piece = plan.piece
        chosen = Choice.objects.get(piece=piece).thumbnail_id
        other = Thumbnail.objects.filter(piece=piece).exclude(pk=chosen).earliest("position").pk

        def most(pk: UUID, alike: float = 0.8) -> str:
            compared(piece, nearest={"id": str(pk), "alike": alike})
            return said(piece)[-1]

        size = "about as alike as one form drawn twice"
        assert most(chosen) == f"Most like the sent plan is the chosen drawing: {size}."
        assert most(other) == f"Most like the sent plan is thumbnail 1: {size}."
        far = "No drawing is much like the sent plan; the nearest is thumbnail 1."
        assert most(other, 0.001) == far
        approve(plan=PlanVersion.objects.get(), by=cast.teacher, at=NOW)
        assert most(other, 0.001) == far.replace("sent", "approved")
        assert most(other).startswith("Most like the approved plan is thumbnail 1")

    def test_what_is_out_of_date_or_switched_off_is_not_told(self, cast: School) -> None:
        piece = a_piece(cast)
        choose(cast, piece)
        refine(piece, 1)
        compared(piece, 0.9)
        assert "drawn twice" in said(piece)[-1]
        count_ideas(assignment=piece.assignment, counted=False, by=cast.teacher)
        assert "drawn twice" not in str(said(piece))
        count_ideas(assignment=piece.assignment, counted=True, by=cast.teacher)
        withdraw(drawing=Refinement.objects.get(), by=cast.student, at=NOW)
        assert "drawn twice" not in str(said(piece))
        Steps.objects.all().delete()
        assert "drawn twice" not in str(said(piece))

    def test_a_failure_is_told_and_no_number(self, cast: School) -> None:
        piece = a_piece(cast)
        choose(cast, piece)
        way = on_the_way(piece.pk)
        assert way is not None
        keep_steps(piece=piece, way=way, answer=None)
        assert said(piece)[-1].endswith("could not be measured this time.")


def suggested(piece: Piece) -> Suggested | None:
    ensure_rubric(studio=piece.studio, at=NOW)
    [found] = loaded(Piece.objects.filter(pk=piece.pk))
    evidence = evidence_of([found])[piece.pk]
    criteria = marks_of([found])[piece.pk].criteria
    assert not any(
        evidence.suggested(each) for each in criteria if each.evidence != EvidenceKind.EXPLORATION
    )
    (one,) = [each for each in criteria if each.evidence == EvidenceKind.EXPLORATION]
    return evidence.suggested(one)


def points(piece: Piece) -> int | None:
    level = suggested(piece)
    return int(level.level.points) if level else None


class TestSuggestedLevel:
    """The brief of `tests.planning.projects` asks for 6 thumbnails from 3 source forms; the shipped
    rubric has four levels of 1 to 4 points."""

    def test_all_that_was_asked_speaks_for_the_level_below_the_highest(self, cast: School) -> None:
        piece = a_piece(cast)
        draw(cast, piece)
        as_compared(piece, 5)
        take(piece, Thumbnail.objects.latest("position"))
        level = suggested(piece)
        assert level is not None
        assert level.level.points == 3
        assert level.why == (
            (
                "When the choice was made there were 6 thumbnails (6 asked) from 3 source forms "
                "(3 asked), at most 5 of them different ideas (3 looked for, as many as source "
                "forms)."
            ),
            "All of that was reached. What no count shows, such as the reason, is yours to see.",
        )

    def test_one_idea_six_times_speaks_for_the_lowest_until_a_teacher_puts_it_right(
        self, cast: School
    ) -> None:
        piece = a_piece(cast)
        drawn = draw(cast, piece)
        ids = [str(each.pk) for each in drawn]
        as_compared(piece, 1, groups=[ids], similarity=[[0.9] * 6] * 6)
        take(piece, drawn[0])
        assert points(piece) == 1
        kind = IdeaChange.Kind.SEPARATE
        separate = partial(
            change_ideas, piece=piece, kind=kind, reason="Look", by=cast.teacher, at=NOW
        )
        separate(thumbnails=ids[:1])
        assert points(piece) == 2
        separate(thumbnails=ids[1:3])
        assert points(piece) == 3

    def test_neither_the_first_drawing_nor_days_nor_steps_move_it(self, cast: School) -> None:
        piece = a_piece(cast)
        drawn = draw(cast, piece)
        as_compared(piece, 4)
        take(piece, drawn[0])
        refine(piece, 3)
        assert points(piece) == 3
        for alike in ((0.9, 0.9, 0.9), (0.9, 0.5, 0.0), (0.0, 0.0, 0.0)):
            compared(piece, *alike)
            assert points(piece) == 3
        take(piece, drawn[-1])
        assert points(piece) == 3

    def test_who_was_let_through_early_reached_less(self, cast: School) -> None:
        piece = a_piece(cast)
        drawn = draw(cast, piece, 3)
        as_compared(piece, 3)
        let_through(piece=piece, reason="Was ill", by=cast.teacher, at=NOW)
        take(piece, drawn[0])
        level = suggested(piece)
        assert level is not None
        assert level.level.points == 2
        assert level.why[1].startswith("Not all of that was reached.")
        assert LetThrough.objects.exists()

    def test_a_number_of_ideas_that_is_asked_is_named(self, cast: School) -> None:
        brief = a_brief(cast.teacher, "Four ideas", least_distinct_ideas=4)
        (assignment,) = given(cast.teacher, cast.section, brief=brief)
        piece = piece_of(assignment, cast.student)
        draw(cast, piece)
        as_compared(piece, 4)
        take(piece, Thumbnail.objects.latest("position"))
        level = suggested(piece)
        assert level is not None
        assert level.why[0].endswith("at most 4 of them different ideas (4 asked).")

    def test_what_is_unknown_or_switched_off_suggests_nothing(self, cast: School) -> None:
        piece = a_piece(cast)
        assert suggested(piece) is None  # nothing is chosen
        drawn = draw(cast, piece)
        take(piece, drawn[0])
        assert suggested(piece) is None  # nothing is compared
        unread = [
            {"id": str(each.pk), "at": "drawing", "code": "open_line", "values": {}}
            for each in drawn[1:]
        ]
        as_compared(piece, 6, high=1.0, unreadable=unread)
        assert suggested(piece) is None  # it would hang on five that show no form
        as_compared(piece, 6)
        assert points(piece) == 3
        count_ideas(assignment=piece.assignment, counted=False, by=cast.teacher)
        assert suggested(piece) is None

    def test_what_is_drawn_or_withdrawn_after_the_choice_moves_nothing(self, cast: School) -> None:
        piece = a_piece(cast)
        drawn = draw(cast, piece)
        as_compared(piece, 4)
        take(piece, drawn[0])
        Thumbnail.objects.filter(pk=drawn[-1].pk).update(added_at=NOW.replace(year=2027))
        assert points(piece) == 3  # the choice kept how many ideas and drawings there were


def take(piece: Piece, thumbnail: Thumbnail) -> None:
    choose_design(piece=piece, thumbnail=thumbnail, reason="Calm", by=piece.student, at=NOW)
