"""Scrap out to dry and back as clay, its loss, and mixed buckets."""

from datetime import timedelta
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from studio.clay.models import Batch, Entry, Lot, LotKind
from studio.clay.selectors.reclaim import (
    buckets_waiting,
    drying_batches,
    loss_of,
    reclaimed,
    usual_yield,
)
from studio.clay.services import (
    correct,
    end_batch,
    issue_clay,
    issue_to_class,
    put_out_to_dry,
    reclaim,
    return_bucket,
    throw_away_batch,
)
from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from tests.cast import NOW, TODAY, School
from tests.studio.clay.room import a_lot, a_pot, left_g, the_body
from tests.studio.ware.services.test_races import at_once

pytestmark = pytest.mark.both_databases


def a_bucket(cast: School, grams: int = 10_000, *, mixed: bool = False) -> Lot:
    entry = return_bucket(
        section=cast.section, body=the_body(cast), grams=grams, by=cast.head, at=NOW, mixed=mixed
    )
    return entry.lot


def drying(cast: School, bucket: Lot, grams: float = 6000, **changed: Any) -> Batch:
    asked: dict[str, Any] = {"ready_on": TODAY + timedelta(days=5), "by": cast.technician}
    return put_out_to_dry(returned_lot=bucket, taken_g=grams, at=NOW, **(asked | changed))


def test_wet_scrap_goes_out_and_comes_back_as_a_lot_with_its_loss(cast: School) -> None:
    bucket = a_bucket(cast)
    batch = drying(cast, bucket)
    assert left_g(bucket) == 4000
    assert list(drying_batches(cast.studio)) == [batch]
    lot = end_batch(batch=batch, ready_g=5400, by=cast.teacher, at=NOW, label="Bag 1")
    assert (lot.kind, lot.mixed, lot.balance_g, lot.body) == (
        LotKind.RECLAIMED,
        False,
        5400,
        bucket.body,
    )
    assert not drying_batches(cast.studio).exists()
    made = loss_of(lot)
    assert made is not None
    assert (made.taken_g, made.ready_g, made.lost_g, made.lost_pct) == (6000, 5400, 600, 10)
    [listed] = reclaimed(cast.studio)
    assert listed.lot == lot
    assert loss_of(a_lot(cast)) is None


def test_clay_that_took_up_water_is_said_so(cast: School) -> None:
    lot = end_batch(batch=drying(cast, a_bucket(cast)), ready_g=6300, by=cast.head, at=NOW)
    made = loss_of(lot)
    assert made is not None
    assert (made.lost_g, made.gained_pct) == (-300, 5)


def test_the_usual_yield_is_the_studios_own_once_it_has_three(cast: School) -> None:
    bucket = a_bucket(cast)
    assert usual_yield(cast.studio) == 0.9
    for ready_g in (800, 840, 990):
        reclaim(returned_lot=bucket, taken_g=1000, ready_g=ready_g, by=cast.head, at=NOW)
    assert usual_yield(cast.studio) == 0.84


def test_a_batch_ends_once(cast: School) -> None:
    batch = drying(cast, a_bucket(cast))
    end_batch(batch=batch, ready_g=5000, by=cast.head, at=NOW)
    with pytest.raises(Conflict, match="was weighed already and is a lot"):
        end_batch(batch=batch, ready_g=5000, by=cast.head, at=NOW)
    with pytest.raises(Conflict, match="was weighed already and is a lot"):
        throw_away_batch(batch=batch, reason="plaster", by=cast.head, at=NOW)


def test_what_is_thrown_away_is_lost_and_stays_so(cast: School) -> None:
    bucket = a_bucket(cast)
    batch = drying(cast, bucket)
    throw_away_batch(batch=batch, reason="plaster in it", by=cast.teacher, at=NOW)
    assert left_g(bucket) == 4000
    assert not drying_batches(cast.studio).exists()
    assert AuditEntry.objects.get(action="clay thrown away").after == {"reason": "plaster in it"}
    with pytest.raises(Conflict, match="was thrown away"):
        end_batch(batch=batch, ready_g=5000, by=cast.head, at=NOW)
    with pytest.raises(Refused, match="was thrown away while it dried"):
        correct(entry=batch.out, reason="after all", by=cast.head, at=NOW)
    other = drying(cast, bucket, 1000)
    with pytest.raises(Refused, match="Write what happened"):
        throw_away_batch(batch=other, reason=" ", by=cast.head, at=NOW)


def test_a_batch_put_out_by_mistake_lies_in_the_bucket_again(cast: School) -> None:
    bucket = a_bucket(cast)
    batch = drying(cast, bucket)
    correct(entry=batch.out, reason="wrong bucket", by=cast.technician, at=NOW)
    assert left_g(bucket) == 10_000
    assert not drying_batches(cast.studio).exists()
    with pytest.raises(Conflict, match="was put back into the bucket"):
        end_batch(batch=batch, ready_g=5000, by=cast.head, at=NOW)


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"grams": 10_001}, "taken_g", "you asked for"),
        ({"grams": 0}, "taken_g", "Type a weight"),
        ({"ready_on": TODAY - timedelta(days=1)}, "ready_on", "This day is past"),
        ({"ready_on": TODAY + timedelta(days=2000)}, "ready_on", "years away"),
    ],
)
def test_what_cant_dry_is_refused_at_its_field(
    changed: dict[str, Any], field: str, words: str, cast: School
) -> None:
    with pytest.raises(Refused, match=words) as refused:
        drying(cast, a_bucket(cast), **changed)
    assert refused.value.problems[0].field == field
    assert not Batch.objects.exists()


def test_more_than_clay_and_water_can_weigh_is_refused(cast: School) -> None:
    batch = drying(cast, a_bucket(cast), 2000)
    with pytest.raises(Refused, match="more than the clay and the water can weigh"):
        end_batch(batch=batch, ready_g=3001, by=cast.head, at=NOW)
    with pytest.raises(Refused, match="Only clay that came back is reclaimed"):
        drying(cast, a_lot(cast))


def test_staff_of_the_studio_reclaim_and_nobody_else(cast: School) -> None:
    bucket = a_bucket(cast)
    batch = drying(cast, bucket)
    for person in (cast.student, cast.elsewhere.head, cast.nobody):
        with pytest.raises(PermissionDenied):
            drying(cast, bucket, by=person)
        with pytest.raises(PermissionDenied):
            end_batch(batch=batch, ready_g=5000, by=person, at=NOW)
        with pytest.raises(PermissionDenied):
            throw_away_batch(batch=batch, reason="no", by=person, at=NOW)


def test_a_mixed_bucket_lies_apart_and_stays_mixed_for_practice_only(cast: School) -> None:
    pure, mixed = a_bucket(cast), a_bucket(cast, mixed=True)
    assert pure != mixed
    assert buckets_waiting(cast.head) == [pure, mixed]
    lot = end_batch(batch=drying(cast, mixed), ready_g=5000, by=cast.head, at=NOW)
    assert lot.mixed
    with pytest.raises(Refused, match=r"of several bodies: .* It is for practice only"):
        issue_clay(pot=a_pot(cast), lot=lot, grams=1000, by=cast.teacher, at=NOW)
    issue_to_class(section=cast.section, lot=lot, grams=1000, by=cast.teacher, at=NOW)
    assert left_g(lot) == 4000
    assert not Lot.objects.for_pots().filter(pk=lot.pk).exists()


@pytest.mark.django_db(transaction=True)
def test_a_batch_that_two_end_at_once_is_one_lot(cast: School) -> None:
    batch = drying(cast, a_bucket(cast))
    said = at_once(
        *(
            lambda by=by: end_batch(batch=batch, ready_g=5000, by=by, at=NOW)
            for by in (cast.technician, cast.head)
        )
    )
    assert said == ["", "This batch was weighed already and is a lot."]
    assert Entry.objects.filter(made_from=batch.out).count() == 1
