"""A pot of a load is moved by hand: only to where it fits, and never over somebody else's move."""

from math import hypot

import pytest
from django.core.exceptions import PermissionDenied
from django.db import transaction

from studio.errors import Conflict, Refused
from studio.kilns.models import Load, Placement, Slot
from studio.kilns.selectors.loads import contents
from studio.kilns.selectors.moving import Spot, spot_of
from studio.kilns.services.firing import light
from studio.kilns.services.loads import place_anew, place_pots, take_out
from studio.kilns.services.moving_pots import move_pot
from studio.people.models import AuditEntry, Studio
from studio.room.models import Kiln
from studio.ware.models import Pot
from tests.cast import NOW, School, school
from tests.meanwhile import Meanwhile
from tests.studio.kilns.kiln_room import a_kiln, a_slot
from tests.studio.kilns.loading import many_dry, wrong_with
from tests.studio.kilns.services.test_firing import EVENING

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def a_load(cast: School, count: int = 2, size: tuple[int, int, int] = (100, 100, 90)) -> Slot:
    """Round pots on one round shelf of 520 mm; 10 mm are kept between them."""
    Studio.objects.filter(pk=cast.studio.pk).update(length_unit="mm")
    slot = a_slot(cast.technician)
    slot.studio.refresh_from_db()
    place_pots(slot=slot, pots=many_dry(cast, count, sizes=(size,)), by=cast.technician, at=NOW)
    # On the left, on the right, in front: the packing has its own mind.
    spots = ((-150.0, 0.0), (150.0, 0.0), (0.0, -150.0))
    for each, (x_mm, y_mm) in zip(contents(slot).placements, spots, strict=False):
        Placement.objects.filter(pk=each.pk).update(layer=0, x_mm=x_mm, y_mm=y_mm)
    return slot


def row(pot: Pot) -> Placement:
    return Placement.objects.get(pot=pot)


def two(slot: Slot) -> tuple[Pot, Pot]:
    first, second, *_rest = contents(slot).placements
    return first.pot, second.pot


def put(cast: School, slot: Slot, pot: Pot, to: Spot, seen: Spot | None = None) -> Placement:
    return move_pot(
        slot=slot, pot=pot, to=to, seen=seen or spot_of(row(pot)), by=cast.technician, at=NOW
    )


def refused(cast: School, slot: Slot, pot: Pot, to: Spot) -> str:
    before = spot_of(row(pot))
    with pytest.raises(Refused) as refusal:
        put(cast, slot, pot, to)
    assert spot_of(row(pot)) == before
    said = " ".join(each.message for each in refusal.value.problems)
    return said.replace("\xa0", " ")


def test_where_it_fits_it_stands_and_is_pinned(cast: School) -> None:
    slot = a_load(cast)
    first, second = two(slot)
    put(cast, slot, first, Spot(0, 100.0, 120.0, 15.0))
    put(cast, slot, second, Spot(0, -100.0, -120.0))
    kept = row(first)
    assert (spot_of(kept), kept.pinned) == (Spot(0, 100.0, 120.0, 15.0), True)
    assert wrong_with(slot) == []
    line = AuditEntry.objects.filter(action="pot moved in its load").earliest("at", "pk")
    assert (line.before["pot"], line.after["x_mm"], line.by) == (
        str(first.pk),
        100.0,
        cast.technician,
    )
    # Re-planning goes around it.
    assert place_anew(slot=slot, by=cast.technician, at=NOW) is False
    assert spot_of(row(first)) == Spot(0, 100.0, 120.0, 15.0)


@pytest.mark.parametrize("apart", [0, 60, 100, 109])
def test_two_circles_keep_their_radii_and_the_clearance_apart(cast: School, apart: int) -> None:
    """Geometry: circles of radius 50 mm with a gap of 10 mm have their middles 110 mm apart."""
    slot = a_load(cast)
    first, second = two(slot)
    put(cast, slot, first, Spot(0, -200.0, 0.0))
    put(cast, slot, second, Spot(0, 100.0, 0.0))
    said = refused(cast, slot, first, Spot(0, 100.0 - apart, 0.0))
    codes = sorted((first.code, second.code))
    assert all(code in said for code in codes)
    if apart < 100:
        assert said.endswith(f"overlap by {100 - apart} mm.")
    else:
        assert said.endswith(f"stand {110 - apart} mm too close to each other.")
    put(cast, slot, first, Spot(0, -10.0, 0.0))


@pytest.mark.parametrize(("x", "y"), [(215.0, 0.0), (0.0, -220.0), (160.0, 160.0)])
def test_on_a_round_shelf_a_pot_ends_where_the_circle_does(
    cast: School, x: float, y: float
) -> None:
    """A circle of radius 50 inside one of 260: its middle is 210 mm from the centre at most."""
    slot = a_load(cast)
    first, second = two(slot)
    put(cast, slot, second, Spot(0, -100.0, -100.0))
    over = hypot(x, y) - 210
    said = refused(cast, slot, first, Spot(0, x, y))
    assert said == f"{first.code} stands {over:.0f} mm over the shelf's edge."


def test_a_pot_is_too_tall_for_a_layer_with_lower_posts(cast: School) -> None:
    slot = a_slot(cast.technician)
    low = many_dry(cast, 12, sizes=((150, 150, 80),))
    tall = many_dry(cast, 1, sizes=((100, 100, 250),), title="Tall ones")
    place_pots(slot=slot, pots=[*low, *tall], by=cast.technician, at=NOW)
    load = contents(slot)
    assert load.posts_mm[0] == 100
    assert row(tall[0]).layer != 0
    said = refused(cast, slot, tall[0], Spot(0, 0.0, 0.0))
    # 250 mm, 15 mm of headroom, posts of 100 mm.
    assert f"{tall[0].code} is 16.5 cm too tall for its layer." in said


def test_a_new_shelf_on_top_stands_on_the_lowest_posts_that_clear_what_is_below(
    cast: School,
) -> None:
    """90 mm high with 15 mm of headroom: posts of 100 mm are too low, of 150 mm the next."""
    slot = a_load(cast)
    first, second = two(slot)
    put(cast, slot, first, Spot(1, 20.0, 30.0))
    assert Load.objects.get().posts_mm == [150, None]
    assert spot_of(row(first)) == Spot(1, 20.0, 30.0)
    assert wrong_with(slot) == []
    assert refused(cast, slot, first, Spot(2, 0.0, 0.0)) == (
        "It stands alone on the uppermost shelf already."
    )
    # Down again: the shelf goes.
    put(cast, slot, first, Spot(0, -150.0, 0.0))
    assert Load.objects.get().posts_mm == [None]
    assert row(second).layer == 0


def test_no_new_shelf_without_a_shelf_or_posts_or_room(cast: School) -> None:
    slot = a_load(cast)
    first, second = two(slot)
    Kiln.objects.filter(pk=slot.kiln_id).update(usable_height_mm=200)
    slot.kiln.refresh_from_db()
    # 150 mm of posts, two shelves of 20 mm, a pot of 90 mm with 15 mm: 295 mm.
    assert refused(cast, slot, first, Spot(1, 0.0, 0.0)) == (
        "The layers together are 95 mm too high for the kiln."
    )
    Kiln.objects.filter(pk=slot.kiln_id).update(shelves=1)
    slot.kiln.refresh_from_db()
    assert refused(cast, slot, first, Spot(1, 0.0, 0.0)) == "The kiln has no more shelves."
    Kiln.objects.filter(pk=slot.kiln_id).update(shelves=4)
    slot.kiln.refresh_from_db()
    slot.kiln.posts.filter(height_mm__gt=100).delete()
    assert refused(cast, slot, first, Spot(1, 0.0, 0.0)).startswith("No posts are left")
    assert {row(first).layer, row(second).layer} == {0}


def test_a_shelf_left_empty_on_top_goes(cast: School) -> None:
    slot = a_slot(cast.technician, kiln=a_kiln(cast.technician, usable_height_mm=500))
    pots = many_dry(cast, 3, sizes=((240, 240, 80), (240, 240, 80), (480, 480, 80)))
    place_pots(slot=slot, pots=pots[:2], by=cast.technician, at=NOW)
    wide = pots[2]
    place_pots(slot=slot, pots=[wide], by=cast.technician, at=NOW)
    take_out(slot=slot, pots=pots[:2], by=cast.technician, at=NOW)
    put(cast, slot, wide, Spot(0, 0.0, 0.0))
    assert Load.objects.get().posts_mm == [None]
    assert wrong_with(slot) == []


def test_a_pot_that_was_moved_meanwhile_stays_where_it_was_moved_to(cast: School) -> None:
    slot = a_load(cast)
    first, _second = two(slot)
    seen = spot_of(row(first))
    put(cast, slot, first, Spot(0, 120.0, 120.0))
    with pytest.raises(Conflict) as refusal:
        put(cast, slot, first, Spot(0, 120.0, -120.0), seen)
    assert str(refusal.value).startswith(f"{first.code} was moved meanwhile.")
    assert spot_of(row(first)) == Spot(0, 120.0, 120.0)
    # The same place a second time, as by a double tap, is no conflict.
    assert spot_of(put(cast, slot, first, Spot(0, 120.0, 120.0), seen)) == Spot(0, 120.0, 120.0)
    assert AuditEntry.objects.filter(action="pot moved in its load").count() == 1


def test_what_was_wrong_before_keeps_no_other_pot_from_moving(cast: School) -> None:
    slot = a_load(cast, 3)
    first, second, third = (each.pot for each in contents(slot).placements)
    Placement.objects.filter(pot__in=[second, third]).update(x_mm=0, y_mm=-150)
    Placement.objects.filter(pot=first).update(x_mm=-150, y_mm=0)
    assert wrong_with(slot) != []
    put(cast, slot, first, Spot(0, 0.0, 150.0))
    put(cast, slot, second, Spot(0, 0.0, 0.0))
    assert wrong_with(slot) == []


def test_nothing_moves_in_a_lit_kiln_nor_a_pot_that_is_out(cast: School) -> None:
    slot = a_load(cast)
    first, second = two(slot)
    take_out(slot=slot, pots=[second], by=cast.technician, at=NOW)
    with pytest.raises(Conflict, match="isn't in the load any more"):
        move_pot(
            slot=slot,
            pot=second,
            to=Spot(0, 0, 0),
            seen=Spot(0, 0, 0),
            by=cast.technician,
            at=NOW,
        )
    light(slot=slot, by=cast.technician, at=EVENING, part_full_reason="Needed")
    with pytest.raises(Conflict, match="The kiln is lit"):
        put(cast, slot, first, Spot(0, 0.0, 0.0))


@pytest.mark.parametrize(
    ("to", "said"),
    [
        (Spot(2, 0.0, 0.0), "Choose one of the layers of this load."),
        (Spot(-1, 0.0, 0.0), "Choose one of the layers of this load."),
        (Spot(0, float("nan"), 0.0), "This must be an ordinary number."),
        (Spot(0, 0.0, 1e9), "This must be an ordinary number."),
        (Spot(0, 0.0, 0.0, float("inf")), "This must be an ordinary number."),
    ],
)
def test_a_place_that_is_none_is_refused(cast: School, to: Spot, said: str) -> None:
    slot = a_load(cast)
    assert refused(cast, slot, two(slot)[0], to) == said


def test_only_staff_of_the_studio_move_pots(cast: School) -> None:
    slot = a_load(cast)
    first, _second = two(slot)
    seen = spot_of(row(first))
    for by in (cast.student, cast.elsewhere.technician):
        with pytest.raises(PermissionDenied):
            move_pot(slot=slot, pot=first, to=Spot(0, 0, 0), seen=seen, by=by, at=NOW)


@pytest.mark.django_db(transaction=True)
def test_of_two_who_move_pots_to_one_place_one_reads_why_not() -> None:
    cast = school()
    slot = a_load(cast)
    first, second = two(slot)
    place = Spot(0, 0.0, 150.0)

    def other() -> None:
        move_pot(slot=slot, pot=second, to=place, seen=spot_of(row(second)), by=cast.head, at=NOW)

    with transaction.atomic():
        put(cast, slot, first, place)
        meanwhile = Meanwhile(other)
    refusal = meanwhile.ended()
    assert isinstance(refusal, Refused)
    assert "overlap by 100\xa0mm" in str(refusal)
    assert spot_of(row(first)) == place
    assert wrong_with(slot) == []
