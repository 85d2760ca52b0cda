"""What a class's marks are for a spreadsheet and for a gradebook."""

from decimal import Decimal
from typing import Any

import pytest

from assessments.selectors.classes import class_marks, marked_assignments
from assessments.selectors.exports import csv_rows, csv_titles, gradebook_results
from assessments.selectors.marks import PieceMarks
from assessments.selectors.wording import total_text
from assessments.services.adjusting import adjust_student
from assessments.services.releasing import release
from planning.models import Assignment, Piece
from studio.people.models import User
from tests.assessments.work import mark, released, the_rubric
from tests.cast import NOW, TODAY, School, pupil
from tests.planning.projects import given
from tests.planning.work import draw, piece_of

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def assignment(cast: School) -> Assignment:
    """Five students: Amari, Castel, Dvorak, Ekholm, Vos."""
    for given_name, family_name in (("Cleo", "Castel"), ("Dara", "Dvorak"), ("Emil", "Ekholm")):
        pupil(cast.head, cast.section, given_name, family_name)
    [made] = given(cast.teacher, cast.section)
    return made


def pieces(assignment: Assignment) -> list[Piece]:
    rows = Piece.objects.filter(assignment=assignment)
    return [piece_of(assignment, each.student) for each in rows.order_by("student__family_name")]


def exempt(piece: Piece, by: User, count: int) -> None:
    version = the_rubric(piece.studio)
    adjust_student(
        assignment=piece.assignment,
        student=piece.student,
        by=by,
        counts={},
        dates={},
        exempt=[each.criterion for each in version.criteria.order_by("position")[:count]],
        private_reason="Agreed.",
        at=NOW,
    )


def rows(assignment: Assignment, person: User) -> tuple[list[str], list[Any]]:
    marks = class_marks(assignment)
    titles = csv_titles(marks)
    return titles, csv_rows(marks, titles, person)


def test_a_row_has_levels_points_total_marker_and_release(
    cast: School, assignment: Assignment
) -> None:
    one, two, three, *_others = pieces(assignment)
    released(one, cast.teacher, "4", "3", "2", "1")
    exempt(two, cast.teacher, 1)
    mark(two, cast.teacher, None, "3", None, "2")
    exempt(three, cast.teacher, 1)
    released(three, cast.teacher, None, "3", None, "2")
    titles, [first, second, third, fourth, fifth] = rows(assignment, cast.teacher)
    assert titles[0] == "exploration before commitment"
    assert [(each.level, each.points) for each in first.criteria] == [
        ("4", "4"),
        ("3", "3"),
        ("2", "2"),
        ("1", "1"),
    ]
    assert (first.family_name, first.total, first.most, first.open) == ("Amari", "10", "16", "0")
    assert (first.marker, first.released) == ("Tomas Lindqvist", "2026-03-11")
    assert [each.points for each in second.criteria] == ["exempt", "3", "", "2"]
    assert (second.total, second.most, second.open, second.released) == ("", "12", "1", "")
    assert [each.points for each in third.criteria] == ["exempt", "3", "", "2"]
    assert (third.total, third.open, third.released) == ("", "1", "2026-03-11")
    for each in (fourth, fifth):
        assert (each.total, each.open, each.marker) == ("", "4", "")


def gradebook(assignment: Assignment, marks: list[PieceMarks] | None = None) -> Any:
    found = class_marks(assignment) if marks is None else marks
    return gradebook_results(assignment, found, today=TODAY, grading_period_id="Q3")


def test_the_gradebook_gets_what_is_released_and_nothing_else(
    cast: School, assignment: Assignment
) -> None:
    one, two, three, four, five = pieces(assignment)
    for n, piece in enumerate((one, two, three, four), start=1):
        User.objects.filter(pk=piece.student_id).update(sourced_id=f"904{n}")
    assignment.section.sourced_id = "P3-2026"
    assignment.section.save()
    released(one, cast.teacher, "4", "3", "2", "1")
    released(two, cast.teacher, "4", None, "2", "1")
    mark(three, cast.teacher)  # not released
    draw(cast, three, 1)
    found = gradebook(assignment)
    assert [(each.student_id, each.status, each.score) for each in found.results] == [
        ("9041", "fully graded", Decimal("10.00")),
        ("9042", "partially graded", None),
        ("9043", "submitted", None),
        ("9044", "not submitted", None),
    ]
    assert [each.name for each in found.left_out] == [five.student.name]
    assert not found.class_unknown
    assert (found.item.class_id, found.item.grading_period_id) == ("P3-2026", "Q3")
    assert (found.item.sourced_id, found.item.most) == (str(assignment.pk), Decimal("16.00"))
    assert found.results[0].sourced_id == str(one.pk)


def test_everybody_s_score_is_of_the_same_most_points(cast: School, assignment: Assignment) -> None:
    """9 of 12 with one criterion exempt is three quarters, which is 12 of 16."""
    one, two, three, *_others = pieces(assignment)
    for n, piece in enumerate((one, two, three), start=1):
        User.objects.filter(pk=piece.student_id).update(sourced_id=f"904{n}")
    exempt(one, cast.teacher, 1)
    released(one, cast.teacher, None, "3", "3", "3")
    exempt(two, cast.teacher, 4)
    exempt(three, cast.teacher, 4)
    found = gradebook(assignment)
    assert found.class_unknown
    assert [(each.status, each.score) for each in found.results] == [
        ("fully graded", Decimal("12.00")),
        ("exempt", None),
        ("exempt", None),
    ]


def test_a_released_result_without_a_criterion_is_exempt(
    cast: School, assignment: Assignment
) -> None:
    [one, *_others] = pieces(assignment)
    User.objects.filter(pk=one.student_id).update(sourced_id="9041")
    exempt(one, cast.teacher, 4)
    mark(one, cast.teacher, None, comment="Made at home; well done to have come at all.")
    release(pieces=[one], by=cast.teacher, at=NOW)
    [result] = gradebook(assignment).results
    assert (result.status, result.score) == ("exempt", None)
    assert total_text(one.results.get().score, one.results.get().most) == "No total: not judged"


def test_the_overview_counts_what_is_marked_and_released(
    cast: School, assignment: Assignment
) -> None:
    one, two, three, *_others = pieces(assignment)
    released(one, cast.teacher)
    mark(two, cast.teacher)
    mark(three, cast.teacher, "3")
    [row] = marked_assignments(cast.teacher)
    assert (row.pieces, row.marked, row.released) == (5, 2, 1)
    assert marked_assignments(cast.other_teacher) == []
    assert marked_assignments(cast.technician) == []
