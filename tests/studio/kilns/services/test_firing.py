"""A kiln is lit, logged, shut off and unloaded; each step says who, none is taken out of turn."""

from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Conflict, Refused
from studio.kilns.models import Placement, Slot
from studio.kilns.selectors.loads import PART_FULL, contents, share_filled
from studio.kilns.selectors.slots import slots_between
from studio.kilns.services.firing import (
    Outcome,
    light,
    log_entry,
    shut_off,
    undo_light,
    undo_shut_off,
    unload,
)
from studio.kilns.services.loads import place_pots
from studio.kilns.services.slots import cancel_slot
from studio.people.models import AuditEntry
from studio.room.models import Kiln
from studio.ware.models import Flaw, Loss, Pot
from studio.ware.services import lose_pots
from tests.cast import NOW, School
from tests.studio.kilns.kiln_room import a_kiln, a_slot, program
from tests.studio.kilns.loading import again, many_dry
from tests.studio.ware.pots import a_pot, glazed

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]
EVENING = NOW + timedelta(days=8, hours=10)
MORNING = EVENING + timedelta(hours=26)


def loaded(cast: School, count: int = 3, **changed: Any) -> tuple[Slot, list[Pot]]:
    slot = a_slot(cast.technician, **changed)
    pots = many_dry(cast, count)
    place_pots(slot=slot, pots=pots, by=cast.technician, at=NOW)
    return slot, pots


def lit(cast: School, count: int = 3, **changed: Any) -> tuple[Slot, list[Pot]]:
    slot, pots = loaded(cast, count, **changed)
    light(slot=slot, by=cast.technician, at=EVENING, part_full_reason="Needed before Thursday")
    return slot, pots


def off(cast: School, count: int = 3, **changed: Any) -> tuple[Slot, list[Pot]]:
    slot, pots = lit(cast, count, **changed)
    shut_off(slot=slot, by=cast.teacher, at=MORNING, witness_cone="06 down")
    return slot, pots


def all_fine(pots: list[Pot], **other: Outcome) -> dict[UUID, Outcome]:
    return {pot.pk: other.get(f"n{n}", Outcome()) for n, pot in enumerate(pots)}


def test_lit_late_it_is_off_and_cool_later_by_as_much(cast: School) -> None:
    slot, _pots = loaded(cast)
    late = slot.starts_at + timedelta(hours=3)
    kept = light(slot=slot, by=cast.technician, at=late, part_full_reason="Needed soon")
    assert kept.off_due_at == slot.ends_at + timedelta(hours=3)
    assert kept.unload_due_at == slot.unload_at + timedelta(hours=3)
    # What counts afterwards is when it was seen to be off.
    seen_off = kept.off_due_at - timedelta(minutes=20)
    shut_off(slot=slot, at=seen_off, by=cast.teacher)
    kept.refresh_from_db()
    assert kept.unload_due_at == kept.unload_at + timedelta(hours=3, minutes=-20)
    after_plan = kept.unload_at + timedelta(hours=1)
    assert kept in slots_between(cast.studio, after_plan, after_plan + timedelta(hours=1))


def test_a_firing_goes_its_way_and_its_pots_come_out_bisque_fired(cast: School) -> None:
    slot, pots = lit(cast)
    log_entry(
        slot=slot, at=EVENING + timedelta(hours=2), temp_c=85, note="vent on", by=cast.teacher
    )
    shut_off(slot=slot, at=MORNING, by=cast.teacher, witness_cone="06 down")
    at = MORNING + timedelta(days=1)
    kept = unload(slot=slot, results=all_fine(pots), by=cast.technician, at=at, read_below=True)
    assert (kept.lit_by, kept.off_by, kept.unloaded_by) == (
        cast.technician,
        cast.teacher,
        cast.technician,
    )
    assert kept.witness_cone == "06 down"
    assert {pot.stage for pot in again(pots)} == {"bisque_fired"}
    entry = pots[0].stage_entries.order_by("-at").first()
    assert entry is not None
    assert entry.reason == "Unloaded from Tall kiln."
    assert set(Placement.objects.values_list("done", flat=True)) == {True}
    actions = set(AuditEntry.objects.values_list("action", flat=True))
    assert actions >= {"kiln lit", "firing logged", "shut-off confirmed", "kiln unloaded"}


def test_a_glaze_firing_leaves_pots_glaze_fired(cast: School) -> None:
    pot = glazed(a_pot(cast), cast)
    a_kiln(cast.technician)
    programs = type(program(cast.head)).objects.filter(studio=cast.studio, firing="glaze")
    slot = a_slot(cast.technician, program=next(p for p in programs if "cone 6" in p.name))
    place_pots(slot=slot, pots=[pot], by=cast.technician, at=NOW)
    light(slot=slot, by=cast.technician, at=EVENING, part_full_reason="A test")
    shut_off(slot=slot, by=cast.technician, at=MORNING)
    unload(slot=slot, results=all_fine([pot]), by=cast.technician, at=MORNING, read_below=True)
    assert again([pot])[0].stage == "glaze_fired"


def test_what_broke_is_lost_by_an_unknown_cause_until_staff_say_the_kiln(cast: School) -> None:
    slot, pots = off(cast, 4)
    results = all_fine(
        pots,
        n0=Outcome("broken", "in three"),
        n1=Outcome("broken", "burst", "kiln"),
        n2=Outcome("flaw", "hair crack at the rim", "making"),
        n3=Outcome("left_out"),
    )
    unload(slot=slot, results=results, by=cast.technician, at=MORNING, read_below=True)
    first, second, third, fourth = again(pots)
    assert (first.lost, second.lost) == ("broken", "broken")
    causes = {loss.pot_id: (loss.cause, loss.note) for loss in Loss.objects.all()}
    assert causes[first.pk] == (
        "unknown",
        "Found broken when Tall kiln was unloaded. in three",
    )
    assert causes[second.pk][0] == "kiln"
    assert third.stage == "bisque_fired"
    flaw = Flaw.objects.get()
    assert (flaw.what, flaw.cause) == ("hair crack at the rim", "making")
    line = AuditEntry.objects.get(action="flaw noted")
    assert line.after["cause"] == "making"
    assert (fourth.stage, fourth.lost) == ("bone_dry", "")
    assert not Placement.objects.filter(pot=fourth).exists()


def test_a_teacher_unloads_pots_of_other_classes_too(cast: School) -> None:
    slot, pots = off(cast, 3)
    results = all_fine(pots, n0=Outcome("broken"), n1=Outcome("flaw", "crack"))
    unload(slot=slot, results=results, by=cast.other_teacher, at=MORNING, read_below=True)
    assert again(pots)[2].stage == "bisque_fired"


def test_a_load_of_which_nothing_is_left_is_unloaded_too(cast: School) -> None:
    slot, pots = off(cast, 2)
    results = {pot.pk: Outcome("broken") for pot in pots}
    unload(slot=slot, results=results, by=cast.technician, at=MORNING, read_below=True)
    assert {pot.lost for pot in again(pots)} == {"broken"}


def test_a_pot_lost_while_the_kiln_was_on_stays_lost(cast: School) -> None:
    slot, pots = off(cast, 2)
    lose_pots(pots=[pots[0]], kind="missing", by=cast.teacher, at=MORNING)
    results = {pots[1].pk: Outcome()}
    unload(slot=slot, results=results, by=cast.technician, at=MORNING, read_below=True)
    assert again(pots)[0].stage == "bone_dry"
    assert set(Placement.objects.values_list("done", flat=True)) == {True}


def test_unloading_waits_for_the_shut_off_and_for_a_cool_kiln(cast: School) -> None:
    slot, pots = lit(cast)
    how: dict[str, Any] = {"slot": slot, "results": all_fine(pots), "by": cast.technician}
    with pytest.raises(Conflict, match="Nobody has confirmed yet that this kiln is off"):
        unload(**how, at=MORNING, read_below=True)
    shut_off(slot=slot, by=cast.technician, at=MORNING)
    with pytest.raises(Refused, match="Never open a hot kiln") as refusal:
        unload(**how, at=MORNING, read_below=False)
    assert refusal.value.problems[0].field == "read_below"
    assert "below 60\xa0°C" in str(refusal.value)
    unload(**how, at=MORNING, read_below=True, witness_cone="06 at 4 o'clock")
    with pytest.raises(Conflict, match="Joost Bakker has unloaded it already"):
        unload(**how, at=MORNING, read_below=True)
    assert Slot.objects.get().witness_cone == "06 at 4 o'clock"


def test_unloading_says_what_became_of_each_pot_or_nothing_is_written(cast: School) -> None:
    slot, pots = off(cast, 3)
    results = {pots[0].pk: Outcome("flaw"), pots[1].pk: Outcome("broken", cause="magic")}
    stranger = a_pot(cast)
    with pytest.raises(Refused) as refusal:
        unload(
            slot=slot,
            results=results | {stranger.pk: Outcome()},
            by=cast.technician,
            at=MORNING,
            read_below=True,
        )
    said = {each.field: each.message for each in refusal.value.problems}
    assert said == {
        f"results.{pots[0].pk}": (
            f"Write what is wrong with {pots[0].code}, such as “crack at the rim”."
        ),
        f"results.{pots[1].pk}": f"Choose the cause for {pots[1].code} from the list.",
        f"results.{pots[2].pk}": f"Say what became of {pots[2].code}.",
        "results": "A pot is named that isn't in this load.",
    }
    assert {pot.stage for pot in again(pots)} == {"bone_dry"}
    assert Slot.objects.get(pk=slot.pk).unloaded_at is None


def test_an_empty_kiln_is_not_lit(cast: School) -> None:
    slot = a_slot(cast.technician)
    with pytest.raises(Refused, match="Nothing is in this load yet"):
        light(slot=slot, by=cast.technician, at=EVENING)


def test_a_load_with_a_broken_pot_is_not_lit(cast: School) -> None:
    slot, pots = loaded(cast)
    lose_pots(pots=[pots[0]], kind="broken", by=cast.teacher, at=NOW)
    with pytest.raises(Refused, match=f"{pots[0].code} is broken. Take it out"):
        light(slot=slot, by=cast.technician, at=EVENING, part_full_reason="x")


def test_a_part_full_kiln_takes_a_line_of_reason_and_a_full_one_none(cast: School) -> None:
    slot, _pots = loaded(cast, 2)
    with pytest.raises(Refused, match=r"fills about \d+% of the kiln's shelves") as refusal:
        light(slot=slot, by=cast.technician, at=EVENING)
    assert refusal.value.problems[0].field == "part_full_reason"
    with pytest.raises(Refused, match="Shorten it to 200"):
        light(slot=slot, by=cast.technician, at=EVENING, part_full_reason="x" * 201)
    kept = light(slot=slot, by=cast.technician, at=EVENING, part_full_reason=" Class  ends ")
    assert kept.part_full_reason == "Class ends"


def test_a_kiln_packed_with_round_pots_counts_as_full(cast: School) -> None:
    kiln = a_kiln(cast.technician, usable_height_mm=330)
    slot = a_slot(cast.technician, kiln=kiln)
    pots = many_dry(cast, 16, sizes=((125, 125, 120),))
    place_pots(slot=slot, pots=pots, by=cast.technician, at=NOW)
    assert PART_FULL < share_filled(kiln, contents(slot)) < 0.8
    assert light(slot=slot, by=cast.technician, at=EVENING).part_full_reason == ""


def test_lighting_twice_or_a_cancelled_firing_is_a_conflict(cast: School) -> None:
    slot, _pots = lit(cast)
    with pytest.raises(Conflict, match="It is lit already, since Thursday 19 March 2026"):
        light(slot=slot, by=cast.teacher, at=EVENING)
    other = a_slot(cast.technician, kiln=a_kiln(cast.technician, name="Small kiln"))
    cancel_slot(slot=other, by=cast.technician, at=NOW)
    with pytest.raises(Conflict, match="This firing is cancelled"):
        light(slot=other, by=cast.teacher, at=EVENING)


def test_a_kiln_that_is_not_unloaded_is_not_lit_again(cast: School) -> None:
    slot, _pots = lit(cast, 3)
    later = a_slot(cast.technician, on=slot.starts_at.date() + timedelta(days=7))
    place_pots(
        slot=later,
        pots=many_dry(cast, 1, section=cast.other_section, teacher=cast.other_teacher, title="B"),
        by=cast.technician,
        at=NOW,
    )
    with pytest.raises(Conflict, match="Unload it first"):
        light(slot=later, by=cast.technician, at=EVENING, part_full_reason="x")


def test_kilns_that_never_fire_together_are_not_lit_together(cast: School) -> None:
    slot, _pots = lit(cast, 2)
    tall = Kiln.objects.get(pk=slot.kiln_id)
    small = a_kiln(cast.technician, name="Small kiln", not_together_with=[tall])
    week = slot.starts_at.date() + timedelta(days=7)
    other = a_slot(cast.technician, kiln=small, on=week)
    more = many_dry(cast, 1, section=cast.other_section, teacher=cast.other_teacher, title="B")
    place_pots(slot=other, pots=more, by=cast.technician, at=NOW)
    with pytest.raises(Conflict, match="Small kiln never fires together with Tall kiln"):
        light(slot=other, by=cast.technician, at=EVENING, part_full_reason="x")
    shut_off(slot=slot, by=cast.technician, at=MORNING)
    light(slot=other, by=cast.technician, at=MORNING, part_full_reason="x")


def test_a_mistaken_lighting_is_undone_only_while_nothing_is_logged(cast: School) -> None:
    slot, _pots = lit(cast)
    kept = undo_light(slot=slot, by=cast.technician, at=EVENING)
    assert (kept.lit_at, kept.lit_by, kept.part_full_reason) == (None, None, "")
    with pytest.raises(Conflict, match="This kiln isn't lit"):
        undo_light(slot=slot, by=cast.technician, at=EVENING)
    light(slot=slot, by=cast.technician, at=EVENING, part_full_reason="x")
    log_entry(slot=slot, at=EVENING, temp_c=20, by=cast.technician)
    with pytest.raises(Conflict, match="Something is logged already"):
        undo_light(slot=slot, by=cast.technician, at=EVENING)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({}, "Type the temperature, or a remark"),
        ({"temp_c": 1501.0}, "A kiln is between −30\xa0°C and 1500\xa0°C"),
        ({"temp_c": float("nan")}, "Read it again"),
        ({"note": "x" * 201}, "Shorten it to 200"),
        ({"temp_c": 20.0, "read_at": EVENING - timedelta(hours=1)}, "Choose a time after that"),
        ({"temp_c": 20.0, "read_at": EVENING + timedelta(hours=1)}, "is still to come"),
    ],
)
def test_what_cannot_have_been_read_is_not_logged(
    said: dict[str, Any], why: str, cast: School
) -> None:
    slot, _pots = lit(cast)
    with pytest.raises(Refused, match=why):
        log_entry(slot=slot, by=cast.technician, at=EVENING, **said)
    assert not slot.log.exists()


def test_what_was_read_a_while_ago_is_logged_at_its_moment(cast: School) -> None:
    slot, _pots = lit(cast)
    read_at = EVENING + timedelta(hours=1)
    by, at = cast.teacher, EVENING + timedelta(hours=4)
    assert log_entry(slot=slot, by=by, at=at, read_at=read_at, temp_c=85).at == read_at


def test_only_a_lit_kiln_that_is_not_unloaded_is_logged(cast: School) -> None:
    slot, pots = loaded(cast)
    with pytest.raises(Conflict, match="Say first that it is"):
        log_entry(slot=slot, at=EVENING, temp_c=20, by=cast.technician)
    light(slot=slot, by=cast.technician, at=EVENING, part_full_reason="x")
    shut_off(slot=slot, by=cast.technician, at=MORNING)
    log_entry(slot=slot, at=MORNING, temp_c=900, by=cast.technician)
    unload(slot=slot, results=all_fine(pots), by=cast.technician, at=MORNING, read_below=True)
    with pytest.raises(Conflict, match="its log is closed"):
        log_entry(slot=slot, at=MORNING, temp_c=20, by=cast.technician)


def test_pots_of_a_firing_that_was_cut_short_go_on_only_when_the_cones_say_so(
    cast: School,
) -> None:
    slot, pots = lit(cast)
    shut_off(slot=slot, by=cast.technician, at=EVENING + timedelta(minutes=1))
    how: dict[str, Any] = {"slot": slot, "by": cast.technician, "at": MORNING, "read_below": True}
    with pytest.raises(Refused, match="off before its program's end"):
        unload(results=all_fine(pots), **how)
    assert {pot.stage for pot in again(pots)} == {"bone_dry"}
    left_out = {pot.pk: Outcome("left_out") for pot in pots}
    unload(results=left_out, **how)
    assert {pot.stage for pot in again(pots)} == {"bone_dry"}


def test_a_firing_that_was_off_early_counts_when_its_cones_are_down(cast: School) -> None:
    slot, pots = lit(cast)
    shut_off(slot=slot, by=cast.technician, at=EVENING + timedelta(minutes=1))
    how: dict[str, Any] = {"slot": slot, "by": cast.technician, "at": MORNING, "read_below": True}
    unload(results=all_fine(pots), reached=True, witness_cone="06 down", **how)
    assert {pot.stage for pot in again(pots)} == {"bisque_fired"}


def test_the_shut_off_is_confirmed_by_one_person_and_can_be_taken_back(cast: School) -> None:
    slot, _pots = off(cast)
    with pytest.raises(Conflict, match="Tomas Lindqvist has confirmed already that it is off"):
        shut_off(slot=slot, by=cast.technician, at=MORNING)
    kept = undo_shut_off(slot=slot, by=cast.technician, at=MORNING)
    assert (kept.off_at, kept.off_by, kept.witness_cone) == (None, None, "")
    with pytest.raises(Conflict, match="No shut-off stands here"):
        undo_shut_off(slot=slot, by=cast.technician, at=MORNING)
    assert shut_off(slot=slot, by=cast.technician, at=MORNING).off_by == cast.technician


def test_students_and_other_studios_fire_nothing(cast: School) -> None:
    slot, pots = loaded(cast)
    for by in (cast.student, cast.elsewhere.head):
        for act in (
            lambda by=by: light(slot=slot, by=by, at=EVENING),
            lambda by=by: undo_light(slot=slot, by=by, at=EVENING),
            lambda by=by: log_entry(slot=slot, by=by, at=EVENING, temp_c=20),
            lambda by=by: shut_off(slot=slot, by=by, at=EVENING),
            lambda by=by: undo_shut_off(slot=slot, by=by, at=EVENING),
            lambda by=by: unload(
                slot=slot, results=all_fine(pots), by=by, at=EVENING, read_below=True
            ),
        ):
            with pytest.raises(PermissionDenied):
                act()
