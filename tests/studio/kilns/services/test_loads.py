"""Pots in a load stand soundly, each once, and whoever doesn't fit is named with the reason."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Conflict, Refused
from studio.kilns.models import Load, Placement, Slot
from studio.kilns.selectors.loads import contents
from studio.kilns.services import loads
from studio.kilns.services.firing import light
from studio.kilns.services.loads import pin_pots, place_anew, place_pots, take_out, work_out
from studio.kilns.services.slots import cancel_slot
from studio.people.models import AuditEntry
from studio.room.models import Kiln
from studio.room.services.kilns import Posts
from studio.ware.models import Pot
from studio.ware.services import check_dryness, lose_pots, withdraw_greenware
from tests.cast import NOW, School
from tests.studio.kilns.kiln_room import a_kiln, a_slot, program
from tests.studio.kilns.loading import LATER, again, many_dry, wrong_with
from tests.studio.ware.pots import a_glaze, a_pot, dried, glazed, move

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def load(slot: Slot, pots: list[Pot], cast: School) -> list[str]:
    """Puts them in; the reasons of those left out."""
    by = cast.technician
    return [each.reason for each in place_pots(slot=slot, pots=pots, by=by, at=LATER).left_out]


def stands(slot: Slot) -> dict[object, tuple[int, float, float]]:
    return {each.pot_id: (each.layer, each.x_mm, each.y_mm) for each in contents(slot).placements}


def test_dry_pots_go_in_at_their_checked_sizes_and_stand_soundly(cast: School) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 6)
    assert load(slot, pots, cast) == []
    assert wrong_with(slot) == []
    first = contents(slot).placements[0]
    check = first.pot.greenware_checks.get()
    assert (first.front_mm, first.depth_mm, first.height_mm) == (
        check.front_mm,
        check.depth_mm,
        check.height_mm,
    )
    assert AuditEntry.objects.get(action="pots placed").after["pots"] == [
        str(pot.pk) for pot in pots
    ]


def test_what_stands_stays_where_it_is_when_more_goes_in_or_something_comes_out(
    cast: School,
) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 9)
    load(slot, pots[:4], cast)
    before = stands(slot)
    load(slot, pots[4:], cast)
    assert {pk: at for pk, at in stands(slot).items() if pk in before} == before
    take_out(slot=slot, pots=pots[:2], by=cast.technician, at=LATER)
    after = stands(slot)
    assert set(after) == {pot.pk for pot in pots[2:]}
    assert wrong_with(slot) == []


def test_a_pot_that_is_too_tall_is_named_with_both_heights_and_the_others_go_in(
    cast: School,
) -> None:
    kiln = a_kiln(cast.technician, usable_height_mm=315)
    slot = a_slot(cast.technician, kiln=kiln)
    low, tall = many_dry(cast, 2, sizes=((120, 120, 140), (120, 120, 310)))
    reasons = load(slot, [tall, low], cast)
    (reason,) = reasons
    assert reason == (
        f"{tall.code} is 31.0\xa0cm tall; under the lid of Tall kiln there are 28.0\xa0cm. "
        "Choose a larger kiln."
    )
    assert set(stands(slot)) == {low.pk}


def test_a_pot_that_is_wider_than_the_shelf_is_named_with_both_widths(cast: School) -> None:
    kiln = a_kiln(cast.technician, shelf_width_mm=300, shelf_depth_mm=300)
    slot = a_slot(cast.technician, kiln=kiln)
    (wide,) = many_dry(cast, 1, sizes=((320, 310, 150),))
    with pytest.raises(Refused) as refusal:
        load(slot, [wide], cast)
    assert str(refusal.value.problems[0].message) == (
        f"{wide.code} is 32.0 × 31.0\xa0cm from above; the shelf of Tall kiln is 30.0\xa0cm "
        "across, and it doesn't fit on it however it is turned. Choose a larger kiln."
    )
    assert not Load.objects.exists()


def test_more_layers_than_shelves_are_not_made(cast: School) -> None:
    kiln = a_kiln(cast.technician, shelves=1, shelf_width_mm=300, shelf_depth_mm=300)
    slot = a_slot(cast.technician, kiln=kiln)
    first, second = many_dry(cast, 2, sizes=((200, 200, 100),))
    (reason,) = load(slot, [first, second], cast)
    assert reason == (
        f"{second.code} would need one more layer, and shelves, posts or height for it are used "
        "up. Put it in another firing, or take something out."
    )


def test_posts_are_used_no_more_often_than_there_are_sets(cast: School) -> None:
    """Three layers of low pots: two sets of low posts would be needed, and there is one."""
    posts = (Posts(120, 1), Posts(200, 1))
    kiln = a_kiln(cast.technician, shelf_width_mm=300, shelf_depth_mm=300, posts=posts)
    slot = a_slot(cast.technician, kiln=kiln)
    pots = many_dry(cast, 4, sizes=((200, 200, 100),))
    assert len(load(slot, pots, cast)) == 1
    assert sorted(contents(slot).posts_mm, key=str) == [120, 200, None]
    assert wrong_with(slot) == []


def test_a_full_kiln_refuses_the_next_pot_with_the_way_out(cast: School) -> None:
    kiln = a_kiln(cast.technician, shelf_width_mm=300, shelf_depth_mm=300, usable_height_mm=250)
    slot = a_slot(cast.technician, kiln=kiln)
    first, second = many_dry(cast, 2, sizes=((200, 200, 150),))
    load(slot, [first], cast)
    with pytest.raises(Conflict, match=f"No room is left for {second.code} in this load"):
        load(slot, [second], cast)


def test_only_pots_whose_checks_stand_go_into_a_bisque(cast: School) -> None:
    slot = a_slot(cast.technician)
    wet, damp, withdrawn, lost = (a_pot(cast, f"Pot {n}") for n in range(4))
    for pot in (damp, withdrawn, lost):
        dried(pot, cast.teacher)
    after = LATER + timedelta(hours=1)
    check_dryness(pots=[damp], air_dry=False, by=cast.teacher, at=after)
    withdraw_greenware(pot=withdrawn, by=cast.teacher, at=LATER, reason="A handle is added")
    lose_pots(pots=[lost], kind="broken", by=cast.teacher, at=LATER)
    with pytest.raises(Refused) as refusal:
        load(slot, again([wet, damp, withdrawn, lost]), cast)
    said = [each.message for each in refusal.value.problems]
    assert said == [
        f"{wet.code} is wet, not bone dry.",
        f"{damp.code} was not air dry when it was checked last.",
        f"{withdrawn.code} has no greenware check: measure it first.",
        f"{lost.code} is broken.",
    ]
    assert not Placement.objects.exists()


def test_a_glaze_firing_takes_pots_whose_glaze_ripens_at_its_cone(cast: School) -> None:
    fits = glazed(a_pot(cast, "One"), cast)
    cool = glazed(a_pot(cast, "Two"), cast, a_glaze(cast, "Majolica", "06", "04"))
    raw = dried(a_pot(cast, "Three"), cast.teacher)
    a_kiln(cast.technician)
    glaze = next(
        each
        for each in type(program(cast.head)).objects.filter(studio=cast.studio, firing="glaze")
        if "cone 6" in each.name
    )
    slot = a_slot(cast.technician, program=glaze)
    assert load(slot, [fits, cool, raw], cast) == [
        f"The glaze on {cool.code} is for cone 06 to 04; this program reaches cone 6.",
        f"{raw.code} is bone dry, not glazed.",
    ]
    assert set(stands(slot)) == {fits.pk}


def test_a_pot_is_in_one_open_load_at_most(cast: School) -> None:
    slot = a_slot(cast.technician)
    other = a_slot(cast.technician, kiln=a_kiln(cast.technician, name="Small kiln"))
    (pot,) = many_dry(cast, 1)
    load(slot, [pot], cast)
    there = (
        f"{pot.code} is in the load of Tall kiln, Thursday 19 March 2026 at 20:00. Take "
        "it out there first."
    )
    with pytest.raises(Conflict, match=there.replace(".", r"\.")):
        load(other, [pot], cast)
    with pytest.raises(Conflict, match="is in this load already"):
        load(slot, [pot], cast)
    take_out(slot=slot, pots=[pot], by=cast.technician, at=LATER)
    assert load(other, [pot], cast) == []


def test_taking_out_twice_takes_out_once(cast: School) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 3)
    load(slot, pots, cast)
    assert set(take_out(slot=slot, pots=pots, by=cast.technician, at=LATER)) == set(pots)
    assert take_out(slot=slot, pots=pots, by=cast.technician, at=LATER) == []
    assert contents(slot).posts_mm == ()
    assert AuditEntry.objects.filter(action="pots taken out").count() == 1


def test_pinned_pots_stay_while_the_rest_is_placed_anew(cast: School) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 8)
    load(slot, pots, cast)
    take_out(slot=slot, pots=pots[:3], by=cast.technician, at=LATER)
    pin_pots(slot=slot, pots=pots[3:5], pinned=True, by=cast.technician)
    before = stands(slot)
    assert place_anew(slot=slot, by=cast.technician, at=LATER)
    after = stands(slot)
    assert {pot.pk: after[pot.pk] for pot in pots[3:5]} == {
        pot.pk: before[pot.pk] for pot in pots[3:5]
    }
    assert set(after) == set(before)
    assert wrong_with(slot) == []
    assert len(pin_pots(slot=slot, pots=pots[3:5], pinned=False, by=cast.technician)) == 2


def test_nothing_is_placed_anew_in_a_load_that_is_pinned_or_empty(cast: School) -> None:
    slot = a_slot(cast.technician)
    assert not place_anew(slot=slot, by=cast.technician, at=LATER)
    pots = many_dry(cast, 2)
    load(slot, pots, cast)
    pin_pots(slot=slot, pots=pots, pinned=True, by=cast.technician)
    assert not place_anew(slot=slot, by=cast.technician, at=LATER)


def test_a_layout_that_was_worked_out_before_somebody_else_loaded_is_made_anew(
    cast: School,
) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 8)
    early = work_out(slot=slot, pots=pots[:4], by=cast.teacher)
    load(slot, pots[4:], cast)
    loaded = place_pots(slot=slot, pots=pots[:4], by=cast.teacher, at=LATER, worked_out=early)
    assert len(loaded.placed) == 4
    assert wrong_with(slot) == []


def test_nothing_goes_in_or_out_once_it_is_lit_or_cancelled(cast: School) -> None:
    slot = a_slot(cast.technician)
    one, two = many_dry(cast, 2)
    load(slot, [one], cast)
    light(slot=slot, by=cast.technician, at=LATER, part_full_reason="The only one that is dry")
    for act in (
        lambda: load(slot, [two], cast),
        lambda: take_out(slot=slot, pots=[one], by=cast.technician, at=LATER),
        lambda: pin_pots(slot=slot, pots=[one], pinned=True, by=cast.technician),
        lambda: place_anew(slot=slot, by=cast.technician, at=LATER),
    ):
        with pytest.raises(Conflict, match="The kiln is lit: nothing goes in or out"):
            act()
    gone = a_slot(cast.technician, kiln=a_kiln(cast.technician, name="Small kiln"))
    cancel_slot(slot=gone, by=cast.technician, at=NOW)
    with pytest.raises(Conflict, match="This firing is cancelled"):
        load(gone, [two], cast)


def test_students_and_other_studios_load_nothing(cast: School) -> None:
    slot = a_slot(cast.technician)
    (pot,) = many_dry(cast, 1)
    for by in (cast.student, cast.elsewhere.technician, cast.nobody):
        with pytest.raises(PermissionDenied):
            place_pots(slot=slot, pots=[pot], by=by, at=LATER)
        with pytest.raises(PermissionDenied):
            take_out(slot=slot, pots=[pot], by=by, at=LATER)
        with pytest.raises(PermissionDenied):
            place_anew(slot=slot, by=by, at=LATER)


def test_a_teacher_loads_pots_of_other_classes_too_since_the_kiln_is_shared(cast: School) -> None:
    slot = a_slot(cast.technician)
    (pot,) = many_dry(cast, 1)
    assert len(place_pots(slot=slot, pots=[pot], by=cast.other_teacher, at=LATER).placed) == 1


def test_which_pots_must_be_said_and_they_are_of_this_studio(cast: School) -> None:
    slot = a_slot(cast.technician)
    (pot,) = many_dry(cast, 1)
    with pytest.raises(Refused, match="Choose at least one pot"):
        load(slot, [], cast)
    with pytest.raises(Refused, match="at most 150 pots at once"):
        load(slot, [pot] * 151, cast)
    there = a_slot(cast.elsewhere.technician)
    with pytest.raises(Refused, match="Choose pots of this studio"):
        place_pots(slot=there, pots=[pot], by=cast.elsewhere.technician, at=LATER)


def test_the_same_pot_named_twice_goes_in_once(cast: School) -> None:
    slot = a_slot(cast.technician)
    (pot,) = many_dry(cast, 1)
    assert load(slot, [pot, pot], cast) == []
    assert Placement.objects.count() == 1


def test_a_pot_that_moved_back_stays_in_the_load_until_it_is_taken_out(cast: School) -> None:
    slot = a_slot(cast.technician)
    (pot,) = many_dry(cast, 1)
    load(slot, [pot], cast)
    move(pot, "leather_hard", cast.teacher, reason="Feels cold still")
    with pytest.raises(Refused, match=r"not bone dry\. Take it out, or check it again"):
        light(slot=slot, by=cast.technician, at=LATER, part_full_reason="One")


def test_pinning_what_is_pinned_changes_nothing(cast: School) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 1)
    load(slot, pots, cast)
    assert len(pin_pots(slot=slot, pots=pots, pinned=True, by=cast.technician)) == 1
    assert pin_pots(slot=slot, pots=pots, pinned=True, by=cast.technician) == []
    assert AuditEntry.objects.filter(action="pots pinned").count() == 1


def test_a_pot_pinned_while_a_new_layout_is_worked_out_stays(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    slot = a_slot(cast.technician)
    pots = many_dry(cast, 6)
    load(slot, pots, cast)
    take_out(slot=slot, pots=pots[:2], by=cast.technician, at=LATER)
    before = stands(slot)
    lock = loads.locked_slot

    def pinned_meanwhile(slot: Slot) -> Slot:
        Placement.objects.filter(pot=pots[3]).update(pinned=True)
        return lock(slot)

    monkeypatch.setattr(loads, "locked_slot", pinned_meanwhile)
    assert place_anew(slot=slot, by=cast.technician, at=LATER)
    assert stands(slot)[pots[3].pk] == before[pots[3].pk]
    assert wrong_with(slot) == []


def test_a_kiln_measured_anew_while_a_new_layout_is_worked_out_holds_what_is_placed(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    slot = a_slot(cast.technician)
    load(slot, many_dry(cast, 6), cast)
    lock = loads.locked_slot

    def widened_meanwhile(slot: Slot) -> Slot:
        Kiln.objects.filter(pk=slot.kiln_id).update(clearance_mm=40)
        return lock(slot)

    monkeypatch.setattr(loads, "locked_slot", widened_meanwhile)
    assert place_anew(slot=slot, by=cast.technician, at=LATER)
    assert wrong_with(lock(slot)) == []


def test_an_outline_that_cannot_be_packed_is_refused_with_what_is_wrong(cast: School) -> None:
    slot = a_slot(cast.technician)
    (pot,) = many_dry(cast, 1)
    pot.plan.inputs["outline"] = {"shape": "traced", "points": [[0, 0], [1, 0], [2, 0]]}
    pot.plan.save()
    with pytest.raises(Refused, match="needs at least three points around an area"):
        load(slot, again([pot]), cast)


def test_an_angular_shelf_is_named_by_both_its_sides(cast: School) -> None:
    kiln = a_kiln(cast.technician, shelf_shape="rectangle", shelf_width_mm=400, shelf_depth_mm=250)
    slot = a_slot(cast.technician, kiln=kiln)
    with pytest.raises(Refused, match=r"the shelf of Tall kiln is 40\.0 × 25\.0\xa0cm, and"):
        load(slot, many_dry(cast, 1, sizes=((300, 300, 150),)), cast)
