"""Pots come to a stage: who may say so, what has to be there, all or none."""

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from studio.ware.models import Pot, StageEntry
from studio.ware.services import (
    come_to_stage,
    cover,
    lose_pots,
    put_in_place,
    say_built,
    say_not_built,
)
from tests.cast import NOW, School
from tests.studio.ware.pots import LATER, a_place, a_pot, again, bisqued, check, dried, move

pytestmark = pytest.mark.both_databases


def test_a_student_says_that_their_own_pot_is_leather_hard(cast: School) -> None:
    pot = move(a_pot(cast), "leather_hard", cast.student, at=LATER)
    assert (pot.stage, pot.stage_at) == ("leather_hard", LATER)
    entry = StageEntry.objects.get(pot=pot, stage="leather_hard")
    assert (entry.before, entry.by, entry.at) == ("wet", cast.student, LATER)
    kept = AuditEntry.objects.get(action="pot came to a stage")
    assert (kept.by, kept.before) == (cast.student, {"stage": "wet"})
    assert kept.after == {"stage": "leather_hard", "reason": ""}


def test_a_student_goes_no_further_than_leather_hard(cast: School) -> None:
    pot = a_pot(cast)
    move(pot, "leather_hard", cast.student)
    check(pot, cast.teacher)
    with pytest.raises(Refused, match="Your teacher puts down when a pot is bone dry"):
        move(pot, "bone_dry", cast.student)
    with pytest.raises(Refused, match="Show them"):
        move(pot, "wet", cast.student, reason="It is soft")


@pytest.mark.parametrize("who", ["classmate", "other_teacher", "nobody"])
def test_nobody_moves_a_pot_that_they_don_t_see(cast: School, who: str) -> None:
    pot = a_pot(cast)
    for by in (getattr(cast, who), cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            move(pot, "leather_hard", by)


def test_a_technician_moves_any_pot_of_the_studio(cast: School) -> None:
    assert move(a_pot(cast), "leather_hard", cast.technician).stage == "leather_hard"


def test_many_move_together_or_not_at_all(cast: School) -> None:
    first, second = a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)
    bisqued(second, cast.teacher)
    with pytest.raises(Refused) as refused:
        come_to_stage(pots=[first, second], stage="glazed", by=cast.teacher, at=NOW)
    [problem] = refused.value.problems
    assert problem.field == "pots"
    assert problem.message == (
        f"{first.code} is wet; it can't come to glazed in one step. Put down the steps between."
    )
    assert again(second).stage == "bisque_fired"


def test_one_that_is_there_already_stays_and_a_second_tap_writes_nothing(cast: School) -> None:
    first, second = a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)
    move(first, "leather_hard", cast.teacher)
    for _tap in range(2):
        come_to_stage(pots=[first, second, first], stage="leather_hard", by=cast.teacher, at=LATER)
    assert again(first).stage_at == NOW
    assert again(second).stage_at == LATER
    assert StageEntry.objects.filter(stage="leather_hard").count() == 2


def test_nothing_is_bone_dry_without_a_greenware_check(cast: School) -> None:
    pot = move(a_pot(cast), "leather_hard", cast.teacher)
    with pytest.raises(Refused, match="Check it before it is bone dry"):
        move(pot, "bone_dry", cast.teacher)
    check(pot, cast.teacher)
    assert move(pot, "bone_dry", cast.teacher).stage == "bone_dry"


def test_fired_by_hand_needs_a_reason(cast: School) -> None:
    pot = dried(a_pot(cast), cast.teacher)
    with pytest.raises(Refused, match="when its kiln is unloaded") as refused:
        move(pot, "bisque_fired", cast.teacher, reason="  ")
    assert refused.value.problems[0].field == "reason"
    move(pot, "bisque_fired", cast.teacher, reason="Fired in the neighbour's kiln")
    assert StageEntry.objects.get(pot=pot, stage="bisque_fired").reason == (
        "Fired in the neighbour's kiln"
    )


def test_a_step_back_needs_a_reason(cast: School) -> None:
    pot = move(a_pot(cast), "leather_hard", cast.teacher)
    with pytest.raises(Refused, match="Write why it goes back to wet"):
        move(pot, "wet", cast.teacher)
    assert move(pot, "wet", cast.teacher, reason="Put down by mistake").stage == "wet"


def test_a_finish_without_glaze_goes_on_display_after_the_bisque(cast: School) -> None:
    pot = bisqued(a_pot(cast), cast.teacher)
    assert move(pot, "on_display", cast.teacher).stage == "on_display"


def test_beyond_leather_hard_it_is_open_and_at_home_it_stands_nowhere(cast: School) -> None:
    pot = a_pot(cast)
    put_in_place(pots=[pot], place=a_place(cast), by=cast.student, at=NOW)
    cover(pots=[pot], by=cast.student, at=NOW)
    assert dried(pot, cast.teacher).covered_since is None
    move(pot, "bisque_fired", cast.teacher, reason="Unloaded")
    assert again(pot).place is not None
    move(pot, "collected", cast.teacher)
    assert (again(pot).place, again(pot).placed_at) == (None, None)


def test_a_stage_that_is_none_and_no_pots_at_all_are_refused(cast: School) -> None:
    pot = a_pot(cast)
    with pytest.raises(Refused, match="Choose a stage from the list"):
        move(pot, "glowing", cast.teacher)
    with pytest.raises(Refused, match="Choose at least one pot"):
        come_to_stage(pots=[], stage="leather_hard", by=cast.teacher, at=NOW)
    with pytest.raises(Refused, match="Shorten it to 400 characters"):
        move(pot, "leather_hard", cast.teacher, reason="x" * 401)


def test_nothing_moves_a_pot_that_broke(cast: School) -> None:
    pot = a_pot(cast)
    lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
    with pytest.raises(Refused, match="If it is here after all, say first"):
        move(pot, "leather_hard", cast.teacher)


class TestBuildingHasEnded:
    def test_it_waits_for_the_check_which_ends_the_waiting(self, cast: School) -> None:
        pot = a_pot(cast)
        say_built(pot=pot, by=cast.student, at=LATER)
        say_built(pot=pot, by=cast.student, at=NOW)
        assert again(pot).said_built_at == LATER
        check(pot, cast.teacher)
        assert again(pot).said_built_at is None
        actions = AuditEntry.objects.filter(action="building said to have ended")
        assert actions.count() == 1

    def test_it_can_be_taken_back(self, cast: School) -> None:
        pot = a_pot(cast)
        say_built(pot=pot, by=cast.student, at=NOW)
        say_not_built(pot=pot, by=cast.student)
        say_not_built(pot=pot, by=cast.student)
        assert again(pot).said_built_at is None
        assert AuditEntry.objects.filter(action="building goes on").count() == 1

    def test_a_checked_or_dry_pot_was_built_before(self, cast: School) -> None:
        pot = a_pot(cast)
        check(pot, cast.teacher)
        with pytest.raises(Conflict, match="is checked already"):
            say_built(pot=pot, by=cast.student, at=NOW)
        dry = bisqued(a_pot(cast, "Other", cast.classmate), cast.teacher)
        with pytest.raises(Conflict, match="is bisque fired already; building ended before"):
            say_built(pot=dry, by=cast.classmate, at=NOW)

    def test_only_who_sees_it_says_so(self, cast: School) -> None:
        with pytest.raises(PermissionDenied):
            say_built(pot=a_pot(cast), by=cast.classmate, at=NOW)
        assert not Pot.objects.filter(said_built_at__isnull=False).exists()
