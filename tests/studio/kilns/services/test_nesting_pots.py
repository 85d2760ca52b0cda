"""Pots of a bisque load stand in or on each other: as the measured height has room, never glazed.

Unglazed ware may touch, nest or be stacked rim to rim in a bisque; nothing glazed touches (a
teacher's published notes on loading, bchdp-i2.arcabc.ca 134042 and 256812).
"""

import pytest
from django.core.exceptions import PermissionDenied
from django.db import transaction

from studio.errors import Conflict, Refused
from studio.kilns.models import Load, Placement, Program, Slot
from studio.kilns.selectors.loads import contents, share_filled
from studio.kilns.selectors.moving import spot_of
from studio.kilns.services.loads import place_pots, take_out
from studio.kilns.services.nesting_pots import nest_pot, stand_by_itself
from studio.people.models import AuditEntry
from studio.ware.models import Pot, Stage
from tests.cast import NOW, School, school
from tests.meanwhile import Meanwhile
from tests.studio.kilns.loading import many_dry, wrong_with
from tests.studio.kilns.nesting import BOWL, CUP, a_load, at, by_itself, nest, row

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def refused(cast: School, slot: Slot, pot: Pot, host: Pot, together_mm: float) -> str:
    """What is said, and that nothing changed."""
    before = list(Placement.objects.order_by("pk").values())
    with pytest.raises(Refused) as refusal:
        nest(cast, slot, pot, host, together_mm)
    assert list(Placement.objects.order_by("pk").values()) == before
    said = " ".join(each.message for each in refusal.value.problems)
    return said.replace("\xa0", " ")


def test_a_guest_stands_at_its_hosts_place_and_takes_no_room_of_its_own(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    alone = share_filled(slot.kiln, contents(slot))
    nest(cast, slot, cup, bowl, 120)
    guest, host = row(cup), row(bowl)
    assert (guest.host, spot_of(guest), host.together_mm) == (host, spot_of(host), 120)
    load = contents(slot)
    assert [each.id for each in load.pieces] == [str(bowl.pk)]
    assert [len(each.placements) for each in load.layers] == [1]
    assert share_filled(slot.kiln, load) < alone
    assert wrong_with(slot) == []
    line = AuditEntry.objects.get(action="pot nested in its load")
    assert (line.before["host"], line.after["host"], line.after["together_mm"]) == (
        None,
        str(bowl.pk),
        120,
    )


def test_nesting_makes_room_for_a_pot_that_found_none(cast: School) -> None:
    """Circles of 200 and 80 mm with 10 mm between them reach across 290 mm: a third has no room."""
    kiln = {"shelf_width_mm": 292, "shelf_depth_mm": 292, "usable_height_mm": 250, "shelves": 1}
    slot, (bowl, cup) = a_load(cast, BOWL, CUP, **kiln)
    more = many_dry(cast, 1, sizes=((80, 80, 60),), title="One more")
    with pytest.raises(Conflict, match="No room is left"):
        place_pots(slot=slot, pots=more, by=cast.technician, at=NOW)
    nest(cast, slot, cup, bowl, 120)
    place_pots(slot=slot, pots=more, by=cast.technician, at=NOW)
    assert wrong_with(slot) == []
    # And now there is none for the cup: it is told so and stays where it is.
    with pytest.raises(Conflict, match=f"No room is left for {cup.code} in this load"):
        by_itself(cast, slot, cup)
    assert row(cup).host == row(bowl)


@pytest.mark.parametrize(
    ("together_mm", "said"),
    [
        (114, "Together they are at least as high as the tallest of them, 120 mm. Measure again."),
        (216, "On top of each other they are 210 mm high. Measure again."),
        (float("nan"), "This must be an ordinary number."),
        (float("inf"), "This must be an ordinary number."),
    ],
)
def test_together_they_are_as_high_as_two_heights_allow(
    cast: School, together_mm: float, said: str
) -> None:
    """120 and 90 mm: from the taller one alone to both on top of each other."""
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    assert refused(cast, slot, cup, bowl, together_mm) == said


@pytest.mark.parametrize(("measured", "kept"), [(117, 120), (120, 120), (210, 210), (214, 214)])
def test_a_ruler_is_a_little_off_and_the_tallest_is_cleared_all_the_same(
    cast: School, measured: float, kept: float
) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    nest(cast, slot, cup, bowl, measured)
    assert row(bowl).together_mm == kept


def two_layers(cast: School) -> tuple[Slot, Pot, Pot, Pot]:
    """Bowl and cup on posts of 150 mm, one more pot on top."""
    slot, (bowl, cup, top) = a_load(cast, BOWL, CUP, (100, 100, 100))
    at(bowl, -80, 0)
    at(cup, 150, 0)
    at(top, 0, 0, layer=1)
    Load.objects.filter(slot=slot).update(posts_mm=[150, None])
    assert wrong_with(slot) == []
    return slot, bowl, cup, top


def test_a_layer_gets_the_lowest_posts_that_clear_them_together(cast: School) -> None:
    """170 mm and 15 mm of headroom: 150 mm are too low, 200 mm the next that the kiln has."""
    slot, bowl, cup, _top = two_layers(cast)
    nest(cast, slot, cup, bowl, 170)
    assert Load.objects.get().posts_mm == [200, None]
    assert wrong_with(slot) == []


def test_without_such_posts_or_below_the_lid_they_are_refused(cast: School) -> None:
    slot, bowl, cup, _top = two_layers(cast)
    slot.kiln.posts.filter(height_mm__gt=150).delete()
    # 170 mm and 15 mm of headroom on posts of 150 mm.
    said = refused(cast, slot, cup, bowl, 170)
    assert said == f"{bowl.code} with {cup.code} is 35 mm too tall for its layer."
    nest(cast, slot, cup, bowl, 135)
    # Two shelves of 20, posts of 200, 100 + 15 above: 355 mm against 340.
    slot.kiln.posts.create(height_mm=200, sets=1)
    slot.kiln.usable_height_mm = 340
    slot.kiln.save()
    slot.refresh_from_db()
    assert "too high for the kiln" in refused(cast, slot, cup, bowl, 170)
    assert Load.objects.get().posts_mm == [150, None]


def test_a_wider_guest_needs_the_room_that_it_takes_above_its_host(cast: School) -> None:
    """A dish of 240 mm on a cup of 80: the middle of the next pot, 50 mm in radius, is 180 mm away
    with 10 mm of clearance.
    """
    slot, (cup, dish, other) = a_load(cast, CUP, (240, 240, 40), (100, 100, 90), shelf_width_mm=700)
    at(cup, 0, 0)
    at(dish, 0, 220)
    at(other, 100, 0)
    said = refused(cast, slot, dish, cup, 130)
    assert said.endswith(" overlap by 70 mm.")
    assert f"{cup.code} with {dish.code}" in said
    assert other.code in said
    at(other, 180, 0)
    nest(cast, slot, dish, cup, 130)
    assert wrong_with(slot) == []


def test_of_a_guest_longer_than_its_host_and_a_host_deeper_than_its_guest_both_are_cleared(
    cast: School,
) -> None:
    """Ovals crosswise: 200 × 80 on 100 × 160; what stands beside clears either's end."""
    slot, (host, guest, side, back) = a_load(
        cast, (100, 160, 90), (200, 80, 60), (100, 100, 90), (100, 100, 90), shelf_width_mm=700
    )
    at(host, 0, 0)
    at(guest, -220, 0)
    at(side, 160, 0)
    at(back, 0, 140)
    nest(cast, slot, guest, host, 150)
    assert wrong_with(slot) == []
    at(side, 155, 0)
    assert [each.split(" stand ")[1] for each in wrong_with(slot)] == [
        "5 mm too close to each other."
    ]
    at(side, 160, 0)
    at(back, 0, 135)
    assert [each.split(" stand ")[1] for each in wrong_with(slot)] == [
        "5 mm too close to each other."
    ]


def test_in_a_glaze_firing_nothing_touches(cast: School) -> None:
    """Nothing glazed touches (published, bchdp-i2.arcabc.ca 256812)."""
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    glaze = Program.objects.filter(studio=cast.studio, firing="glaze").first()
    Slot.objects.filter(pk=slot.pk).update(program=glaze)
    assert refused(cast, slot, cup, bowl, 120).startswith(
        "In a glaze firing no pot touches another: glaze would join them."
    )


@pytest.mark.parametrize("which", [0, 1])
def test_a_pot_that_was_glazed_or_broken_since_touches_nothing(cast: School, which: int) -> None:
    slot, pots = a_load(cast, BOWL, CUP)
    bowl, cup = pots
    Pot.objects.filter(pk=pots[which].pk).update(stage=Stage.GLAZED)
    assert refused(cast, slot, cup, bowl, 120) == f"{pots[which].code} is glazed, not bone dry."
    Pot.objects.filter(pk=pots[which].pk).update(stage=Stage.BONE_DRY, lost="broken")
    assert refused(cast, slot, cup, bowl, 120) == f"{pots[which].code} is broken."


def test_guests_carry_nothing_and_stand_in_one_pot(cast: School) -> None:
    slot, (bowl, cup, other) = a_load(cast, BOWL, CUP, (100, 100, 90))
    nest(cast, slot, cup, bowl, 120)
    assert refused(cast, slot, other, cup, 170) == (
        f"{cup.code} stands in or on {bowl.code} itself. Choose {bowl.code}, or another pot."
    )
    assert refused(cast, slot, bowl, other, 170) == (
        f"What stands in or on {bowl.code} must stand by itself first: {cup.code}."
    )
    assert refused(cast, slot, cup, other, 170) == (
        f"{cup.code} stands in or on {bowl.code} already. Let it stand by itself first."
    )
    assert refused(cast, slot, other, other, 90) == (
        "A pot can't stand in itself. Choose another one."
    )


def test_several_stand_in_one_and_it_is_measured_anew_with_all_of_them(cast: School) -> None:
    slot, (bowl, cup, other) = a_load(cast, BOWL, CUP, (70, 70, 60))
    nest(cast, slot, cup, bowl, 125)
    # Somebody who didn't see the cup measured without it.
    with pytest.raises(Conflict, match=f"What stands in or on {bowl.code} has changed meanwhile"):
        nest(cast, slot, other, bowl, 120, seen=[])
    nest(cast, slot, other, bowl, 180, seen=[cup])
    assert {each.pot for each in contents(slot).guests_of(row(bowl))} == {cup, other}
    assert row(bowl).together_mm == 180
    nest(cast, slot, cup, bowl, 160)
    assert row(bowl).together_mm == 160
    by_itself(cast, slot, cup)
    assert row(bowl).together_mm == 160
    by_itself(cast, slot, other)
    assert row(bowl).together_mm is None


def test_a_second_tap_changes_nothing(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    for _again in range(2):
        nest(cast, slot, cup, bowl, 120, seen=[])
    assert AuditEntry.objects.filter(action="pot nested in its load").count() == 1
    places = {spot_of(by_itself(cast, slot, cup)) for _again in range(2)}
    assert len(places) == 1
    assert AuditEntry.objects.filter(action="pot stands by itself").count() == 1


def test_only_staff_of_the_studio_nest_pots_of_the_load(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    for by in (cast.student, cast.elsewhere.technician):
        with pytest.raises(PermissionDenied):
            nest_pot(slot=slot, pot=cup, host=bowl, together_mm=120, seen=[], by=by)
        with pytest.raises(PermissionDenied):
            stand_by_itself(slot=slot, pot=cup, by=by, at=NOW)
    take_out(slot=slot, pots=[bowl], by=cast.technician, at=NOW)
    with pytest.raises(Conflict, match="isn't in the load any more"):
        nest_pot(slot=slot, pot=cup, host=bowl, together_mm=120, seen=[], by=cast.technician)


@pytest.mark.django_db(transaction=True)
def test_of_two_who_put_pots_into_one_the_second_measures_again() -> None:
    cast = school()
    slot, (bowl, cup, other) = a_load(cast, BOWL, CUP, (70, 70, 60))

    def act() -> None:
        nest_pot(slot=slot, pot=other, host=bowl, together_mm=120, seen=[], by=cast.head)

    with transaction.atomic():
        nest(cast, slot, cup, bowl, 150, seen=[])
        meanwhile = Meanwhile(act)
    refusal = meanwhile.ended()
    assert isinstance(refusal, Conflict)
    assert str(refusal).startswith(f"What stands in or on {bowl.code} has changed meanwhile.")
    assert (row(other).host, row(bowl).together_mm) == (None, 150)


@pytest.mark.django_db(transaction=True)
def test_of_two_of_whom_one_takes_the_host_out_one_reads_why_not() -> None:
    cast = school()
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)

    def act() -> None:
        take_out(slot=slot, pots=[bowl], by=cast.head, at=NOW)

    with transaction.atomic():
        nest(cast, slot, cup, bowl, 120)
        meanwhile = Meanwhile(act)
    refusal = meanwhile.ended()
    assert isinstance(refusal, Conflict)
    assert str(refusal).startswith(f"{cup.code} stands in or on {bowl.code}.")
    assert row(cup).host == row(bowl)
