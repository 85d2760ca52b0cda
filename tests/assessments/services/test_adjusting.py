"""Criteria that a student is exempt from, also when the work moves to another class."""

import pytest
from django.core.exceptions import PermissionDenied

from assessments.models import Criterion, Exemption
from assessments.selectors.exemptions import exempt_students, exemptions_of
from assessments.services.adjusting import adjust_student, as_for_the_class
from assessments.services.criteria import SHIPPED, ensure_criteria
from planning.models import Adjustment, Assignment
from planning.services.pieces import start_piece
from studio.errors import Refused
from studio.people.models import AuditEntry, User
from studio.people.services import move_student
from tests.cast import NOW, TODAY, School
from tests.planning.projects import given

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def criteria(cast: School) -> list[Criterion]:
    ensure_criteria(studio=cast.studio)
    return list(Criterion.objects.filter(studio=cast.studio))


def exempt(assignment: Assignment, student: User, by: User, *criteria: Criterion) -> None:
    adjust_student(
        assignment=assignment,
        student=student,
        by=by,
        counts={},
        dates={},
        exempt=criteria,
        private_reason="Agreed with the family.",
        at=NOW,
    )


def titles(assignment: Assignment, student: User) -> list[str]:
    rows = exemptions_of(assignment, student).order_by("criterion__position")
    return [row.criterion.title for row in rows]


def test_a_studio_begins_with_the_shipped_criteria_once(cast: School) -> None:
    for _again in range(2):
        ensure_criteria(studio=cast.studio)
    found = Criterion.objects.filter(studio=cast.studio)
    assert tuple(each.title for each in found) == SHIPPED


def test_exemptions_are_set_as_a_whole_and_the_line_has_both(
    cast: School, criteria: list[Criterion]
) -> None:
    [assignment] = given(cast.teacher, cast.section)
    exempt(assignment, cast.student, cast.teacher, criteria[0], criteria[1])
    exempt(assignment, cast.student, cast.teacher, criteria[1])
    assert titles(assignment, cast.student) == ["silhouette control"]
    assert exempt_students(assignment) == {cast.student.pk}
    entry = AuditEntry.objects.filter(action="exempt criteria set").latest("at")
    assert len(entry.before["criteria"]) == 2
    assert entry.after["criteria"] == [str(criteria[1].pk)]


def test_setting_the_same_again_leaves_no_line(cast: School, criteria: list[Criterion]) -> None:
    [assignment] = given(cast.teacher, cast.section)
    for _again in range(2):
        exempt(assignment, cast.student, cast.teacher, criteria[0])
    assert AuditEntry.objects.filter(action="exempt criteria set").count() == 1


def test_exemptions_go_along_with_the_work(cast: School, criteria: list[Criterion]) -> None:
    first, second = given(cast.head, cast.section, cast.other_section)
    exempt(first, cast.student, cast.teacher, criteria[2])
    assert titles(second, cast.student) == []
    move_student(
        student=cast.student, section=cast.section, to=cast.other_section, by=cast.head, on=TODAY
    )
    start_piece(assignment=second, student=cast.student, by=cast.head, at=NOW)
    assert titles(second, cast.student) == ["joint quality"]
    assert exempt_students(second) == {cast.student.pk}
    as_for_the_class(assignment=second, student=cast.student, by=cast.other_teacher, at=NOW)
    assert not Exemption.objects.exists()
    assert not Adjustment.objects.exists()


def test_another_studio_s_criteria_are_refused(cast: School) -> None:
    [assignment] = given(cast.teacher, cast.section)
    ensure_criteria(studio=cast.elsewhere.studio)
    with pytest.raises(Refused, match="this studio's criteria") as refused:
        exempt(assignment, cast.student, cast.teacher, Criterion.objects.all()[0])
    assert refused.value.problems[0].field == "exempt"
    assert not Adjustment.objects.exists()


@pytest.mark.parametrize("who", ["other_teacher", "technician", "student"])
def test_only_those_who_teach_the_class_set_them(
    cast: School, criteria: list[Criterion], who: str
) -> None:
    [assignment] = given(cast.teacher, cast.section)
    with pytest.raises(PermissionDenied):
        exempt(assignment, cast.student, getattr(cast, who), criteria[0])
    with pytest.raises(PermissionDenied):
        as_for_the_class(assignment=assignment, student=cast.student, by=getattr(cast, who), at=NOW)
