"""Orders and drying scrap over the API."""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from studio.clay.models import Lot, Order
from studio.clay.services import return_bucket
from tests.cast import NOW, School, signed_in, today_there
from tests.studio.clay.api.test_moving import post
from tests.studio.clay.room import left_g, the_body
from tests.studio.ware.pots import a_pot, check, move

pytestmark = pytest.mark.both_databases


@pytest.fixture
def teacher(cast: School) -> Client:
    return signed_in(cast.teacher)


def test_an_order_is_posted_once_and_comes_once(cast: School, teacher: Client) -> None:
    today = today_there()
    body = {
        "body": str(the_body(cast).pk),
        "bags": 4,
        "bag_g": 12_500,
        "cost": "72.00",
        "currency": "EUR",
        "ordered_on": str(today),
        "expected_on": str(today + timedelta(days=9)),
    }
    first, again = (post(teacher, "clay-orders", body, "k1") for _time in range(2))
    assert first.status_code == 201
    assert first.json() == again.json()
    assert (first.json()["cost"], first.json()["lot"]) == (72, None)
    order = Order.objects.get()
    came = post(teacher, f"clay-orders/{order.pk}/arrival", {"bags": 3, "came_on": str(today)})
    assert (came.status_code, came.json()["balance_g"]) == (201, 37_500)
    late = post(teacher, f"clay-orders/{order.pk}/call-off", {})
    assert late.status_code == 409
    [listed] = teacher.get("/api/clay-orders/").json()["results"]
    assert listed["lot"] == came.json()["id"]


def test_an_order_is_called_off(cast: School, teacher: Client) -> None:
    today = today_there()
    body = {"body": str(the_body(cast).pk), "bags": 1, "bag_g": 12_500}
    dates = {"ordered_on": str(today), "expected_on": str(today - timedelta(days=1))}
    refused = post(teacher, "clay-orders", body | dates)
    assert refused.json()["errors"][0]["field"] == "expected_on"
    made = post(teacher, "clay-orders", body | dates | {"expected_on": str(today)}).json()
    off = post(teacher, f"clay-orders/{made['id']}/call-off", {})
    assert off.json()["called_off_at"]


def test_scrap_dries_and_is_clay_again(cast: School, teacher: Client) -> None:
    bucket = {"section": str(cast.section.pk), "body": str(the_body(cast).pk), "grams": 5000}
    returned = post(teacher, "clay-returns", bucket | {"mixed": True}).json()["lot"]
    assert Lot.objects.get(pk=returned).mixed
    body = {"lot": returned, "taken_g": 3000, "ready_on": str(today_there())}
    made = post(teacher, "clay-batches", body).json()
    assert made["taken_g"] == 3000
    assert teacher.get("/api/clay-batches/").json()["count"] == 1
    lot = post(teacher, f"clay-batches/{made['id']}/end", {"ready_g": 2700}).json()
    assert (lot["kind"], lot["mixed"], lot["balance_g"]) == ("reclaimed", True, 2700)
    assert post(teacher, f"clay-batches/{made['id']}/end", {"ready_g": 2700}).status_code == 409
    assert teacher.get("/api/clay-batches/").json()["count"] == 0


def test_only_the_bucket_of_a_class_is_mixed(cast: School, teacher: Client) -> None:
    pot = {"pot": str(a_pot(cast).pk), "lot": None, "grams": 200, "mixed": True}
    refused = post(teacher, "clay-returns", pot)
    assert "Only the bucket of a class can be mixed." in refused.json()["errors"][0]["detail"]


def test_what_is_of_another_studio_is_not_there(cast: School) -> None:
    lot = return_bucket(
        section=cast.section, body=the_body(cast), grams=5000, by=cast.head, at=NOW
    ).lot
    there = signed_in(cast.elsewhere.head)
    body = {"lot": str(lot.pk), "taken_g": 3000, "ready_on": str(today_there())}
    assert post(there, "clay-batches", body).status_code == 400
    assert left_g(lot) == 5000


def test_a_pot_is_weighed_finished_and_drying(cast: School, teacher: Client) -> None:
    pot = a_pot(cast)
    built = post(teacher, f"pots/{pot.pk}/weighings", {"weighed_as": "built", "grams": 1900})
    assert (built.status_code, built.json()["grams"]) == (201, 1900)
    check(pot, cast.teacher, at=timezone.now())
    move(pot, "leather_hard", cast.teacher)
    drying = {"weighed_as": "drying", "grams": 1700}
    coarse = post(teacher, f"pots/{pot.pk}/weighings", drying | {"step_g": 5})
    assert coarse.json()["errors"][0]["field"] == "step_g"
    assert post(teacher, f"pots/{pot.pk}/weighings", drying | {"step_g": 1}).status_code == 201
    student = signed_in(cast.student)
    assert student.get(f"/api/pots/{pot.pk}/weighings/").json()["count"] == 2
