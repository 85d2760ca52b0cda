"""Needs and orders, reclaim, and the learned allowance, as people use their pages."""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from planning.models import Brief
from studio.clay.models import Batch, Lot, LotKind, Order, Pack
from studio.clay.services import return_bucket
from tests.cast import NOW, TODAY, School, signed_in, today_there
from tests.markup import forms_in
from tests.studio.clay.room import a_lot, left_g, the_body
from tests.studio.clay.services.test_allowance import ten_known, two_pots
from tests.studio.clay.test_pages import filled, main_of, main_of_messages

pytestmark = pytest.mark.both_databases

ORDERS = "/clay-room/orders/"


@pytest.fixture
def technician(cast: School) -> Client:
    return signed_in(cast.technician)


def test_an_order_goes_from_the_need_to_the_lot(cast: School, technician: Client) -> None:
    two_pots(cast)
    body = the_body(cast)
    assert "Say how it is sold" in main_of(technician.get(ORDERS))
    pack = f"/clay-room/bodies/{body.pk}/pack/"
    sold = {"bag_g": "25 lb", "box_price": "34", "bag_price": "18.50", "currency": "usd"}
    technician.post(pack, filled(technician, pack, **sold))
    assert (Pack.objects.get().bag_g, Pack.objects.get().bags_in_box) == (11_340, 2)
    said = main_of(technician.get(ORDERS))
    assert "It runs out today; 4.21 kg lack in all." in said
    assert "1 bag, 11.3 kg, 18.50 USD" in said
    assert "Order today: it comes after the clay runs out." in said
    new = f"{ORDERS}new/?body={body.pk}"
    sent = filled(technician, new)
    assert (sent["bags"], sent["cost"]) == (["1"], ["18.50"])
    answer = technician.post(new, sent, follow=True)
    assert "11.3 kg of Grogged stoneware are down as ordered." in main_of_messages(answer)
    assert "There is enough in the end." in main_of(answer)
    order = Order.objects.get()
    came = f"{ORDERS}{order.pk}/came/"
    technician.post(came, filled(technician, came, label="Note 9"))
    assert left_g(Lot.objects.get(label="Note 9")) == 11_340
    assert "It lasts for all that is planned and to come." in main_of(technician.get(ORDERS))


def test_an_order_is_called_off_by_a_button(cast: School, technician: Client) -> None:
    body, today = the_body(cast), today_there()
    sent = filled(
        technician,
        f"{ORDERS}new/?body={body.pk}",
        body=str(body.pk),
        bags="2",
        bag_g="12.5",
        expected_on=(today + timedelta(days=3)).isoformat(),
    )
    technician.post(f"{ORDERS}new/", sent)
    order = Order.objects.get()
    answer = technician.post(f"{ORDERS}{order.pk}/call-off/", follow=True)
    assert "The order is called off. It stays on record." in main_of_messages(answer)
    assert "On its way" not in main_of(answer)
    assert technician.get(f"{ORDERS}new/?body=nothing").status_code == 200


def test_a_price_without_a_currency_comes_back_at_its_field(
    cast: School, technician: Client
) -> None:
    pack = f"/clay-room/bodies/{the_body(cast).pk}/pack/"
    sent = filled(technician, pack, bag_g="12.5", bag_price="19.90", currency="")
    said = main_of(technician.post(pack, sent))
    assert "Currency: Say in which currency the price is, such as EUR." in said
    assert not Pack.objects.exists()


def test_scrap_is_put_out_to_dry_and_weighed_again(cast: School, technician: Client) -> None:
    bucket = return_bucket(
        section=cast.section, body=the_body(cast), grams=9000, by=cast.head, at=NOW
    ).lot
    assert "Grogged stoneware 9.00 kg" in main_of(technician.get("/clay-room/reclaim/"))
    page = f"/clay-room/lots/{bucket.pk}/reclaim/"
    sent = filled(technician, page, **{"dry-taken_g": "5"})
    sent |= {"dry-ready_on": today_there().isoformat()}
    said = main_of(technician.post(page, sent, follow=True))
    assert "5.00 kg becomes about 4.50 kg" in said
    assert "Plaster never goes into reclaim" in said
    batch = f"/clay-room/reclaim/{Batch.objects.get().pk}/"
    answer = technician.post(
        batch, filled(technician, batch, **{"end-ready_g": "4.4"}), follow=True
    )
    assert "5.00 kg went in, 4.40 kg came out: 0.60 kg lost, 12%." in main_of(answer)
    assert left_g(Lot.objects.get(kind=LotKind.RECLAIMED)) == 4400


def test_a_batch_that_cant_become_clay_is_thrown_away(cast: School, technician: Client) -> None:
    bucket = return_bucket(
        section=cast.section, body=the_body(cast), grams=9000, by=cast.head, at=NOW
    ).lot
    page = f"/clay-room/lots/{bucket.pk}/reclaim/"
    ready_on = {"dry-ready_on": today_there().isoformat()}
    technician.post(page, filled(technician, page, **{"dry-taken_g": "5"}) | ready_on)
    batch = f"/clay-room/reclaim/{Batch.objects.get().pk}/"
    answer = technician.post(
        batch, filled(technician, batch, **{"away-reason": "plaster"}), follow=True
    )
    assert "Thrown away, and written down so." in main_of_messages(answer)
    assert "Nothing is drying now." in main_of(answer)


def test_a_mixed_bucket_is_marked_wherever_it_stands(cast: School, technician: Client) -> None:
    body = the_body(cast)
    sent = filled(
        technician,
        "/clay-room/return/",
        **{"bucket-section": str(cast.section.pk), "bucket-grams": "4", "bucket-mixed": "on"},
    )
    technician.post("/clay-room/return/", sent)
    lot = Lot.objects.get()
    assert (lot.mixed, lot.body) == (True, body)
    for address, words in (
        ("/clay-room/", "Mixed with other bodies: for practice, never for the kiln"),
        ("/clay-room/reclaim/", "mixed: practice only"),
        (f"/clay-room/lots/{lot.pk}/", "it is for practice only and never goes into the kiln"),
        (f"/clay-room/lots/{lot.pk}/reclaim/", "This bucket is mixed."),
    ):
        assert words in main_of(technician.get(address)), address


def test_what_pots_took_stands_beside_what_is_set_and_is_taken_by_a_click(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timezone, "localdate", lambda: TODAY)
    brief = ten_known(cast, 1.1)
    teacher = signed_in(cast.teacher)
    said = main_of(teacher.get("/clay-room/allowance/"))
    assert "All briefs: about 10% (10 pots, the middle half 10% to 10%)" in said
    assert "set: 20% not known yet: 2 of at least 10 pots" in said
    page = f"/briefs/{brief.pk}/allowance/"
    html = teacher.get(page).content.decode()
    [take, *_more] = [each for each in forms_in(html) if "seen_pct" in each.names]
    answer = teacher.post(page, take.filled(), follow=True)
    assert "The working allowance of this brief is now 10%." in main_of_messages(answer)
    assert Brief.objects.get(pk=brief.pk).working_allowance_pct == 10
    assert teacher.post(page, {"over": "all"}).status_code == 422


def test_a_class_is_weighed_in_one_post(cast: School) -> None:
    assignment, pots = two_pots(cast)
    teacher = signed_in(cast.teacher)
    page = f"/assignments/{assignment.pk}/weigh/"
    one, other = (f"pot-{pot.pk.hex}" for pot in pots)
    said = main_of(teacher.post(page, filled(teacher, page, **{one: "19", other: ""})))
    assert "Weigh it without its board, and check the unit." in said
    answer = teacher.post(page, filled(teacher, page, **{one: "1.9", other: "2"}), follow=True)
    assert "weighed: 1.90 kg" in main_of(answer)
    assert pots[0].weighings.count() == 1
    nothing = main_of(teacher.post(page, filled(teacher, page, **{one: "", other: ""})))
    assert "Type the weight of at least one pot." in nothing


def test_the_number_of_queries_doesnt_grow_with_what_is_shown(
    cast: School, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    ten_known(cast, 1.1)
    a_lot(cast)
    client = signed_in(cast.teacher)
    for address in (ORDERS, "/clay-room/allowance/", "/clay-room/reclaim/", "/clay-room/scales/"):
        with django_assert_max_num_queries(15):
            client.get(address)
