"""Loads with half shelves as they are kept: placed, taken out of, moved in, printed, told."""

from contextlib import suppress

import pytest
from django.urls import reverse

from studio.errors import Conflict, Refused
from studio.kilns.models import Load, Placement, Slot
from studio.kilns.selectors.loads import contents, furniture_of, layer_name, share_filled, stock_of
from studio.kilns.selectors.moving import Spot, spot_of, tried
from studio.kilns.selectors.schedule import monday_of, week_print
from studio.kilns.services.loads import pin_pots, place_anew, place_pots, take_out
from studio.kilns.services.moving_pots import move_pot
from studio.kilns.sheets.schedule import schedule_pdf
from studio.paper.pages import A4
from studio.room.models import Kiln
from studio.room.services.kilns import Posts
from studio.ware.models import Pot
from tests.cast import NOW, School, signed_in
from tests.studio.kilns.kiln_room import a_kiln, a_slot, text_of
from tests.studio.kilns.loading import many_dry
from tests.studio.kilns.test_halves import wrong

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

# Shelf 20 + 330 + 15 = 365 of 400 mm; beside it (20 + 100) × 3 + ... no more than three storeys.
TALL, LOW = (150, 150, 330), (110, 110, 80)


def halved(cast: School, low: int = 14) -> Slot:
    """A tall pot and many low ones, more than one whole layer takes."""
    kiln = a_kiln(
        cast.technician,
        shelves=2,
        half_shelves=2,
        usable_height_mm=400,
        posts=(Posts(100, 3), Posts(150, 1)),
    )
    slot = a_slot(cast.technician, kiln=kiln)
    pots = many_dry(cast, low + 1, sizes=(TALL, *[LOW] * low))
    loaded = place_pots(slot=slot, pots=pots, by=cast.technician, at=NOW)
    assert loaded.left_out == []
    return slot


def faults(slot: Slot) -> list[str]:
    load, kiln = contents(slot), slot.kiln
    found = wrong(furniture_of(kiln), stock_of(kiln), load.pieces, load.layers)
    return found + ["a pot in no layer"] * any(
        each.layer >= len(load.posts_mm) for each in load.placements
    )


def test_halves_take_what_whole_shelves_cannot(cast: School) -> None:
    slot = halved(cast)
    load = contents(slot)
    assert load.parts[0] == "whole"
    assert len(load.parts) > 1
    assert set(load.parts[1:]) <= {"left", "right"}
    assert faults(slot) == []
    assert 0 < share_filled(slot.kiln, load) <= 1
    bare = contents(slot)
    Kiln.objects.filter(pk=slot.kiln_id).update(half_shelves=0)
    take_out(slot=slot, pots=bare.pots, by=cast.technician, at=NOW)
    slot.kiln.refresh_from_db()
    again = place_pots(slot=slot, pots=bare.pots, by=cast.technician, at=NOW)
    assert again.left_out


def test_taking_out_and_placing_anew_leave_a_sound_load(cast: School) -> None:
    slot = halved(cast)
    load = contents(slot)
    top = [each.pot for each in load.placements if each.layer == len(load.parts) - 1]
    take_out(slot=slot, pots=top, by=cast.technician, at=NOW)
    assert len(contents(slot).parts) == len(load.parts) - 1
    assert faults(slot) == []
    pin_pots(slot=slot, pots=[contents(slot).pots[0]], pinned=True, by=cast.technician)
    assert place_anew(slot=slot, by=cast.technician, at=NOW) in {True, False}
    assert faults(slot) == []
    with suppress(Conflict):  # around the pinned one the others may stand so that no room is left
        place_pots(slot=slot, pots=top, by=cast.technician, at=NOW)
    assert faults(slot) == []
    take_out(slot=slot, pots=contents(slot).pots, by=cast.technician, at=NOW)
    kept = Load.objects.get(slot=slot)
    assert (kept.posts_mm, kept.parts, kept.right_post_mm) == ([], [], None)


def two_pots(cast: School) -> tuple[Slot, Pot, Pot]:
    """The first on the left, the second on the right of the only shelf."""
    kiln = a_kiln(cast.technician, half_shelves=2, posts=(Posts(100, 3), Posts(150, 1)))
    slot = a_slot(cast.technician, kiln=kiln)
    pots = many_dry(cast, 4, sizes=((100, 100, 80),))
    place_pots(slot=slot, pots=pots, by=cast.technician, at=NOW)
    spots = ((-150.0, -100.0), (150.0, 0.0), (-150.0, 100.0), (150.0, 120.0))
    for pot, (x_mm, y_mm) in zip(pots, spots, strict=True):
        Placement.objects.filter(pot=pot).update(layer=0, x_mm=x_mm, y_mm=y_mm)
    return slot, pots[0], pots[1]


def put(cast: School, slot: Slot, pot: Pot, to: Spot) -> Placement:
    seen = spot_of(Placement.objects.get(pot=pot))
    return move_pot(slot=slot, pot=pot, to=to, seen=seen, by=cast.technician, at=NOW)


def refused(cast: School, slot: Slot, pot: Pot, to: Spot) -> str:
    with pytest.raises(Refused) as refusal:
        put(cast, slot, pot, to)
    said = " ".join(each.message for each in refusal.value.problems)
    assert said == " ".join(tried(slot, contents(slot), pot.pk, to).problems)
    return said.replace("\xa0", " ")


def test_a_pot_goes_onto_a_new_half_shelf_and_numbers_follow(cast: School) -> None:
    slot, first, second = two_pots(cast)
    put(cast, slot, second, Spot(1, 100, 0, part="right"))
    load = contents(slot)
    assert (load.posts_mm, load.parts, load.right_post_mm) == (
        (None, None),
        ("whole", "right"),
        100,
    )
    moved = put(cast, slot, first, Spot(2, -100, 0, part="left"))
    assert moved.layer == 1
    assert Placement.objects.get(pot=second).layer == 2
    load = contents(slot)
    assert (load.posts_mm, load.parts, load.right_post_mm) == (
        (100, None, None),
        ("whole", "left", "right"),
        100,
    )
    assert faults(slot) == []
    assert [layer_name(n, load.parts) for n in range(3)] == [
        "Layer 1, at the bottom",
        "Layer 2, left half, on top",
        "Layer 2, right half, on top",
    ]
    third = next(each.pot for each in load.placements if each.layer == 0)
    assert "no more half shelves" in refused(cast, slot, third, Spot(3, 0, 0, part="left"))
    assert "No whole shelf stands on half ones." in refused(cast, slot, third, Spot(3, 0, 0))
    assert "alone on the uppermost" in refused(cast, slot, first, Spot(3, -90, 0, part="left"))
    # Back down: its shelf goes, and the right one is the second layer again.
    put(cast, slot, first, Spot(0, -150, -100))
    assert Placement.objects.get(pot=second).layer == 1
    assert contents(slot).parts == ("whole", "right")
    assert faults(slot) == []


def test_over_the_middle_line_it_does_not_go(cast: School) -> None:
    slot, _first, second = two_pots(cast)
    put(cast, slot, second, Spot(1, 100, 0, part="right"))
    # 50 mm from the middle to the edge and half of 10 mm: 55 are asked.
    said = refused(cast, slot, second, Spot(1, 45, 0))
    assert "stands 1.0 cm too close to the middle line." in said
    assert "over the shelf's edge" in refused(cast, slot, second, Spot(1, 250, 0))


def test_posts_that_do_not_clear_a_side_hold_nothing_there(cast: School) -> None:
    slot, _first, second = two_pots(cast)
    Placement.objects.filter(load__slot=slot).exclude(pot=second).update(height_mm=200)
    said = refused(cast, slot, second, Spot(1, -100, 0, part="left"))
    assert "No posts are left that are high enough" in said


def test_the_page_the_print_and_the_api_tell_halves(cast: School) -> None:
    slot, first, second = two_pots(cast)
    put(cast, slot, second, Spot(1, 100, 0, part="right"))
    client = signed_in(cast.technician)
    answer = client.get(reverse("load", args=[slot.pk]))
    page = text_of(answer)
    assert "Layer 2, right half, on top" in page
    assert "right half: posts 10" in page
    assert answer.content.count(b'class="layer-middle"') == 2
    assert answer.content.count(b'class="layer-whole"') == 1
    move = text_of(client.get(reverse("load_move", args=[slot.pk, first.pk])))
    assert "A new half shelf on the left" in move
    assert "A new shelf on top" not in move
    told = client.get(f"/api/slots/{slot.pk}/load/").json()
    assert (told["parts"], told["right_post_mm"]) == (["whole", "right"], 100.0)
    kiln = client.get(f"/api/kilns/{slot.kiln_id}/").json()
    assert kiln["half_shelves"] == 2


def test_the_print_draws_halves_to_the_same_scale(cast: School) -> None:
    slot, _first, second = two_pots(cast)
    put(cast, slot, second, Spot(1, 100, 0, part="right"))
    day = slot.starts_at.date()
    week = week_print(cast.studio, monday_of(day), printed_on=day, address=lambda _slot: "x")
    whole, right = week.firings[0].load.layers
    assert [each.name for each in (whole, right)] == [
        "Layer 1, lowest",
        "Layer 2, right half, on top",
    ]
    assert whole.posts.replace("\xa0", " ").startswith("right half: posts of 10")
    assert (whole.half, whole.has_middle, right.has_middle) == ((), True, True)
    # The kiln's shelf is 520 mm across.
    x_mm, y_mm = zip(*right.half, strict=True)
    assert (min(x_mm), max(x_mm)) == pytest.approx((0, 260))
    assert (min(y_mm), max(y_mm)) == pytest.approx((-260, 260), abs=0.1)
    assert schedule_pdf(week, A4).startswith(b"%PDF")
