"""The learned allowance: from the ledger and the scale, shown, and taken over by a click."""

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from planning.models import Assignment, Brief
from planning.plans.inputs import computed_from, drawn_from_json, kept_inputs
from planning.services.briefs import edit_brief, give_brief, terms_of
from planning.services.plans import approve
from studio.clay.selectors.allowance import allowance_of, allowances
from studio.clay.services import (
    Figure,
    Over,
    issue_to_class,
    return_bucket,
    return_clay,
    take_learned_allowance,
)
from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from studio.ware.models import Pot, Weighing
from studio.ware.services import Weighed, begin_pot, weigh_built
from tests.cast import NOW, TODAY, School
from tests.planning.projects import a_brief, given
from tests.planning.work import piece_of, send
from tests.studio.clay.room import a_lot, issued
from tests.studio.ware.pots import check

pytestmark = pytest.mark.both_databases


def two_pots(cast: School, title: str = "A tall pot") -> tuple[Assignment, list[Pot]]:
    """The class's brief with the pots of both students, begun."""
    (assignment,) = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, title))
    pots = []
    for student in (cast.student, cast.classmate):
        plan = approve(plan=send(cast, piece_of(assignment, student)), by=cast.teacher, at=NOW)
        pots.append(begin_pot(piece=plan.piece, by=cast.teacher, at=NOW))
    return assignment, pots


def weighed(pots: list[Pot], cast: School, share: float, at: datetime = NOW) -> None:
    """On the scale, so many times its plan's clay."""
    rows = [Weighed(pot, share * (pot.plan.pot_wet_g or 0)) for pot in pots]
    weigh_built(rows=rows, by=cast.teacher, at=at)


def ten_known(cast: School, share: float) -> Brief:
    """Ten pots of one brief on the scale: five briefs' worth of rows moved to one brief, since
    the class has two students.
    """
    first, pots = two_pots(cast, "A tall pot")
    weighed(pots, cast, share)
    for n in range(4):
        other, more = two_pots(cast, f"Another {n}")
        weighed(more, cast, share)
        assert other.clay_body == first.clay_body
    return first.brief


def taken_over(cast: School, brief: Brief, **changed: Any) -> Brief:
    """By the teacher, the 10 % that pots of its clay body took."""
    asked: dict[str, Any] = {"over": Over.BODY, "figure": Figure.MIDDLE, "seen_pct": 10}
    asked |= {"by": cast.teacher, "today": TODAY}
    return take_learned_allowance(brief=brief, **(asked | changed))


def test_pots_on_the_scale_are_known_by_brief_and_by_body(cast: School) -> None:
    brief = ten_known(cast, 1.1)
    of_brief, of_body = allowance_of(brief, today=TODAY)
    assert (of_brief.pieces, of_brief.learned) == (2, None)
    learned = of_body.learned
    assert learned is not None
    assert (learned.pieces, learned.alone, learned.middle) == (10, 10, 10)
    assert learned.median_pct == pytest.approx(10)


def test_the_newest_weight_counts(cast: School) -> None:
    assignment, pots = two_pots(cast)
    weighed(pots, cast, 1.3)
    weighed(pots, cast, 1.05, NOW + timedelta(minutes=5))
    records = allowance_of(assignment.brief, today=TODAY)[0].records
    assert [round(each.allowance_pct) for each in records] == [5, 5]
    assert Weighing.objects.count() == 4


def test_a_class_is_known_by_what_went_out_and_came_back(cast: School) -> None:
    """By the ledger: 2 × 3000 g and 1000 g for practice out, 500 g back from a pot that is mended,
    900 g in the bucket.
    """
    assignment, pots = two_pots(cast)
    lot = a_lot(cast)
    for pot in pots:
        issued(cast, pot, lot, 3000)
    issue_to_class(section=cast.section, lot=lot, grams=1000, by=cast.teacher, at=NOW)
    return_clay(pot=pots[0], lot=lot, grams=500, by=cast.teacher, at=NOW)
    return_bucket(
        section=cast.section, body=assignment.clay_body, grams=900, by=cast.teacher, at=NOW
    )
    of_brief, _body = allowance_of(assignment.brief, today=TODAY)
    assert of_brief.records == []  # not built yet
    for pot in pots:
        check(pot, cast.teacher)
    of_brief, _body = allowance_of(assignment.brief, today=TODAY)
    [record] = of_brief.records
    planned_g = sum(pot.plan.pot_wet_g or 0 for pot in pots)
    assert record.pieces == 2
    assert record.allowance_pct == pytest.approx(100 * (5600 / planned_g - 1))


def test_what_is_older_than_three_years_is_not_counted(cast: School) -> None:
    assignment, pots = two_pots(cast)
    weighed(pots, cast, 1.1)
    later = TODAY + timedelta(days=3 * 365 + 2)
    assert allowance_of(assignment.brief, today=later)[0].records == []


def test_another_studio_learns_nothing_from_it(cast: School) -> None:
    ten_known(cast, 1.1)
    assert allowances(cast.elsewhere.studio, today=TODAY) == []


def test_a_click_takes_the_figure_over_and_says_where_it_came_from(cast: School) -> None:
    brief = ten_known(cast, 1.1)
    taken = taken_over(cast, brief)
    assert taken.working_allowance_pct == 10
    assert taken.allowance_range_pct == (10.0, 10.0)
    line = AuditEntry.objects.get(action="working allowance learned")
    assert (line.before["working_allowance_pct"], line.after) == (
        "20",
        {
            "working_allowance_pct": "10",
            "allowance_low_pct": "10",
            "allowance_high_pct": "10",
            "pieces": 10,
        },
    )


def test_classes_and_sent_plans_keep_the_allowance_that_they_had(cast: School) -> None:
    brief = ten_known(cast, 1.1)
    assignment = Assignment.objects.get(brief=brief)
    plan = Pot.objects.filter(piece__assignment=assignment).first()
    assert plan is not None
    issue_g = plan.plan.issue_g
    taken_over(cast, brief, figure=Figure.UPPER)
    assignment.refresh_from_db()
    assert assignment.working_allowance_pct == 20
    assert assignment.allowance_range_pct is None
    kept = kept_inputs(plan.plan.inputs, assignment)
    assert (kept.working_allowance_pct, kept.allowance_range_pct) == (20, None)
    plan.plan.refresh_from_db()
    assert plan.plan.issue_g == issue_g
    # Who gets the brief now goes by the new figure, with its range.
    brief.refresh_from_db()
    (new,) = give_brief(
        brief=brief,
        by=cast.head,
        sections=[cast.other_section],
        given_on=TODAY,
        due_on=TODAY + timedelta(days=60),
        at=NOW,
    )
    inputs = computed_from(drawn_from_json(plan.plan.inputs), new)
    assert (inputs.working_allowance_pct, inputs.allowance_range_pct) == (10, (10, 10))


def test_the_range_goes_when_the_allowance_is_set_by_hand(cast: School) -> None:
    brief = ten_known(cast, 1.1)
    taken = taken_over(cast, brief)
    same = edit_brief(brief=taken, by=cast.teacher, title="New name", terms=terms_of(taken))
    assert same.allowance_range_pct == (10.0, 10.0)
    terms = terms_of(same) | {"working_allowance_pct": Decimal(25)}
    by_hand = edit_brief(brief=same, by=cast.teacher, title="New name", terms=terms)
    by_hand.refresh_from_db()
    assert by_hand.working_allowance_pct == 25
    assert by_hand.allowance_low_pct is None
    assert by_hand.allowance_high_pct is None


def test_too_few_pots_and_a_figure_that_moved_are_refused(cast: School) -> None:
    brief = ten_known(cast, 1.1)
    with pytest.raises(Refused, match="Fewer than 10 pots are known"):
        taken_over(cast, brief, over=Over.BRIEF)
    with pytest.raises(Conflict, match="the figure changed"):
        taken_over(cast, brief, seen_pct=14)
    brief.refresh_from_db()
    assert brief.working_allowance_pct == 20


def test_who_sets_briefs_takes_it_over(cast: School) -> None:
    brief = ten_known(cast, 1.1)
    for person in (cast.technician, cast.student, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            taken_over(cast, brief, by=person)
