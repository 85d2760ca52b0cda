"""Deliveries, reclaim, write-offs."""

from datetime import timedelta
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from studio.clay.models import Entry, EntryKind, Lot, LotKind
from studio.clay.services import reclaim, return_bucket, write_off
from studio.errors import Refused
from studio.people.models import AuditEntry
from studio.room.services import retire_body
from tests.cast import NOW, TODAY, School
from tests.planning.projects import a_body
from tests.studio.clay.room import a_lot, left_g, the_body

pytestmark = pytest.mark.both_databases


def test_forty_bags_are_one_lot_and_one_entry(cast: School) -> None:
    lot = a_lot(cast, bags=40, bag_g=11_340, label="  Note   2207 ")
    entry = Entry.objects.get()
    assert (lot.balance_g, lot.bag_g, lot.label) == (453_600, 11_340, "Note 2207")
    assert (entry.kind, entry.grams, entry.balance_after_g) == ("delivery", 453_600, 453_600)
    assert (entry.lot, entry.by, entry.at) == (lot, cast.technician, NOW)
    said = AuditEntry.objects.get(action="clay delivered")
    assert (said.before, said.after["balance_g"]) == ({"balance_g": 0}, 453_600)


def test_a_bag_keeps_its_weight_to_the_gram(cast: School) -> None:
    # 25 lb, exactly 11,339.80925 g by the agreement of 1959.
    lot = a_lot(cast, bags=2, bag_g=11_339.809)
    assert (lot.bag_g, left_g(lot)) == (11_340, 22_680)


def test_loose_clay_comes_without_bags_or_beside_them(cast: School) -> None:
    assert left_g(a_lot(cast, bags=0, bag_g=None, loose_g=900.4)) == 900
    assert left_g(a_lot(cast, bags=1, loose_g=500)) == 13_000


REFUSED: list[tuple[dict[str, Any], str, str]] = [
    ({"bags": 3, "bag_g": None}, "bag_g", "Say what one bag weighs"),
    ({"bags": -1}, "bags", "Count the bags: none to 2000"),
    ({"bags": 2001}, "bags", "Count the bags: none to 2000"),
    ({"bags": 0}, "bags", "Count the bags, or weigh what came without bags"),
    ({"bags": 2000, "bag_g": 100_000}, "bags", "10 tonnes at most"),
    ({"bag_g": 20}, "bag_g", "greater than or equal to 100"),
    ({"bag_g": float("nan")}, "bag_g", "a weight of at least 1 g"),
    ({"bags": 0, "loose_g": 2e7}, "loose_g", "at most 10 tonnes"),
    ({"label": "x" * 81}, "label", "at most 80 characters"),
    ({"came_on": TODAY + timedelta(1)}, "came_on", "This day is still to come"),
    ({"came_on": TODAY.replace(year=1926)}, "came_on", "Check the year"),
]


@pytest.mark.parametrize(("changed", "field", "words"), REFUSED)
def test_a_delivery_that_cannot_be_is_refused_at_its_field(
    changed: dict[str, Any], field: str, words: str, cast: School
) -> None:
    with pytest.raises(Refused, match=words) as refused:
        a_lot(cast, **changed)
    assert refused.value.problems[0].field == field
    assert not Lot.objects.exists()
    assert not Entry.objects.exists()


def test_a_body_that_is_no_longer_used_is_not_delivered(cast: School) -> None:
    retire_body(body=the_body(cast), by=cast.head)
    with pytest.raises(Refused, match="Grogged stoneware is no longer used here"):
        a_lot(cast, body=the_body(cast))


@pytest.mark.parametrize("who", ["student", "nobody", "elsewhere.head"])
def test_clay_is_kept_by_staff_of_the_studio(who: str, cast: School) -> None:
    person: Any = cast
    for part in who.split("."):
        person = getattr(person, part)
    lot = a_lot(cast)
    with pytest.raises(PermissionDenied):
        a_lot(cast, by=person)
    with pytest.raises(PermissionDenied):
        write_off(lot=lot, grams=100, reason="wet", by=person, at=NOW)
    assert left_g(lot) == 25_000


def test_another_studios_body_is_not_delivered(cast: School) -> None:
    with pytest.raises(PermissionDenied):
        a_lot(cast, body=a_body(cast.elsewhere.head))


def test_a_wet_damaged_bag_is_written_off_with_the_reason(cast: School) -> None:
    lot = a_lot(cast, bags=40)
    entry = write_off(lot=lot, grams=12_500, reason=" bag burst, wet ", by=cast.technician, at=NOW)
    assert (entry.kind, entry.grams, entry.reason) == ("write_off", -12_500, "bag burst, wet")
    assert left_g(lot) == entry.balance_after_g == 39 * 12_500


@pytest.mark.parametrize(
    ("grams", "reason", "field", "words"),
    [
        (12_500, " ", "reason", "Write what happened"),
        (12_500, "x" * 401, "reason", "Shorten it to 400 characters"),
        (0, "wet", "grams", "at least 1 g"),
        (
            30_000,
            "wet",
            "grams",
            "There are 25.0 kg left of Grogged stoneware Note 2207; you asked",
        ),
    ],
)
def test_a_write_off_is_refused_with_what_to_do(
    grams: float, reason: str, field: str, words: str, cast: School
) -> None:
    lot = a_lot(cast)
    with pytest.raises(Refused) as refused:
        write_off(lot=lot, grams=grams, reason=reason, by=cast.head, at=NOW)
    assert words.replace(" kg", "\u00a0kg") in str(refused.value)
    assert refused.value.problems[0].field == field
    assert left_g(lot) == 25_000


def bucket(cast: School, grams: float = 6000) -> Lot:
    entry = return_bucket(
        section=cast.section, body=the_body(cast), grams=grams, by=cast.teacher, at=NOW
    )
    return entry.lot


def test_reclaimed_clay_is_a_lot_of_its_own_with_both_weights(cast: School) -> None:
    returned = bucket(cast)
    made = reclaim(
        returned_lot=returned, taken_g=6000, ready_g=5200, by=cast.technician, at=NOW, label="R1"
    )
    assert (made.kind, made.body, made.came_on) == (LotKind.RECLAIMED, the_body(cast), TODAY)
    assert (left_g(returned), left_g(made), made.label) == (0, 5200, "R1")
    out, into = Entry.objects.filter(kind=EntryKind.RECLAIM).order_by("grams")
    assert (out.grams, into.grams, into.made_from) == (-6000, 5200, out)


@pytest.mark.parametrize(
    ("taken_g", "ready_g", "field", "words"),
    [
        (7000, 6000, "taken_g", "There are 6.00 kg left"),
        (6000, 9001, "ready_g", "more than the clay and the water can weigh"),
        (6000, 0, "ready_g", "at least 1 g"),
        (-5, 10, "taken_g", "at least 1 g"),
    ],
)
def test_a_reclaim_that_cannot_be_is_refused_at_its_field(
    taken_g: float, ready_g: float, field: str, words: str, cast: School
) -> None:
    returned = bucket(cast)
    with pytest.raises(Refused) as refused:
        reclaim(returned_lot=returned, taken_g=taken_g, ready_g=ready_g, by=cast.head, at=NOW)
    assert words.replace(" kg", "\u00a0kg") in str(refused.value)
    assert refused.value.problems[0].field == field
    assert left_g(returned) == 6000
    assert Lot.objects.count() == 1


def test_dry_scrap_may_come_out_heavier_than_it_went_in(cast: School) -> None:
    """Bone-dry clay at 25 % water on the wet basis weighs 4/3 of itself (basis conversion)."""
    returned = bucket(cast)
    made = reclaim(returned_lot=returned, taken_g=6000, ready_g=8000, by=cast.head, at=NOW)
    assert left_g(made) == 8000


def test_only_what_came_back_is_reclaimed(cast: School) -> None:
    with pytest.raises(Refused, match="Only clay that came back is reclaimed"):
        reclaim(returned_lot=a_lot(cast), taken_g=100, ready_g=90, by=cast.head, at=NOW)
