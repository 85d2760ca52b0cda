"""Orders and packs: written down, come once, called off; needs and what to order."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from planning.services.pieces import start_pieces
from planning.services.plans import approve
from studio.clay.models import Lot, Order, Pack
from studio.clay.selectors.supply import BodySupply, supplies
from studio.clay.services import (
    call_off_order,
    issue_to_class,
    place_order,
    put_out_to_dry,
    return_bucket,
    set_pack,
    take_in_order,
)
from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from tests.cast import NOW, TODAY, School, pupil
from tests.planning.projects import a_body, a_brief, given
from tests.planning.work import piece_of, send
from tests.studio.clay.room import (
    BAG_G,
    a_lot,
    a_pot,
    an_approved_plan,
    issued,
    left_g,
    the_body,
)
from tests.studio.ware.services.test_races import at_once

pytestmark = pytest.mark.both_databases

PACK: dict[str, Any] = {
    "bag_g": BAG_G,
    "bags_in_box": 2,
    "sold_singly": True,
    "bag_price": Decimal("19.90"),
    "box_price": Decimal("36.00"),
    "currency": "eur",
    "days_to_come": 10,
}


def a_pack(cast: School, **changed: Any) -> Pack:
    return set_pack(body=the_body(cast), by=cast.technician, values=PACK | changed)


def an_order(cast: School, bags: int = 4, **changed: Any) -> Order:
    asked: dict[str, Any] = {
        "body": the_body(cast),
        "bags": bags,
        "bag_g": BAG_G,
        "ordered_on": TODAY,
        "expected_on": TODAY + timedelta(days=10),
        "by": cast.technician,
        "at": NOW,
    }
    return place_order(**(asked | changed))


def supply(cast: School) -> BodySupply:
    [found] = [each for each in supplies(cast.studio, today=TODAY) if each.body == the_body(cast)]
    return found


def test_a_pack_is_set_and_set_again_with_its_line(cast: School) -> None:
    a_pack(cast)
    pack = a_pack(cast, box_price=Decimal("38.00"))
    assert (Pack.objects.count(), pack.currency, pack.box_price) == (1, "EUR", Decimal(38))
    last = AuditEntry.objects.filter(action="clay pack set").order_by("at").last()
    assert last is not None
    assert (last.before, last.after) == ({"box_price": "36.00"}, {"box_price": "38.00"})


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"currency": ""}, "currency", "Say in which currency the price is, such as EUR"),
        ({"currency": "E1"}, "currency", "Three capital letters, such as EUR"),
        ({"bag_g": 20}, "bag_g", "100"),
        ({"bags_in_box": 0}, "bags_in_box", "1"),
    ],
)
def test_a_pack_that_cant_be_is_refused_at_its_field(
    changed: dict[str, Any], field: str, words: str, cast: School
) -> None:
    with pytest.raises(Refused, match=words) as refused:
        a_pack(cast, **changed)
    assert refused.value.problems[0].field == field
    assert not Pack.objects.exists()


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"expected_on": TODAY - timedelta(days=1)}, "expected_on"),
        ({"ordered_on": TODAY - timedelta(days=2000)}, "ordered_on"),
        ({"bags": 0}, "bags"),
        ({"bag_g": 0}, "bag_g"),
        ({"cost": Decimal(90)}, "currency"),
    ],
)
def test_an_order_that_cant_be_is_refused_at_its_field(
    changed: dict[str, Any], field: str, cast: School
) -> None:
    with pytest.raises(Refused) as refused:
        an_order(cast, **changed)
    assert refused.value.problems[0].field == field
    assert not Order.objects.exists()


def test_an_order_that_came_is_a_lot_of_what_was_counted(cast: School) -> None:
    order = an_order(cast)
    lot = take_in_order(
        order=order, bags=3, label="Note 9", came_on=TODAY, by=cast.technician, at=NOW
    )
    order.refresh_from_db()
    assert (order.lot, lot.balance_g, lot.bag_g, lot.label) == (lot, 3 * BAG_G, BAG_G, "Note 9")
    assert not Order.objects.on_the_way().exists()
    line = AuditEntry.objects.get(action="clay order came")
    assert (line.before["bags"], line.after["bags"]) == (4, 3)
    with pytest.raises(Conflict, match="came already and is a lot"):
        take_in_order(order=order, bags=3, label="", came_on=TODAY, by=cast.technician, at=NOW)
    with pytest.raises(Conflict, match="came already and is a lot"):
        call_off_order(order=order, by=cast.technician, at=NOW)
    assert Lot.objects.count() == 1


def test_a_delivery_that_is_refused_leaves_the_order_open(cast: School) -> None:
    order = an_order(cast)
    with pytest.raises(Refused, match="This day is still to come"):
        take_in_order(
            order=order,
            bags=4,
            label="",
            came_on=TODAY + timedelta(days=3),
            by=cast.technician,
            at=NOW,
        )
    assert Order.objects.on_the_way().get() == order


def test_what_was_called_off_doesnt_come(cast: School) -> None:
    order = call_off_order(order=an_order(cast), by=cast.teacher, at=NOW)
    assert order.called_off_at == NOW
    with pytest.raises(Conflict, match="was called off"):
        take_in_order(order=order, bags=4, label="", came_on=TODAY, by=cast.head, at=NOW)
    assert not Lot.objects.exists()


def test_staff_of_the_studio_order_and_nobody_else(cast: School) -> None:
    order = an_order(cast)
    for person in (cast.student, cast.elsewhere.head, cast.nobody):
        with pytest.raises(PermissionDenied):
            an_order(cast, by=person)
        with pytest.raises(PermissionDenied):
            set_pack(body=the_body(cast), by=person, values=PACK)
        with pytest.raises(PermissionDenied):
            call_off_order(order=order, by=person, at=NOW)
        with pytest.raises(PermissionDenied):
            take_in_order(order=order, bags=1, label="", came_on=TODAY, by=person, at=NOW)


def test_an_order_that_is_gone_is_not_taken_in(cast: School) -> None:
    order = an_order(cast)
    Order.objects.filter(pk=order.pk).delete()
    with pytest.raises(PermissionDenied):
        call_off_order(order=order, by=cast.head, at=NOW)


def test_approved_plans_are_needed_now_and_whole_boxes_are_proposed(cast: School) -> None:
    """By hand: the plan needs 2.11 kg, a kilogram is there, 1.11 kg lack: one bag of 12.5 kg."""
    an_approved_plan(cast)
    a_lot(cast, bags=1, bag_g=1000)
    a_pack(cast)
    seen = supply(cast)
    packs = seen.proposal
    assert packs is not None
    assert (packs.boxes, packs.bags, packs.cost) == (0, 1, Decimal("19.90"))
    assert (seen.outlook.runs_out_on, seen.order_by, seen.comes_too_late) == (TODAY, TODAY, True)


def test_plans_to_come_count_from_the_day_on_which_plans_are_sent(cast: School) -> None:
    """The classmate has no plan yet: a rough pot of the brief, needed by the milestone."""
    (assignment,) = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, "A tall pot"))
    approve(plan=send(cast, piece_of(assignment, cast.student)), by=cast.teacher, at=NOW)
    a_pack(cast)
    a_lot(cast, bags=1, bag_g=2500)
    seen = supply(cast)
    [to_come] = seen.to_come
    sent_on = assignment.milestones.get(kind="plan_sent").on
    assert (to_come.pieces, to_come.plans, to_come.on) == (1, 0, sent_on)
    assert seen.is_rough
    assert 1000 < to_come.each_g < 9000
    assert seen.outlook.runs_out_on == sent_on
    assert seen.order_by == sent_on - timedelta(days=11)
    assert not seen.comes_too_late


def test_with_three_plans_of_a_brief_the_next_is_taken_to_be_like_their_middle(
    cast: School,
) -> None:
    pupil(cast.head, cast.section, "Ilse", "Brandt")
    (assignment,) = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, "A tall pot"))
    third = assignment.pieces.exclude(student__in=[cast.student, cast.classmate]).get().student
    pupil_without = pupil(cast.head, cast.section, "Ivo", "Lund")
    start_pieces(assignment=assignment, students=[pupil_without], by=cast.teacher, at=NOW)
    plans = [
        approve(plan=send(cast, piece_of(assignment, student)), by=cast.teacher, at=NOW)
        for student in (cast.student, cast.classmate, third)
    ]
    [to_come] = supply(cast).to_come
    assert (to_come.pieces, to_come.plans) == (1, 3)
    assert to_come.each_g == pytest.approx((plans[0].pot_wet_g or 0) * 1.2)


def test_what_is_on_its_way_or_drying_is_not_ordered_again(cast: School) -> None:
    an_approved_plan(cast)
    a_pack(cast)
    assert supply(cast).proposal is not None
    bucket = return_bucket(
        section=cast.section, body=the_body(cast), grams=30_000, by=cast.head, at=NOW
    ).lot
    put_out_to_dry(returned_lot=bucket, taken_g=30_000, ready_on=TODAY, by=cast.technician, at=NOW)
    seen = supply(cast)
    assert (seen.drying_g, seen.proposal, seen.outlook.runs_out_on) == (27_000, None, None)
    an_order(cast)
    assert supply(cast).on_order_g == 4 * BAG_G


def test_a_mixed_bucket_that_dries_is_no_clay_for_pots(cast: School) -> None:
    an_approved_plan(cast)
    bucket = return_bucket(
        section=cast.section, body=the_body(cast), grams=9000, by=cast.head, at=NOW, mixed=True
    ).lot
    put_out_to_dry(returned_lot=bucket, taken_g=9000, ready_on=TODAY, by=cast.technician, at=NOW)
    seen = supply(cast)
    assert (seen.batches, seen.stock.ready_g, seen.stock.returned_g) == ([], 0, 0)


def test_another_studio_sees_none_of_it(cast: School) -> None:
    an_order(cast)
    body = a_body(cast.elsewhere.head)
    [there] = supplies(cast.elsewhere.studio, today=TODAY)
    assert (there.body, there.orders, there.needed_g) == (body, [], 0)


@pytest.mark.django_db(transaction=True)
def test_an_order_that_two_take_in_at_once_is_one_lot(cast: School) -> None:
    order = an_order(cast)
    said = at_once(
        *(
            lambda by=by: take_in_order(order=order, bags=4, label="", came_on=TODAY, by=by, at=NOW)
            for by in (cast.technician, cast.head, cast.teacher)
        )
    )
    assert said == ["", *["This order came already and is a lot."] * 2]
    assert left_g(Lot.objects.get()) == 4 * BAG_G


def test_a_class_that_gets_its_clay_as_a_whole_needs_what_it_wasnt_handed(cast: School) -> None:
    """By hand: a half bag is cut for the class, 6250 g, and 5000 g come back in its bucket: 1250 g
    of its plan's clay are there.
    """
    plan = an_approved_plan(cast)
    lot = a_lot(cast)
    needed_g = plan.issue_g or 0
    assert supply(cast).stock.needed_g == pytest.approx(needed_g)
    issue_to_class(section=cast.section, lot=lot, grams=6250, by=cast.teacher, at=NOW)
    assert supply(cast).stock.needed_g == 0
    body = the_body(cast)
    return_bucket(section=cast.section, body=body, grams=5000, by=cast.teacher, at=NOW)
    assert supply(cast).stock.needed_g == pytest.approx(needed_g - 1250)


def test_practice_clay_of_a_class_whose_pots_get_theirs_is_no_pots_clay(cast: School) -> None:
    pot, lot = a_pot(cast), a_lot(cast)
    issued(cast, pot, lot, 1000)
    issue_to_class(section=cast.section, lot=lot, grams=6250, by=cast.teacher, at=NOW)
    assert supply(cast).stock.needed_g == pytest.approx((pot.plan.issue_g or 0) - 1000)
