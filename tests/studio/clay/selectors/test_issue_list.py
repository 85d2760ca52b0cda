"""Who of a class gets how much."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from planning.services.plans import approve
from studio.clay.selectors.issue_list import IssueLine, IssueList, issue_list
from studio.clay.services import record_talk, return_clay, set_talk_rule
from studio.people.models import Absence, Meeting
from studio.ware.models import Pot, Stage
from tests.cast import NOW, TODAY, School
from tests.planning.work import piece_of, send
from tests.school_size import fill
from tests.studio.clay.room import a_lot, a_pot, assignment_of, issued

pytestmark = pytest.mark.both_databases


@pytest.fixture
def pot(cast: School) -> Pot:
    return a_pot(cast)


def listed(pot: Pot) -> IssueList:
    return issue_list(assignment_of(pot), today=TODAY)


def line_of(pot: Pot) -> IssueLine:
    return next(line for line in listed(pot).lines if line.piece == pot.piece)


def test_a_line_has_the_plans_figure_with_its_range_and_what_is_left_of_it(
    cast: School, pot: Pot
) -> None:
    assert pot.plan.figures is not None
    figures = pot.plan.figures["clay_g"]
    line = line_of(pot)
    assert line.planned_g == line.remaining_g == pot.plan.issue_g == figures["issue"]
    assert line.range_g == (figures["issue_low"], figures["issue_high"])
    assert line.hindrance == ""
    issued(cast, pot, lot := a_lot(cast), 1500)
    return_clay(pot=pot, lot=lot, grams=100, by=cast.teacher, at=NOW)
    line = line_of(pot)
    assert (line.clay.issued_g, line.clay.kept_g) == (1500, 1400)
    assert line.remaining_g == pytest.approx((pot.plan.issue_g or 0) - 1400)


def test_a_line_says_why_nothing_is_issued(cast: School, pot: Pot) -> None:
    other = next(line for line in listed(pot).lines if line.piece != pot.piece)
    assert (other.student, other.planned_g, other.hindrance) == (
        cast.classmate,
        None,
        "no approved plan yet",
    )
    set_talk_rule(studio=cast.studio, talk_first=True, by=cast.head)
    assert line_of(pot).hindrance == "safety talk first"
    record_talk(students=[cast.student], on=TODAY, by=cast.teacher, at=NOW)
    assert (line_of(pot).hindrance, line_of(pot).talk_on) == ("", TODAY)
    Pot.objects.update(stage=Stage.BONE_DRY)
    assert line_of(pot).hindrance == "bone dry, takes no more clay"


def test_who_is_absent_today_is_marked(cast: School, pot: Pot) -> None:
    meeting = Meeting.objects.get(section=cast.section, on=TODAY)
    Absence.objects.create(meeting=meeting, student=cast.student)
    assert line_of(pot).absent
    assert sum(line.absent for line in listed(pot).lines) == 1


def test_the_totals_say_how_many_bags_lack(cast: School, pot: Pot) -> None:
    plan = send(cast, piece_of(assignment_of(pot), cast.classmate))
    approve(plan=plan, by=cast.teacher, at=NOW)
    needed_g = 2 * (plan.issue_g or 0)
    found = listed(pot)
    assert (found.needed_g, found.lacking_g) == (needed_g, needed_g)
    assert (found.bags_needed, found.bags_there, found.bags_lacking) == (None, 0, None)
    a_lot(cast, bags=2, bag_g=1000)
    found = listed(pot)
    assert found.lacking_g == pytest.approx(needed_g - 2000)
    assert found.bags_needed == -(-needed_g // 1000)
    assert found.bags_there == 2
    assert found.bags_lacking == (found.bags_needed or 0) - 2
    a_lot(cast)
    assert (listed(pot).lacking_g, listed(pot).bags_lacking) == (0, 0)
    assert (listed(pot).waiting, listed(pot).without_plan, listed(pot).out_g) == (2, 0, 0)


def test_the_list_makes_as_few_queries_for_many_as_for_few(cast: School, pot: Pot) -> None:
    with CaptureQueriesContext(connection) as few:
        listed(pot)
    fill(assignment_of(pot), 40)
    with CaptureQueriesContext(connection) as many:
        assert len(listed(pot).lines) == 42
    assert len(many) == len(few)
