"""Released marks: whose they are, what is asked first, and that they stay as they were."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied

from assessments.models import Result
from assessments.services.adjusting import adjust_student
from assessments.services.releasing import release, release_again
from planning.models import Piece, PlanVersion
from planning.services.assignments import take_back_brief
from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from studio.ware.services import note_flaw, set_flaw_cause
from tests.assessments.work import criteria, mark, marks, released, the_rubric
from tests.cast import NOW, School
from tests.planning.projects import a_brief, given
from tests.planning.work import a_piece, piece_of
from tests.studio.ware.pots import a_pot, check

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def piece(cast: School) -> Piece:
    return a_piece(cast)


class TestReleasing:
    def test_levels_are_kept_with_their_words(self, cast: School, piece: Piece) -> None:
        result = released(piece, cast.teacher, "4", "3", "2", "1", comment="A quiet line.")
        shipped = criteria(the_rubric(cast.studio))
        assert (result.score, result.most, result.comment) == (
            Decimal(10),
            Decimal(16),
            "A quiet line.",
        )
        assert [each["criterion"] for each in result.levels] == [each.title for each in shipped]
        assert result.levels[0] == {
            "criterion": "exploration before commitment",
            "weight": "1.00",
            "points": "4.00",
            "most": "4.00",
            "descriptor": shipped[0].levels[3].descriptor,
            "note": "",
            "exempt": False,
        }
        entry = AuditEntry.objects.get(action="marks released")
        assert (entry.after["score"], entry.by) == ("10.00", cast.teacher)

    def test_what_changes_afterwards_changes_nothing_released(self, cast: School) -> None:
        pot = a_pot(cast)
        check(pot, cast.teacher)
        piece = pot.piece
        released(piece, cast.teacher)
        before = Result.objects.values().get()
        mark(piece, cast.teacher, "1", edition=1, comment="Other words")
        set_flaw_cause(
            flaw=note_flaw(pot=pot, what="A crack", by=cast.teacher, at=NOW),
            cause="making",
            by=cast.teacher,
        )
        assert Result.objects.values().get() == before
        said = before["evidence"]["criteria"][2]["sentences"]
        assert said == ["No flaw and no loss from making is recorded."]
        plan = PlanVersion.objects.get(piece=piece)
        kept = before["evidence"]["criteria"][1]["silhouette"]
        assert kept == [list(sample) for sample in plan.silhouette]

    def test_an_exempt_criterion_is_out_of_the_total_and_has_no_evidence(
        self, cast: School, piece: Piece
    ) -> None:
        rubric = the_rubric(cast.studio)
        adjust_student(
            assignment=piece.assignment,
            student=cast.student,
            by=cast.teacher,
            counts={},
            dates={},
            exempt=[rubric.criteria.get(position=1).criterion],
            private_reason="Joined late.",
            at=NOW,
        )
        result = released(piece, cast.teacher, None, "3", "3", "3")
        assert (result.score, result.most) == (Decimal(9), Decimal(12))
        assert result.levels[0]["exempt"]
        assert result.evidence["criteria"][0]["sentences"] == []

    def test_all_or_none(self, cast: School, piece: Piece) -> None:
        [other] = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, "Lids"))
        unmarked = piece_of(other, cast.classmate)
        mark(piece, cast.teacher)
        with pytest.raises(Refused) as refused:
            release(pieces=[piece, unmarked], by=cast.teacher, at=NOW)
        [problem] = refused.value.problems
        assert problem.message == f"Bram V., {unmarked.code}, is not marked yet."
        assert problem.field == "pieces"
        assert not Result.objects.exists()

    def test_nothing_ticked(self, cast: School) -> None:
        with pytest.raises(Refused, match="Tick at least one pot"):
            release(pieces=[], by=cast.teacher, at=NOW)


class TestOpen:
    def test_an_open_criterion_is_asked_about(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher, "4", None, None, "2")
        with pytest.raises(Refused, match="has 2 open criteria; judge them, or say") as refused:
            release(pieces=[piece], by=cast.teacher, at=NOW)
        assert not isinstance(refused.value, Conflict)
        assert not Result.objects.exists()

    def test_it_is_released_without_a_total_when_told_so(self, cast: School, piece: Piece) -> None:
        result = released(piece, cast.teacher, "4", None, "3", "2")
        assert (result.score, result.most) == (None, Decimal(16))
        assert [each["points"] for each in result.levels] == ["4.00", None, "3.00", "2.00"]


class TestWhose:
    def test_the_releaser_s_own_comes_first(self, cast: School, piece: Piece) -> None:
        mark(piece, cast.teacher, "4", "4", "4", "4")
        own = mark(piece, cast.head, "1", "1", "1", "1", beside=[cast.teacher.pk])
        [result] = release(pieces=[piece], by=cast.head, at=NOW)
        assert (result.marking, result.score) == (own, Decimal(4))

    def test_the_only_one_is_released_by_anybody_who_teaches_the_class(
        self, cast: School, piece: Piece
    ) -> None:
        marking = mark(piece, cast.teacher)
        mark(piece, cast.head, None, comment="", beside=[cast.teacher.pk])  # left empty
        [result] = release(pieces=[piece], by=cast.head, at=NOW)
        assert (result.marking, result.released_by) == (marking, cast.head)

    def test_two_different_ones_need_a_choice(self, cast: School, piece: Piece) -> None:
        cast.section.teachers.add(cast.other_teacher)
        first = mark(piece, cast.head, "4", "4", "4", "4")
        second = mark(piece, cast.other_teacher, "2", "2", "2", "2", beside=[cast.head.pk])
        with pytest.raises(Refused, match="marked in two ways; choose whose marks count"):
            release(pieces=[piece], by=cast.teacher, at=NOW)
        with pytest.raises(Refused, match="choose whose marks count"):
            release(pieces=[piece], by=cast.teacher, at=NOW, chosen={piece.pk: uuid4()})
        [result] = release(pieces=[piece], by=cast.teacher, at=NOW, chosen={piece.pk: second.pk})
        assert result.marking == second != first

    def test_two_that_say_the_same_need_none(self, cast: School, piece: Piece) -> None:
        cast.section.teachers.add(cast.other_teacher)
        mark(piece, cast.head)
        mark(piece, cast.other_teacher, beside=[cast.head.pk])
        [result] = release(pieces=[piece], by=cast.teacher, at=NOW)
        assert result.score == 12


class TestTwice:
    def test_whoever_is_second_reads_that_it_is_released(self, cast: School, piece: Piece) -> None:
        released(piece, cast.teacher)
        with pytest.raises(Conflict, match="is released already; mark it again with a reason"):
            release(pieces=[piece], by=cast.head, at=NOW)
        assert Result.objects.count() == 1

    def test_a_re_mark_is_the_next_result_with_its_reason(self, cast: School, piece: Piece) -> None:
        first = released(piece, cast.teacher, "2", "2", "2", "2")
        mark(piece, cast.teacher, "4", "2", "2", "2", edition=1)
        later = NOW + timedelta(days=1)
        second = release_again(
            piece=piece, by=cast.teacher, at=later, reason=" Drawings found. ", number=1
        )
        first.refresh_from_db()
        assert (first.score, first.replaced_at) == (Decimal(8), later)
        assert (second.number, second.score, second.reason) == (2, Decimal(10), "Drawings found.")
        assert Result.objects.current().get(piece=piece) == second
        entry = AuditEntry.objects.get(action="marks released again")
        assert (entry.before["score"], entry.after["score"]) == ("8.00", "10.00")

    def test_it_needs_a_reason(self, cast: School, piece: Piece) -> None:
        released(piece, cast.teacher)
        with pytest.raises(Refused, match="Write why it is marked again") as refused:
            release_again(piece=piece, by=cast.teacher, at=NOW, reason=" ", number=1)
        assert refused.value.problems[0].field == "reason"
        with pytest.raises(Refused, match="400"):
            release_again(piece=piece, by=cast.teacher, at=NOW, reason="x" * 401, number=1)
        assert Result.objects.count() == 1

    def test_it_asks_about_open_criteria_too(self, cast: School, piece: Piece) -> None:
        released(piece, cast.teacher)
        marking = mark(piece, cast.teacher, "4", edition=1)
        again = {"piece": piece, "by": cast.teacher, "at": NOW, "reason": "A look", "number": 1}
        with pytest.raises(Refused, match="has 3 open criteria"):
            release_again(**again)  # type: ignore[arg-type]
        result = release_again(**again, with_open=True, chosen=marking.pk)  # type: ignore[arg-type]
        assert result.score is None

    def test_two_at_once_are_told(self, cast: School, piece: Piece) -> None:
        released(piece, cast.teacher)
        release_again(piece=piece, by=cast.teacher, at=NOW, reason="First", number=1)
        with pytest.raises(Conflict, match="released this pot again meanwhile"):
            release_again(piece=piece, by=cast.head, at=NOW, reason="Second", number=1)

    def test_nothing_is_released_again_before_it_was_released(
        self, cast: School, piece: Piece
    ) -> None:
        mark(piece, cast.teacher)
        with pytest.raises(Refused, match="Release it first"):
            release_again(piece=piece, by=cast.teacher, at=NOW, reason="A look", number=1)


@pytest.mark.parametrize("who", ["other_teacher", "technician", "student"])
def test_only_those_who_teach_the_class_release(cast: School, piece: Piece, who: str) -> None:
    released(piece, cast.teacher)
    person = getattr(cast, who)
    with pytest.raises(PermissionDenied):
        release(pieces=[piece], by=person, at=NOW)
    with pytest.raises(PermissionDenied):
        release_again(piece=piece, by=person, at=NOW, reason="A look", number=1)


def test_a_piece_that_is_gone(cast: School, piece: Piece) -> None:
    take_back_brief(assignment=piece.assignment, by=cast.teacher)
    with pytest.raises(Conflict, match="taken back from the class"):
        release(pieces=[piece], by=cast.teacher, at=NOW)


def test_results_are_seen_by_their_student_and_those_who_teach_them(
    cast: School, piece: Piece
) -> None:
    mark(piece, cast.teacher)
    everybody = [cast.student, cast.classmate, cast.teacher, cast.head, cast.other_teacher]
    everybody += [cast.technician, cast.elsewhere.head, cast.nobody]
    assert not any(Result.objects.visible_to(person).exists() for person in everybody)
    release(pieces=[piece], by=cast.teacher, at=NOW)
    seen = [person for person in everybody if Result.objects.visible_to(person).exists()]
    assert seen == [cast.student, cast.teacher, cast.head]
    assert marks(piece).result == Result.objects.get()
    assert marks(piece).is_marked()
    assert Decimal(16) == marks(piece).score_of(None).most
