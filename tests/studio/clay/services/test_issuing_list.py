"""A whole class in one post."""

import pytest
from django.core.exceptions import PermissionDenied

from planning.models import Assignment, Piece
from planning.services.plans import approve
from studio.clay.models import Entry, Lot
from studio.clay.services import IssueRow, issue_class_list, set_talk_rule
from studio.errors import Refused
from studio.people.models import AuditEntry
from studio.ware.models import Pot, Stage
from tests.cast import NOW, School
from tests.planning.projects import a_body, a_brief, given
from tests.planning.work import piece_of, send
from tests.studio.clay.room import a_lot, left_g
from tests.world import undone

pytestmark = pytest.mark.both_databases


@pytest.fixture
def assignment(cast: School) -> Assignment:
    """A brief in the class of the student, whose plan is approved, and the classmate."""
    (given_now,) = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, "A tall pot"))
    plan = send(cast, piece_of(given_now, cast.student))
    approve(plan=plan, by=cast.teacher, at=NOW)
    return given_now


def row(assignment: Assignment, student: object, lot: Lot, grams: float = 3000) -> IssueRow:
    return IssueRow(piece_of(assignment, student), lot, grams)  # type: ignore[arg-type]


def refused(assignment: Assignment, rows: list[IssueRow], by: object) -> dict[str, str]:
    with pytest.raises(Refused) as said:
        issue_class_list(assignment=assignment, rows=rows, by=by, at=NOW)  # type: ignore[arg-type]
    return {problem.field: problem.message for problem in said.value.problems}


def both_approved(cast: School, assignment: Assignment) -> None:
    plan = send(cast, piece_of(assignment, cast.classmate))
    approve(plan=plan, by=cast.teacher, at=NOW)


def test_one_post_begins_the_pots_and_issues_by_their_plans(
    cast: School, assignment: Assignment
) -> None:
    both_approved(cast, assignment)
    lot = a_lot(cast)
    rows = [row(assignment, cast.student, lot, 3000), row(assignment, cast.classmate, lot, 2600.4)]
    entries = issue_class_list(assignment=assignment, rows=rows, by=cast.teacher, at=NOW)
    assert [entry.grams for entry in entries] == [-3000, -2600]
    assert left_g(lot) == 19_400
    for entry, each in zip(entries, rows, strict=True):
        assert entry.pot is not None
        assert entry.pot.piece == each.piece
        assert entry.planned_g == each.piece.plans.get(state="approved").issue_g
    # In the order of the row at the scale, the newest first.
    assert list(Entry.objects.filter(kind="issue")) == entries[::-1]
    assert AuditEntry.objects.filter(action="pot begun").count() == 2


def test_a_pot_that_stands_is_not_begun_again(cast: School, assignment: Assignment) -> None:
    lot = a_lot(cast)
    for _time in range(2):
        rows = [row(assignment, cast.student, lot, 1000)]
        issue_class_list(assignment=assignment, rows=rows, by=cast.technician, at=NOW)
    assert Pot.objects.count() == 1
    assert left_g(lot) == 23_000


def test_after_a_loss_the_next_pot_gets_clay(cast: School, assignment: Assignment) -> None:
    lot = a_lot(cast)
    rows = [row(assignment, cast.student, lot, 1000)]
    issue_class_list(assignment=assignment, rows=rows, by=cast.teacher, at=NOW)
    Pot.objects.update(lost="broken")
    [entry] = issue_class_list(assignment=assignment, rows=rows, by=cast.teacher, at=NOW)
    assert entry.pot is not None
    assert entry.pot.code.endswith("/2")


def test_a_piece_without_an_approved_plan_is_refused_at_its_row(
    cast: School, assignment: Assignment
) -> None:
    lot = a_lot(cast)
    rows = [row(assignment, cast.student, lot), row(assignment, cast.classmate, lot)]
    assert refused(assignment, rows, cast.teacher) == {
        "rows.1.piece": "Bram V. has no approved plan yet, and clay is weighed by the plan. "
        "Approve it first, or issue to the class."
    }
    assert left_g(lot) == 25_000
    assert not Pot.objects.exists()


def test_every_row_that_cannot_be_says_why(cast: School, assignment: Assignment) -> None:
    both_approved(cast, assignment)
    set_talk_rule(studio=cast.studio, talk_first=True, by=cast.head)
    lot, other = a_lot(cast), a_lot(cast, body=a_body(cast.teacher, name="White earthenware"))
    rows = [row(assignment, cast.student, lot, 26_000), row(assignment, cast.classmate, other)]
    said = refused(assignment, rows, cast.teacher)
    assert sorted(said) == ["rows.0.grams", "rows.0.piece", "rows.1.lot", "rows.1.piece"]
    assert said["rows.0.piece"].startswith("Ode A. has no safety talk on record.")
    assert "you asked for 26.0\u00a0kg" in said["rows.0.grams"]
    assert "this lot is White earthenware" in said["rows.1.lot"]


def test_the_lot_serves_the_rows_in_order_until_it_is_empty(
    cast: School, assignment: Assignment
) -> None:
    both_approved(cast, assignment)
    lot = a_lot(cast, bags=1, bag_g=5000)
    rows = [row(assignment, cast.student, lot, 3000), row(assignment, cast.classmate, lot, 3000)]
    said = refused(assignment, rows, cast.teacher)
    assert list(said) == ["rows.1.grams"]
    assert said["rows.1.grams"].startswith("There are 2.00\u00a0kg left of Grogged stoneware")
    rest = a_lot(cast, label="Note 2208")
    split = [rows[0], row(assignment, cast.classmate, lot, 2000)]
    split.append(row(assignment, cast.classmate, rest, 1000))
    issue_class_list(assignment=assignment, rows=split, by=cast.teacher, at=NOW)
    assert (left_g(lot), left_g(rest), Pot.objects.count()) == (0, 24_000, 2)


def test_weights_that_no_scale_shows_are_refused_at_their_rows(
    cast: School, assignment: Assignment
) -> None:
    lot = a_lot(cast)
    rows = [row(assignment, cast.student, lot, 0), row(assignment, cast.classmate, lot, 5)]
    assert list(refused(assignment, rows, cast.teacher)) == ["rows.0.grams"]


def test_a_list_has_rows_and_not_too_many(cast: School, assignment: Assignment) -> None:
    assert "Tick whoever gets clay now" in refused(assignment, [], cast.teacher)["rows"]
    many = [row(assignment, cast.student, a_lot(cast), 1)] * 201
    assert "at most 200" in refused(assignment, many, cast.teacher)["rows"]


def test_a_piece_of_another_list_is_refused_at_its_row(
    cast: School, assignment: Assignment
) -> None:
    (other,) = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, "A bowl"))
    lot = a_lot(cast)
    said = refused(assignment, [row(other, cast.student, lot)], cast.teacher)
    assert said == {"rows.0.piece": "This piece is not on the list of this class any more."}
    gone = row(other, cast.student, lot)
    with undone():
        Piece.objects.filter(pk=gone.piece.pk).delete()
        assert list(refused(assignment, [gone], cast.teacher)) == ["rows.0.piece"]


def test_a_dry_pot_is_refused_at_its_row(cast: School, assignment: Assignment) -> None:
    rows = [row(assignment, cast.student, a_lot(cast))]
    issue_class_list(assignment=assignment, rows=rows, by=cast.teacher, at=NOW)
    Pot.objects.update(stage=Stage.BISQUE_FIRED)
    said = refused(assignment, rows, cast.teacher)
    assert "is bisque fired and takes no more clay" in said["rows.0.piece"]


def test_others_hand_out_nothing_here(cast: School, assignment: Assignment) -> None:
    rows = [row(assignment, cast.student, a_lot(cast))]
    for person in (cast.other_teacher, cast.student, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            issue_class_list(assignment=assignment, rows=rows, by=person, at=NOW)
    there = a_lot(
        cast, studio=cast.elsewhere.studio, body=a_body(cast.elsewhere.head), by=cast.elsewhere.head
    )
    with pytest.raises(PermissionDenied):
        issue_class_list(
            assignment=assignment,
            rows=[row(assignment, cast.student, there)],
            by=cast.head,
            at=NOW,
        )
