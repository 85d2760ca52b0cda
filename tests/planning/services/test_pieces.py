"""A piece and a code for each student, and work that goes along to another class."""

from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.test.utils import CaptureQueriesContext

from planning import codes
from planning.models import Adjustment, Assignment, OwnDate, Piece
from planning.services import pieces as service
from planning.services.adjustments import set_adjustment
from planning.services.pieces import start_missing_pieces, start_piece, start_pieces
from studio.errors import Refused
from studio.people.models import AuditEntry, Section, User
from studio.people.services import edit_class, end_enrolment, enrol, move_student
from tests.cast import NOW, TODAY, School, pupil
from tests.planning.projects import a_brief, given

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def over(cast: School, section: Section, *, archived: bool = True) -> None:
    edit_class(
        section=section,
        by=cast.head,
        title=section.title,
        code=section.code,
        sourced_id="",
        archived=archived,
    )


def moved(cast: School, student: User) -> None:
    move_student(
        student=student, section=cast.section, to=cast.other_section, by=cast.head, on=TODAY
    )


class TestOneWhoJoinsLater:
    def test_they_get_a_piece_of_their_own(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        late = pupil(cast.head, cast.section, "Late", "Comer")
        piece = start_piece(assignment=assignment, student=late, by=cast.teacher, at=NOW)
        assert (piece.student, piece.assignment, piece.code_live) == (late, assignment, True)
        entry = AuditEntry.objects.get(subject_id=str(piece.pk))
        assert (entry.action, entry.by) == ("piece started", cast.teacher)

    def test_asking_twice_gives_the_same_piece(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        again = start_piece(assignment=assignment, student=cast.student, by=cast.teacher, at=NOW)
        assert again == assignment.pieces.get(student=cast.student)
        assert Piece.objects.count() == 2

    def test_everybody_without_a_piece_gets_one_at_once(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        newcomers = {pupil(cast.head, cast.section, f"New{n}", "Comer") for n in range(3)}
        made = start_missing_pieces(assignment=assignment, by=cast.teacher, at=NOW)
        assert {piece.student for piece in made} == newcomers
        assert start_missing_pieces(assignment=assignment, by=cast.teacher, at=NOW) == []

    def test_pieces_come_in_the_order_of_their_students(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        wanted = [cast.student, pupil(cast.head, cast.section, "A", "A"), cast.classmate]
        made = start_pieces(assignment=assignment, students=wanted, by=cast.teacher, at=NOW)
        assert [piece.student for piece in made] == wanted

    def test_somebody_outside_the_class_gets_none(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        with pytest.raises(Refused, match="Sunniva Kjeld is not in Period 3 any more"):
            start_piece(assignment=assignment, student=cast.other_student, by=cast.teacher, at=NOW)

    def test_a_class_that_is_over_gets_none(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        over(cast, cast.section)
        with pytest.raises(Refused, match="Period 3 is over"):
            start_missing_pieces(assignment=assignment, by=cast.teacher, at=NOW)

    @pytest.mark.parametrize("who", ["other_teacher", "technician", "student", "nobody"])
    def test_only_those_who_teach_the_class_start_pieces(self, cast: School, who: str) -> None:
        [assignment] = given(cast.teacher, cast.section)
        with pytest.raises(PermissionDenied):
            start_piece(assignment=assignment, student=cast.student, by=getattr(cast, who), at=NOW)


class TestOneWhoMoves:
    def both(self, cast: School) -> tuple[Assignment, Assignment, Piece]:
        first, second = given(cast.head, cast.section, cast.other_section)
        return first, second, first.pieces.get(student=cast.student)

    def test_the_piece_goes_along_with_its_code(self, cast: School) -> None:
        _first, second, piece = self.both(cast)
        moved(cast, cast.student)
        found = start_piece(assignment=second, student=cast.student, by=cast.head, at=NOW)
        assert (found.pk, found.code) == (piece.pk, piece.code)
        piece.refresh_from_db()
        assert piece.assignment == second
        assert AuditEntry.objects.get(action="piece moved").before == {"assignment": str(_first.pk)}

    def test_giving_the_brief_to_the_new_class_brings_it_too(self, cast: School) -> None:
        [first] = given(cast.head, cast.section)
        piece = first.pieces.get(student=cast.student)
        moved(cast, cast.student)
        [second] = given(cast.head, cast.other_section, brief=first.brief)
        assert second.pieces.get(student=cast.student) == piece
        assert second.pieces.count() == 2

    def test_what_was_agreed_goes_along(self, cast: School) -> None:
        first, second, _piece = self.both(cast)
        own = first.milestones.get(kind="built").on
        set_adjustment(
            assignment=first,
            student=cast.student,
            by=cast.teacher,
            counts={"least_thumbnails": 3},
            dates={"built": own},
            private_reason="A broken wrist.",
            at=NOW,
        )
        moved(cast, cast.student)
        start_piece(assignment=second, student=cast.student, by=cast.head, at=NOW)
        assert Adjustment.objects.get(student=cast.student).assignment == second
        assert OwnDate.objects.get(student=cast.student).milestone == second.milestones.get(
            kind="built"
        )

    def test_what_the_new_class_agreed_already_stays(self, cast: School) -> None:
        first, second, _piece = self.both(cast)
        agreed: dict[str, Any] = {"dates": {}, "private_reason": "A broken wrist.", "at": NOW}
        who = cast.student
        set_adjustment(
            assignment=first, student=who, by=cast.head, counts={"least_thumbnails": 3}, **agreed
        )
        moved(cast, who)
        set_adjustment(
            assignment=second, student=who, by=cast.head, counts={"least_thumbnails": 4}, **agreed
        )
        start_piece(assignment=second, student=who, by=cast.head, at=NOW)
        assert Adjustment.objects.get(assignment=second).least_thumbnails == 4

    def test_who_is_in_both_classes_has_a_piece_in_each(self, cast: School) -> None:
        _first, second, piece = self.both(cast)
        enrol(section=cast.other_section, student=cast.student, by=cast.head, on=TODAY)
        other = start_piece(assignment=second, student=cast.student, by=cast.head, at=NOW)
        assert other != piece
        assert Piece.objects.filter(student=cast.student).count() == 2

    def test_the_piece_of_another_brief_stays(self, cast: School) -> None:
        [first] = given(cast.head, cast.section)
        [second] = given(cast.head, cast.other_section, brief=a_brief(cast.head, "Rows that show"))
        moved(cast, cast.student)
        found = start_piece(assignment=second, student=cast.student, by=cast.head, at=NOW)
        assert found.assignment == second
        assert first.pieces.filter(student=cast.student).exists()

    def test_another_brief_in_the_new_class_keeps_nobody_back(self, cast: School) -> None:
        """Being enrolled in the class of an assignment counts for that assignment only."""
        _first, second, piece = self.both(cast)
        given(cast.head, cast.section, cast.other_section, brief=a_brief(cast.head, "Rows"))
        moved(cast, cast.student)
        start_missing_pieces(assignment=second, by=cast.head, at=NOW)
        piece.refresh_from_db()
        assert piece.assignment == second

    def test_last_year_s_pot_stays_with_last_year_s_class(self, cast: School) -> None:
        """Who does the brief again in a later year starts anew."""
        _first, second, piece = self.both(cast)
        moved(cast, cast.student)
        over(cast, cast.section)
        found = start_piece(assignment=second, student=cast.student, by=cast.head, at=NOW)
        assert found != piece

    def test_who_comes_back_finds_the_piece_again(self, cast: School) -> None:
        first, second, piece = self.both(cast)
        moved(cast, cast.student)
        start_piece(assignment=second, student=cast.student, by=cast.head, at=NOW)
        end_enrolment(section=cast.other_section, student=cast.student, by=cast.head, on=TODAY)
        enrol(section=cast.section, student=cast.student, by=cast.head, on=TODAY)
        back = start_piece(assignment=first, student=cast.student, by=cast.head, at=NOW)
        assert back == piece


class TestCodes:
    def test_a_class_that_is_over_gives_its_codes_back(
        self, cast: School, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        [first] = given(cast.head, cast.section)
        old = set(first.pieces.values_list("code", flat=True))
        over(cast, cast.section)
        seen: list[set[str]] = []
        drawn = codes.drawn_codes

        def watched(count: int, taken: set[str], dice: object) -> list[str]:
            seen.append(set(taken))
            return drawn(count, taken, dice)  # type: ignore[arg-type]

        monkeypatch.setattr(service, "drawn_codes", watched)
        given(cast.head, cast.other_section, brief=first.brief)
        assert seen == [set()]
        assert set(first.pieces.values_list("code_live", flat=True)) == {False}
        assert old == set(first.pieces.values_list("code", flat=True))

    def test_a_class_that_goes_on_after_all_keeps_its_codes_to_itself(
        self, cast: School, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        first, _second = given(cast.head, cast.section, cast.other_section)
        over(cast, cast.section)
        given(cast.head, cast.other_section, brief=a_brief(cast.head, "Rows"))
        over(cast, cast.section, archived=False)
        seen: list[set[str]] = []

        def watched(count: int, taken: set[str], dice: object) -> list[str]:
            seen.append(set(taken))
            return ["K7-3F"][:count]

        monkeypatch.setattr(service, "drawn_codes", watched)
        pupil(cast.head, cast.section, "New", "Comer")
        start_missing_pieces(assignment=first, by=cast.head, at=NOW)
        assert set(first.pieces.exclude(code="K7-3F").values_list("code", flat=True)) <= seen[0]

    def test_a_studio_without_codes_left_says_so(
        self, cast: School, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        brief = a_brief(cast.head)
        monkeypatch.setattr(codes, "LONGEST", 3)
        with pytest.raises(Refused, match="All codes are in use"):
            given(cast.head, cast.section, brief=brief)
        assert not Assignment.objects.exists()

    def test_the_number_of_queries_does_not_depend_on_the_class(self, cast: School) -> None:
        brief = a_brief(cast.head)
        with CaptureQueriesContext(connection) as few:
            given(cast.head, cast.section, brief=brief)
        for n in range(10):
            pupil(cast.head, cast.other_section, f"Pupil{n}", "More")
        with CaptureQueriesContext(connection) as many:
            given(cast.head, cast.other_section, brief=brief)
        assert len(few) == len(many)
