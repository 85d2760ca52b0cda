"""Own counts and own dates for a student, and who reads why."""

import json
from datetime import date
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from planning.models import Adjustment, Assignment, OwnDate, Piece
from planning.selectors.gate import counts_asked
from planning.selectors.lateness import milestone_dates
from planning.services.adjustments import drop_adjustment, set_adjustment
from studio.errors import Refused
from studio.people.models import AuditEntry, User
from tests.cast import NOW, School
from tests.planning.projects import given

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

REASON = "Recovering from a broken wrist;\r\ndoctor's letter in the office."


@pytest.fixture
def assignment(cast: School) -> Assignment:
    [made] = given(cast.teacher, cast.section)
    return made


def adjust(assignment: Assignment, student: User, by: User, **changed: Any) -> Adjustment:
    values: dict[str, Any] = {
        "counts": {"least_thumbnails": 3},
        "dates": {},
        "private_reason": REASON,
    }
    return set_adjustment(
        assignment=assignment, student=student, by=by, at=NOW, **(values | changed)
    )


def piece_of(assignment: Assignment, student: User) -> Piece:
    return Piece.objects.select_related("assignment").get(assignment=assignment, student=student)


def test_own_counts_hold_for_the_one_student_only(assignment: Assignment, cast: School) -> None:
    adjust(assignment, cast.student, cast.teacher, counts={"least_thumbnails": 0})
    mine, other = piece_of(assignment, cast.student), piece_of(assignment, cast.classmate)
    asked = counts_asked([mine, other])
    assert (asked[mine.pk].thumbnails, asked[mine.pk].source_forms) == (0, 3)
    assert asked[other.pk].thumbnails == 6


def test_own_dates_hold_before_the_class_s(assignment: Assignment, cast: School) -> None:
    own = date(2026, 6, 1)
    adjust(assignment, cast.student, cast.teacher, dates={"built": own, "chosen": None})
    mine, other = piece_of(assignment, cast.student), piece_of(assignment, cast.classmate)
    dates = milestone_dates([mine, other])
    assert dates[mine.pk] == dates[other.pk] | {"built": own}


def test_the_reason_stays_out_of_the_audit_line(assignment: Assignment, cast: School) -> None:
    adjust(assignment, cast.student, cast.teacher)
    adjust(assignment, cast.student, cast.teacher, private_reason="Another matter entirely.")
    drop_adjustment(assignment=assignment, student=cast.student, by=cast.teacher)
    lines = json.dumps(list(AuditEntry.objects.values_list("before", "after")))
    assert "least_thumbnails" in lines
    assert not any(word in lines for word in ("wrist", "doctor", "matter"))


def test_a_second_adjustment_replaces_the_first(assignment: Assignment, cast: School) -> None:
    adjust(assignment, cast.student, cast.teacher, dates={"built": date(2026, 6, 1)})
    adjust(assignment, cast.student, cast.head, counts={"least_refinements": 1})
    row = Adjustment.objects.get()
    assert (row.least_thumbnails, row.least_refinements, row.by) == (None, 1, cast.head)
    assert row.private_reason == REASON.replace("\r", "")
    assert not OwnDate.objects.exists()


def test_taking_it_away_is_as_for_the_class_again(assignment: Assignment, cast: School) -> None:
    adjust(assignment, cast.student, cast.teacher, dates={"built": date(2026, 6, 1)})
    drop_adjustment(assignment=assignment, student=cast.student, by=cast.teacher)
    drop_adjustment(assignment=assignment, student=cast.student, by=cast.teacher)
    assert not Adjustment.objects.exists()
    assert not OwnDate.objects.exists()
    assert AuditEntry.objects.filter(action="adjustment taken away").count() == 1


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        ({"private_reason": " \0\r\n"}, "private_reason", "Write the reason"),
        ({"private_reason": "x" * 2001}, "private_reason", "Shorten it to 2000 characters"),
        ({"counts": {"least_thumbnails": 51}}, "least_thumbnails", "from 0 to 50"),
        ({"counts": {"least_source_forms": -1}}, "least_source_forms", "from 0 to 50"),
        ({"dates": {"fired": date(2026, 4, 1)}}, "fired", "no such milestone"),
        ({"dates": {"thumbnails": date(2026, 3, 1)}}, "thumbnails", "before the brief was given"),
        ({"dates": {"built": date(2400, 1, 1)}}, "built", "years away"),
        ({"dates": {"built": date(2026, 3, 10)}}, "built", "before “plan sent”"),
        ({"dates": {"chosen": date(2026, 5, 1)}}, "chosen", "after “design refined”"),
    ],
)
def test_what_makes_no_sense_is_refused_at_its_field(
    assignment: Assignment, cast: School, changed: dict[str, Any], field: str, says: str
) -> None:
    with pytest.raises(Refused, match=says) as refused:
        adjust(assignment, cast.student, cast.teacher, **changed)
    assert refused.value.problems[0].field == field
    assert not Adjustment.objects.exists()


def test_somebody_outside_the_class_has_nothing_to_adjust(
    assignment: Assignment, cast: School
) -> None:
    with pytest.raises(Refused, match="Sunniva Kjeld is not in Period 3"):
        adjust(assignment, cast.other_student, cast.head)


@pytest.mark.parametrize("who", ["other_teacher", "technician", "student", "nobody"])
def test_only_those_who_teach_the_class_adjust(
    assignment: Assignment, cast: School, who: str
) -> None:
    with pytest.raises(PermissionDenied):
        adjust(assignment, cast.student, getattr(cast, who))
    with pytest.raises(PermissionDenied):
        drop_adjustment(assignment=assignment, student=cast.student, by=getattr(cast, who))
