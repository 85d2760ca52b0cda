"""Keeping a marking: nothing typed is lost, and nobody overwrites anybody unseen."""

from dataclasses import replace
from decimal import Decimal
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.core.exceptions import PermissionDenied

from assessments.models import MarkedLevel, Marking
from assessments.services.adjusting import adjust_student
from assessments.services.marking import save_marking
from planning.models import Piece
from planning.services.assignments import take_back_brief
from planning.services.pieces import start_piece
from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry, User
from studio.people.services import move_student
from tests.assessments.work import criteria, levels, mark, marks, the_rubric
from tests.cast import NOW, TODAY, School
from tests.planning.projects import given
from tests.planning.work import a_piece, piece_of

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def piece(cast: School) -> Piece:
    return a_piece(cast)


def points_of(marking: Marking) -> list[Decimal | None]:
    rows = MarkedLevel.objects.filter(marking=marking).order_by("criterion__position")
    return [row.level.points if row.level else None for row in rows]


def exempt(piece: Piece, by: User, place: int) -> None:
    adjust_student(
        assignment=piece.assignment,
        student=piece.student,
        by=by,
        counts={},
        dates={},
        exempt=[criteria_of(piece)[place]],
        private_reason="A hand in plaster.",
        at=NOW,
    )


def criteria_of(piece: Piece) -> list[Any]:
    version = the_rubric(piece.studio)
    return [each.criterion for each in version.criteria.order_by("position")]


class TestKeeping:
    def test_a_marking_keeps_levels_notes_and_comment(self, cast: School, piece: Piece) -> None:
        rim = criteria(the_rubric(cast.studio))[3].pk
        kept = mark(
            piece, cast.teacher, "4", "3", None, None, notes={rim: " Look  at the lip. "},
            comment=" A quiet line.\r\n",
        )  # fmt: skip
        assert points_of(kept) == [4, 3, None]
        assert MarkedLevel.objects.get(marking=kept, criterion=rim).note == "Look at the lip."
        assert (kept.comment, kept.edition) == ("A quiet line.", 1)
        found = marks(piece)
        assert found.score_of(found.own(cast.teacher)).open == 2

    def test_what_is_named_no_more_is_open_again(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher)
        kept = mark(piece, cast.teacher, "4", edition=1)
        assert points_of(kept) == [4]
        assert kept.edition == 2

    def test_each_change_leaves_the_points_before_and_after(
        self, cast: School, piece: Piece
    ) -> None:
        mark(piece, cast.teacher, "2", comment="Private words")
        mark(piece, cast.teacher, "3", edition=1, comment="Private words")
        begun, changed = AuditEntry.objects.filter(action__startswith="marking").order_by("at")
        title = "exploration before commitment"
        assert (begun.action, begun.before["points"], begun.after["points"]) == (
            "marking begun",
            {},
            {title: "2"},
        )
        assert (changed.before, changed.after) == (
            {"edition": 1, "points": {title: "2"}},
            {"edition": 2, "points": {title: "3"}},
        )
        assert changed.by == cast.teacher
        assert "Private" not in str([begun.after, changed.after])

    def test_the_first_marking_pins_the_rubric(self, cast: School, piece: Piece) -> None:
        assert not hasattr(piece.assignment, "rubric")
        version = mark(piece, cast.teacher).version
        assert Piece.objects.get(pk=piece.pk).assignment.rubric.version == version

    def test_a_moved_piece_keeps_the_rubric_that_it_was_begun_by(self, cast: School) -> None:
        first, second = given(cast.head, cast.section, cast.other_section)
        piece = piece_of(first, cast.student)
        begun = mark(piece, cast.head, "2")
        move_student(
            student=cast.student,
            section=cast.section,
            to=cast.other_section,
            by=cast.head,
            on=TODAY,
        )
        moved = start_piece(assignment=second, student=cast.student, by=cast.head, at=NOW)
        assert moved == piece
        own = mark(moved, cast.other_teacher, "3", beside=[cast.head.pk])
        assert own.version == begun.version
        assert not hasattr(Piece.objects.get(pk=piece.pk).assignment, "rubric")


class TestEditions:
    def test_another_tab_reads_a_sentence_and_overwrites_nothing(
        self, cast: School, piece: Piece
    ) -> None:
        mark(piece, cast.teacher, "2")
        mark(piece, cast.teacher, "3", edition=1)
        with pytest.raises(Conflict, match="was changed at 09:30, perhaps in another window"):
            mark(piece, cast.teacher, "4", edition=1)
        assert points_of(Marking.objects.get()) == [3]

    def test_two_tabs_that_begin_at_once_are_told(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher, "2")
        with pytest.raises(Conflict, match="still here and not kept yet"):
            mark(piece, cast.teacher, "4", edition=0)

    def test_the_same_again_is_no_conflict_and_no_new_edition(
        self, cast: School, piece: Piece
    ) -> None:
        for _again in range(2):
            kept = mark(piece, cast.teacher, "2", edition=0)
        assert kept.edition == 1

    def test_an_edition_of_nothing_is_a_conflict(self, cast: School, piece: Piece) -> None:
        with pytest.raises(Conflict, match="not there any more"):
            mark(piece, cast.teacher, "2", edition=3)


class TestTwoMarkers:
    def test_each_has_a_marking_of_their_own(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher, "2")
        mark(piece, cast.head, "4", beside=[cast.teacher.pk])
        found = marks(piece)
        assert [each.marker for each in found.markings] == [cast.head.pk, cast.teacher.pk]
        assert [each.marker_name for each in found.others(cast.head)] == ["Tomas Lindqvist"]

    def test_the_second_is_told_of_the_first(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher, "2")
        with pytest.raises(Conflict, match="Tomas Lindqvist has begun to mark this pot, at 09:30"):
            mark(piece, cast.head, "4")
        assert Marking.objects.get().marker == cast.teacher

    def test_a_marking_that_was_left_empty_is_nobody_s(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher, None, comment="")
        assert mark(piece, cast.head, "4").edition == 1


class TestExempt:
    def test_an_exempt_criterion_takes_no_level(self, cast: School, piece: Piece) -> None:
        the_rubric(cast.studio)
        exempt(piece, cast.teacher, 2)
        with pytest.raises(Refused, match="exempt from “joint quality”") as refused:
            mark(piece, cast.teacher)
        rubric = criteria(the_rubric(cast.studio))
        assert refused.value.problems[0].field == str(rubric[2].pk)
        mark(piece, cast.teacher, "3", "3", None, "3")
        found = marks(piece)
        score = found.score_of(found.own(cast.teacher))
        assert (score.total, score.most, score.open) == (Decimal(9), Decimal(12), 0)
        assert [each.title for each in found.judged] == [rubric[n].title for n in (0, 1, 3)]

    def test_a_level_from_before_stays_kept_and_out_of_the_total(
        self, cast: School, piece: Piece
    ) -> None:
        mark(piece, cast.teacher)
        exempt(piece, cast.teacher, 2)
        kept = mark(piece, cast.teacher, "4", "3", None, "3", edition=1)
        assert points_of(kept) == [4, 3, 3, 3]
        found = marks(piece)
        assert found.score_of(found.own(cast.teacher)).total == 10


class TestRefused:
    def save(self, piece: Piece, by: User, **changed: Any) -> Marking:
        values: dict[str, Any] = {
            "levels": {},
            "notes": {},
            "comment": "",
            "edition": 0,
            "marker": by,
        } | changed
        return save_marking(piece=piece, by=by, at=NOW, **values)

    def test_another_rubric_s_criteria_and_levels(self, cast: School, piece: Piece) -> None:
        own, foreign = the_rubric(cast.studio), the_rubric(cast.elsewhere.studio)
        chosen, seen = levels(foreign, "3")
        with pytest.raises(Refused, match="criterion is not in the rubric"):
            self.save(piece, cast.teacher, levels=chosen)
        wrong: dict[UUID, UUID] = {criteria(own)[0].pk: seen[0].levels[0].pk}
        with pytest.raises(Refused, match="level is not in the rubric"):
            self.save(piece, cast.teacher, levels=wrong)
        with pytest.raises(Refused, match="criterion is not in the rubric"):
            self.save(piece, cast.teacher, notes={uuid4(): "Hello"})
        assert not Marking.objects.exists()

    def test_texts_without_end(self, cast: School, piece: Piece) -> None:
        rim = criteria(the_rubric(cast.studio))[3].pk
        with pytest.raises(Refused, match="to 400 characters") as refused:
            self.save(piece, cast.teacher, notes={rim: "x" * 401})
        assert refused.value.problems[0].field == str(rim)
        with pytest.raises(Refused, match="4000") as refused:
            self.save(piece, cast.teacher, comment="x" * 4001)
        assert refused.value.problems[0].field == "comment"

    @pytest.mark.parametrize("who", ["other_teacher", "technician", "student", "classmate"])
    def test_only_those_who_teach_the_class_mark(
        self, cast: School, piece: Piece, who: str
    ) -> None:
        with pytest.raises(PermissionDenied):
            self.save(piece, getattr(cast, who))

    def test_a_marking_is_its_marker_s_own(self, cast: School, piece: Piece) -> None:
        with pytest.raises(PermissionDenied):
            self.save(piece, cast.head, marker=cast.teacher)

    def test_a_piece_that_is_gone(self, cast: School, piece: Piece) -> None:
        take_back_brief(assignment=piece.assignment, by=cast.teacher)
        with pytest.raises(PermissionDenied):
            self.save(piece, cast.teacher)


def test_a_brief_with_marks_is_not_taken_back(cast: School, piece: Piece) -> None:
    mark(piece, cast.teacher)
    with pytest.raises(Refused, match="marks"):
        take_back_brief(assignment=piece.assignment, by=cast.teacher)
    assert Marking.objects.exists()


def test_markings_that_say_the_same_are_alike(cast: School, piece: Piece) -> None:
    mark(piece, cast.teacher)
    [own] = marks(piece).markings
    assert own.same_as(replace(own, marker=cast.head.pk))
    assert not own.same_as(replace(own, comment="Another"))
