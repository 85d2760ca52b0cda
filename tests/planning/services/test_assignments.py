"""Moving the dates of a class."""

from datetime import date
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from planning.models import Assignment, Piece
from planning.services.assignments import count_ideas, set_dates, take_back_brief
from planning.services.drawings import add_thumbnail
from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry, User
from tests.cast import NOW, School
from tests.planning.projects import DUE, GIVEN, given
from tests.planning.work import a_piece, draw, photo

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def assignment(cast: School) -> Assignment:
    [made] = given(cast.teacher, cast.section)
    return made


def dates(assignment: Assignment) -> dict[str, date]:
    return dict(assignment.milestones.values_list("kind", "on"))


def move(
    assignment: Assignment, by: User, given_on: date = GIVEN, due_on: date = DUE, **moved: date
) -> Assignment:
    milestones = dates(assignment) | moved
    return set_dates(
        assignment=assignment,
        by=by,
        given_on=given_on,
        due_on=due_on,
        milestones=milestones,
        at=NOW,
    )


def test_a_milestone_moves_and_the_line_says_from_where(
    assignment: Assignment, cast: School
) -> None:
    before = dates(assignment)
    moved = date(2026, 4, 21)
    move(assignment, cast.teacher, plan_sent=moved)
    assert dates(assignment) == before | {"plan_sent": moved}
    entry = AuditEntry.objects.get(action="dates moved")
    assert entry.before["plan_sent"] == before["plan_sent"].isoformat()
    assert entry.after["plan_sent"] == "2026-04-21"


def test_moving_nothing_leaves_no_line(assignment: Assignment, cast: School) -> None:
    move(assignment, cast.teacher)
    assert not AuditEntry.objects.filter(action="dates moved").exists()


def test_the_ends_move_too(assignment: Assignment, cast: School) -> None:
    move(assignment, cast.teacher, given_on=date(2026, 3, 8), due_on=date(2026, 5, 20))
    assignment.refresh_from_db()
    assert (assignment.given_on, assignment.due_on) == (date(2026, 3, 8), date(2026, 5, 20))


def test_two_steps_may_end_on_one_day(assignment: Assignment, cast: School) -> None:
    day = dates(assignment)["chosen"]
    move(assignment, cast.teacher, thumbnails=day)
    assert dates(assignment)["thumbnails"] == day


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        ({"chosen": date(2026, 3, 10)}, "chosen", "before “thumbnails drawn”"),
        ({"thumbnails": date(2026, 3, 1)}, "thumbnails", "before “given on”"),
        ({"built": date(2026, 5, 14)}, "due_on", "before “pot built”"),
        ({"due_on": date(2026, 4, 1)}, "due_on", "before “pot built”"),
        ({"built": date(9999, 12, 31)}, "built", "years away"),
        ({"given_on": date(1, 1, 1)}, "given_on", "years away"),
    ],
)
def test_dates_out_of_order_are_refused_at_their_field(
    assignment: Assignment, cast: School, changed: dict[str, Any], field: str, says: str
) -> None:
    before = dates(assignment)
    with pytest.raises(Refused, match=says) as refused:
        move(assignment, cast.teacher, **changed)
    assert refused.value.problems[0].field == field
    assert dates(assignment) == before


def test_everything_on_one_day_is_refused(assignment: Assignment, cast: School) -> None:
    day = dict.fromkeys(dates(assignment), GIVEN)
    with pytest.raises(Refused, match="not after the day it is given"):
        move(assignment, cast.teacher, due_on=GIVEN, **day)


def test_a_milestone_left_out_is_asked_for(assignment: Assignment, cast: School) -> None:
    milestones = dates(assignment)
    del milestones["refined"]
    with pytest.raises(Refused, match="A date is missing here") as refused:
        set_dates(
            assignment=assignment,
            by=cast.teacher,
            given_on=GIVEN,
            due_on=DUE,
            milestones=milestones,
            at=NOW,
        )
    assert refused.value.problems[0].field == "refined"


@pytest.mark.parametrize("who", ["other_teacher", "technician", "student", "nobody"])
def test_only_those_who_teach_the_class_move_its_dates(
    assignment: Assignment, cast: School, who: str
) -> None:
    with pytest.raises(PermissionDenied):
        move(assignment, getattr(cast, who))


def test_a_brief_given_by_mistake_is_taken_back_while_nothing_is_drawn(cast: School) -> None:
    piece = a_piece(cast)
    with pytest.raises(PermissionDenied):
        take_back_brief(assignment=piece.assignment, by=cast.other_teacher)
    take_back_brief(assignment=piece.assignment, by=cast.teacher)
    assert not Assignment.objects.exists()
    assert not Piece.objects.exists()
    with pytest.raises(Conflict, match="This piece is gone"):
        add_thumbnail(piece=piece, by=cast.student, file=photo(), at=NOW)


def test_a_brief_that_somebody_drew_for_stays(cast: School) -> None:
    piece = a_piece(cast)
    draw(cast, piece, 1)
    with pytest.raises(Refused, match="Somebody has drawn for it already"):
        take_back_brief(assignment=piece.assignment, by=cast.teacher)
    assert Piece.objects.filter(pk=piece.pk).exists()


def test_a_class_whose_ideas_are_not_counted_is_asked_for_none(
    assignment: Assignment, cast: School
) -> None:
    assignment.least_distinct_ideas = 3
    assert assignment.asked_ideas == 3
    count_ideas(assignment=assignment, counted=False, by=cast.teacher)
    count_ideas(assignment=assignment, counted=False, by=cast.teacher)
    entry = AuditEntry.objects.get(action="ideas not counted")
    assert (entry.before, entry.after) == ({"counted": True}, {"counted": False})
    kept = Assignment.objects.get(pk=assignment.pk)
    kept.least_distinct_ideas = 3
    assert kept.asked_ideas is None
    with pytest.raises(PermissionDenied):
        count_ideas(assignment=assignment, counted=True, by=cast.other_teacher)
