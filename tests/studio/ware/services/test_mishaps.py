"""Flaws, losses, and another pot for the same piece."""

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from studio.ware.models import Flaw, Loss, Pot
from studio.ware.services import (
    begin_pot,
    cover,
    find_pot,
    lose_pots,
    note_flaw,
    put_in_place,
    say_built,
    set_flaw_cause,
    set_loss_cause,
)
from tests.cast import NOW, School
from tests.studio.ware.pots import LATER, a_place, a_pot, again, bisqued, move

pytestmark = pytest.mark.both_databases


def lost(pot: Pot, cast: School, kind: str = "broken") -> Loss:
    [loss] = lose_pots(pots=[pot], kind=kind, by=cast.teacher, at=NOW, note="Fell off the cart")
    return loss


class TestFlaws:
    def test_the_pot_goes_on_and_staff_set_the_cause(self, cast: School) -> None:
        pot = a_pot(cast)
        flaw = note_flaw(pot=pot, what="crack at the rim", mended="slip", by=cast.student, at=NOW)
        assert (flaw.cause, again(pot).lost) == ("unknown", "")
        set_flaw_cause(flaw=flaw, cause="drying", by=cast.teacher)
        set_flaw_cause(flaw=flaw, cause="drying", by=cast.teacher)
        assert Flaw.objects.get().cause == "drying"
        kept = AuditEntry.objects.get(action="cause of a flaw set")
        assert (kept.before, kept.after) == ({"cause": "unknown"}, {"cause": "drying"})

    def test_it_says_what_and_where(self, cast: School) -> None:
        with pytest.raises(Refused, match="Write what it is and where") as refused:
            note_flaw(pot=a_pot(cast), what=" ", by=cast.student, at=NOW)
        assert refused.value.problems[0].field == "what"

    def test_students_judge_no_cause_and_staff_choose_from_the_list(self, cast: School) -> None:
        flaw = note_flaw(pot=a_pot(cast), what="a crack", by=cast.student, at=NOW)
        with pytest.raises(PermissionDenied):
            set_flaw_cause(flaw=flaw, cause="kiln", by=cast.student)
        with pytest.raises(PermissionDenied):
            set_flaw_cause(flaw=flaw, cause="kiln", by=cast.other_teacher)
        with pytest.raises(Refused, match="Choose a cause from the list"):
            set_flaw_cause(flaw=flaw, cause="magic", by=cast.teacher)


class TestLosses:
    def test_it_leaves_the_line_and_keeps_where_it_had_come_to(self, cast: School) -> None:
        pot = a_pot(cast)
        place = a_place(cast)
        put_in_place(pots=[pot], place=place, by=cast.student, at=NOW)
        cover(pots=[pot], by=cast.student, at=NOW)
        say_built(pot=pot, by=cast.student, at=NOW)
        loss = lost(pot, cast, "missing")
        assert (loss.stage, loss.cause, loss.note) == ("wet", "unknown", "Fell off the cart")
        now = again(pot)
        assert (now.lost, now.covered_since, now.said_built_at) == ("missing", None, None)
        assert now.place == place
        assert AuditEntry.objects.get(action="pot lost").after["lost"] == "missing"

    def test_staff_set_what_it_came_from(self, cast: School) -> None:
        loss = lost(a_pot(cast), cast)
        set_loss_cause(loss=loss, cause="making", by=cast.teacher)
        set_loss_cause(loss=loss, cause="making", by=cast.teacher)
        assert Loss.objects.get().cause == "making"
        assert AuditEntry.objects.filter(action="cause of a loss set").count() == 1
        with pytest.raises(PermissionDenied):
            set_loss_cause(loss=loss, cause="kiln", by=cast.student)

    def test_another_pot_of_the_piece_has_the_next_number(self, cast: School) -> None:
        pot = a_pot(cast)
        lost(pot, cast)
        second = begin_pot(piece=pot.piece, by=cast.teacher, at=LATER)
        assert (second.number, second.code) == (2, f"{pot.piece.code}/2")

    def test_a_pot_that_turns_up_stands_again(self, cast: School) -> None:
        pot = a_pot(cast)
        loss = lost(pot, cast, "missing")
        find_pot(pot=pot, by=cast.technician, at=LATER)
        assert again(pot).lost == ""
        assert Loss.objects.get(pk=loss.pk).found_at == LATER
        lost(pot, cast)
        assert Loss.objects.count() == 2

    def test_it_does_not_stand_beside_the_one_that_took_its_place(self, cast: School) -> None:
        pot = a_pot(cast)
        lost(pot, cast, "missing")
        second = begin_pot(piece=pot.piece, by=cast.teacher, at=LATER)
        with pytest.raises(Conflict, match=f"{second.code} was begun in its stead"):
            find_pot(pot=pot, by=cast.teacher, at=LATER)
        lost(second, cast)
        assert find_pot(pot=pot, by=cast.teacher, at=LATER).lost == ""

    def test_what_is_not_lost_is_not_found(self, cast: School) -> None:
        with pytest.raises(Conflict, match="is not lost"):
            find_pot(pot=a_pot(cast), by=cast.teacher, at=LATER)

    def test_many_are_lost_together_or_not_at_all(self, cast: School) -> None:
        first, second = a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)
        lost(second, cast)
        with pytest.raises(Refused, match=f"{second.code} is broken already"):
            lose_pots(pots=[first, second], kind="broken", by=cast.teacher, at=LATER)
        assert again(first).lost == ""

    def test_what_went_home_is_not_lost_here(self, cast: School) -> None:
        pot = bisqued(a_pot(cast), cast.teacher)
        move(pot, "collected", cast.teacher)
        with pytest.raises(Refused, match="what happens to it at home"):
            lost(pot, cast)

    def test_kind_and_cause_come_from_their_lists(self, cast: School) -> None:
        pot = a_pot(cast)
        with pytest.raises(Refused, match="Say whether it broke or is missing"):
            lost(pot, cast, "eaten")
        with pytest.raises(Refused, match="Choose a cause from the list"):
            lose_pots(pots=[pot], kind="broken", cause="magic", by=cast.teacher, at=NOW)
        with pytest.raises(Refused, match="Choose a cause from the list"):
            set_loss_cause(loss=lost(pot, cast), cause="", by=cast.teacher)

    def test_only_staff_who_see_it_put_it_down(self, cast: School) -> None:
        pot = a_pot(cast)
        for by in (cast.student, cast.other_teacher, cast.elsewhere.head):
            with pytest.raises(PermissionDenied):
                lose_pots(pots=[pot], kind="broken", by=by, at=NOW)
        lost(pot, cast)
        for by in (cast.student, cast.other_teacher):
            with pytest.raises(PermissionDenied):
                find_pot(pot=pot, by=by, at=NOW)
