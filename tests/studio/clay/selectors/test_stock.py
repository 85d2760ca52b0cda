"""What is there, and whether it is enough."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from studio.clay.models import Lot
from studio.clay.selectors.needs import class_needs, remaining_g
from studio.clay.selectors.pots import PotClay, clay_of, lot_of
from studio.clay.selectors.stock import clay_on_hand
from studio.clay.services import correct, reclaim, return_bucket, return_clay
from studio.people.services import end_enrolment
from studio.room.services import retire_body
from studio.ware.models import Pot, Stage
from tests.cast import NOW, TODAY, School
from tests.planning.projects import a_body
from tests.studio.clay.room import a_lot, a_pot, an_approved_plan, issued, the_body

pytestmark = pytest.mark.both_databases


def test_clay_on_hand_tells_bought_reclaimed_and_returned_apart(cast: School) -> None:
    lot = a_lot(cast)
    bucket = return_bucket(
        section=cast.section, body=the_body(cast), grams=6000, by=cast.head, at=NOW
    )
    reclaim(returned_lot=bucket.lot, taken_g=4000, ready_g=3700, by=cast.head, at=NOW)
    [stock] = clay_on_hand(cast.studio)
    assert (stock.bought_g, stock.reclaimed_g, stock.returned_g) == (25_000, 3700, 2000)
    assert (stock.ready_g, stock.bag_g, stock.lacking_g) == (28_700, 12_500, 0)
    assert lot in stock.to_issue
    assert stock.to_reclaim == [bucket.lot]
    assert clay_on_hand(cast.elsewhere.studio) == []


def test_what_approved_plans_wait_for_is_needed_until_it_is_handed_out(cast: School) -> None:
    plan = an_approved_plan(cast)
    assert plan.issue_g is not None
    [stock] = clay_on_hand(cast.studio)
    assert (stock.needed_g, stock.lacking_g) == (plan.issue_g, plan.issue_g)
    [need] = class_needs(cast.teacher, since=TODAY)
    assert (need.pots, need.needed_g) == (1, plan.issue_g)
    assert class_needs(cast.other_teacher, since=TODAY) == []
    # Late or not, who waits for clay is shown.
    assert class_needs(cast.teacher, since=TODAY + timedelta(400)) == [need]
    pot = a_pot(cast, "Another pot")
    issued(cast, pot, a_lot(cast), 1000)
    needed_g = plan.issue_g + (pot.plan.issue_g or 0) - 1000
    assert clay_on_hand(cast.studio)[0].needed_g == pytest.approx(needed_g)
    Pot.objects.update(stage=Stage.BONE_DRY)
    assert clay_on_hand(cast.studio)[0].needed_g == pytest.approx(plan.issue_g)
    end_enrolment(section=cast.section, student=cast.student, by=cast.head, on=TODAY)
    assert clay_on_hand(cast.studio)[0].needed_g == 0
    assert [need.pots for need in class_needs(cast.head, since=TODAY)] == [0, 0]
    assert class_needs(cast.head, since=TODAY + timedelta(400)) == []


def test_a_lump_near_enough_to_its_weight_is_that_weight() -> None:
    assert remaining_g(3000, 2950, "wet") == 0
    assert remaining_g(3000, 2900, "wet") == 100
    assert remaining_g(3000, 3500, "wet") == 0
    assert remaining_g(None, 0, None) == 0
    assert remaining_g(3000, 0, None) == 3000


def test_a_body_that_is_neither_used_nor_there_is_not_shown(cast: School) -> None:
    a_lot(cast)
    retire_body(body=a_body(cast.teacher, name="White earthenware"), by=cast.head)
    assert [stock.body.name for stock in clay_on_hand(cast.studio)] == ["Grogged stoneware"]


def test_the_clay_of_a_pot_is_what_went_out_and_came_back(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    wrong = issued(cast, pot, lot, 9000)
    correct(entry=wrong, reason="another pot's", by=cast.head, at=NOW)
    assert clay_of([pot]) == {}
    assert lot_of(pot) is None
    issued(cast, pot, lot, 3000)
    back = return_clay(pot=pot, lot=lot, grams=400, by=cast.teacher, at=NOW)
    assert clay_of([pot]) == {pot.pk: PotClay(3000, 400, pot.plan.issue_g)}
    assert clay_of([pot])[pot.pk].kept_g == 2600
    correct(entry=back, reason="not weighed", by=cast.teacher, at=NOW)
    assert clay_of([pot]) == {pot.pk: PotClay(3000, 0, pot.plan.issue_g)}
    assert lot_of(pot) == lot


def test_the_clay_of_many_pots_is_one_query(cast: School) -> None:
    pots = [a_pot(cast, title) for title in ("One", "Two")]
    lot = a_lot(cast)
    for pot in pots:
        issued(cast, pot, lot, 1000)
    with CaptureQueriesContext(connection) as captured:
        assert len(clay_of(pots)) == 2
    assert len(captured) == 1
    assert Lot.objects.count() == 1
