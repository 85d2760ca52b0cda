"""Pots that stand in or on each other move, are pinned, taken out and fired together."""

from datetime import timedelta
from math import hypot

import pytest

from studio.errors import Conflict, Refused
from studio.kilns.models import Load, Placement
from studio.kilns.selectors.moving import Spot, spot_of
from studio.kilns.services.firing import Outcome, light, shut_off, unload
from studio.kilns.services.loads import pin_pots, place_anew, place_pots, take_out
from studio.kilns.services.moving_pots import move_pot
from studio.kilns.services.slots import cancel_slot
from studio.ware.models import Pot, Stage
from tests.cast import NOW, School
from tests.studio.kilns.loading import wrong_with
from tests.studio.kilns.nesting import BOWL, CUP, a_load, at, by_itself, nest, row
from tests.studio.kilns.services.test_firing import EVENING

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def test_by_itself_again_it_has_a_place_where_it_fits_and_the_rest_stays(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    nest(cast, slot, cup, bowl, 200)
    before = spot_of(row(bowl))
    by_itself(cast, slot, cup)
    guest, host = row(cup), row(bowl)
    assert (guest.host, host.together_mm, spot_of(host)) == (None, None, before)
    # Circles of 100 and 40 mm in radius and 10 mm of clearance.
    assert guest.layer or hypot(guest.x_mm - host.x_mm, guest.y_mm - host.y_mm) > 149.9
    assert wrong_with(slot) == []


def test_a_guest_goes_with_its_host_and_a_guest_that_is_moved_stands_by_itself(
    cast: School,
) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    at(bowl, -100, 0)
    nest(cast, slot, cup, bowl, 120)

    def put(pot: Pot, to: Spot) -> None:
        seen = spot_of(row(pot))
        move_pot(slot=slot, pot=pot, to=to, seen=seen, by=cast.technician, at=NOW)

    put(bowl, Spot(0, 100.0, 0.0, 30.0))
    assert (spot_of(row(cup)), row(cup).pinned) == (Spot(0, 100.0, 0.0, 30.0), True)
    # Put where it is, it stays in it; too near, it is refused as any pot.
    put(cup, Spot(0, 100.0, 0.0, 30.0))
    assert row(cup).host == row(bowl)
    with pytest.raises(Refused, match="overlap by"):
        put(cup, Spot(0, 0.0, 0.0))
    put(bowl, Spot(0, 100.0, 0.0))
    put(cup, Spot(0, -100.0, 0.0))
    assert (row(cup).host, row(bowl).together_mm) == (None, None)
    assert wrong_with(slot) == []


def test_on_a_new_shelf_both_stand_and_alone_on_top_it_is_said(cast: School) -> None:
    slot, (bowl, cup, other) = a_load(cast, BOWL, CUP, (100, 100, 90))
    for pot, x in ((bowl, -100), (cup, 100), (other, 180)):
        at(pot, x, 0)
    nest(cast, slot, cup, bowl, 150)
    seen = spot_of(row(bowl))
    move_pot(slot=slot, pot=bowl, to=Spot(1, 0.0, 0.0), seen=seen, by=cast.technician, at=NOW)
    # 90 mm below the new shelf and 15 mm of headroom.
    assert Load.objects.get().posts_mm == [150, None]
    assert (row(cup).layer, row(bowl).layer) == (1, 1)
    with pytest.raises(Refused, match="It stands alone on the uppermost shelf already"):
        move_pot(
            slot=slot,
            pot=bowl,
            to=Spot(2, 0.0, 0.0),
            seen=spot_of(row(bowl)),
            by=cast.technician,
            at=NOW,
        )
    assert wrong_with(slot) == []


def test_they_are_pinned_together_and_placed_anew_together(cast: School) -> None:
    slot, (bowl, cup, other) = a_load(cast, BOWL, CUP, (100, 100, 90))
    nest(cast, slot, cup, bowl, 120)
    pin_pots(slot=slot, pots=[cup], pinned=True, by=cast.technician)
    assert [row(pot).pinned for pot in (bowl, cup, other)] == [True, True, False]
    before = spot_of(row(bowl))
    assert place_anew(slot=slot, by=cast.technician, at=NOW)
    assert spot_of(row(bowl)) == spot_of(row(cup)) == before
    pin_pots(slot=slot, pots=[bowl], pinned=False, by=cast.technician)
    assert not Placement.objects.filter(pinned=True).exists()
    at(bowl, -150, 0)
    assert place_anew(slot=slot, by=cast.technician, at=NOW)
    assert spot_of(row(bowl)) == spot_of(row(cup))
    assert wrong_with(slot) == []


def test_a_host_is_taken_out_with_its_guests_only(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    nest(cast, slot, cup, bowl, 120)
    with pytest.raises(Conflict) as refusal:
        take_out(slot=slot, pots=[bowl], by=cast.technician, at=NOW)
    assert str(refusal.value) == (
        f"{cup.code} stands in or on {bowl.code}. Take it out too, or let it stand by itself first."
    )
    assert Placement.objects.count() == 2
    take_out(slot=slot, pots=[cup], by=cast.technician, at=NOW)
    assert row(bowl).together_mm is None
    place_pots(slot=slot, pots=[cup], by=cast.technician, at=NOW)
    nest(cast, slot, cup, bowl, 120)
    assert len(take_out(slot=slot, pots=[bowl, cup], by=cast.technician, at=NOW)) == 2


def test_a_firing_that_is_cancelled_lets_all_of_them_wait(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    nest(cast, slot, cup, bowl, 120)
    cancel_slot(slot=slot, by=cast.technician, at=NOW)
    assert not Placement.objects.exists()


def test_fired_they_go_on_and_one_whose_host_never_was_in_it_too(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    nest(cast, slot, cup, bowl, 120)
    by = cast.technician
    light(slot=slot, by=by, at=EVENING, part_full_reason="Only these are dry")
    with pytest.raises(Conflict, match="The kiln is lit"):
        nest(cast, slot, cup, bowl, 130)
    with pytest.raises(Conflict, match="The kiln is lit"):
        by_itself(cast, slot, cup)
    slot.refresh_from_db()
    shut_off(slot=slot, by=by, at=slot.ends_at)
    unload(
        slot=slot,
        results={bowl.pk: Outcome("left_out"), cup.pk: Outcome()},
        by=by,
        at=slot.unload_at + timedelta(hours=1),
        read_below=True,
        reached=True,
    )
    kept = Placement.objects.get()
    assert (kept.pot, kept.host, kept.done) == (cup, None, True)
    stages = {pot.pk: pot.stage for pot in Pot.objects.all()}
    assert (stages[bowl.pk], stages[cup.pk]) == (Stage.BONE_DRY, Stage.BISQUE_FIRED)
