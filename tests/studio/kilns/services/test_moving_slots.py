"""A firing slot moves, is cancelled and comes back, until its kiln is lit."""

from datetime import datetime, time, timedelta
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Refused
from studio.kilns.models import Load, Slot
from studio.kilns.services.programs import retire_program
from studio.kilns.services.slots import (
    bring_back_slot,
    cancel_slot,
    move_slot,
)
from studio.people.models import AuditEntry, User
from tests.cast import NOW, School
from tests.studio.kilns.kiln_room import a_kiln, a_slot, program
from tests.studio.kilns.loading import many_dry
from tests.studio.kilns.services.test_slots import THURSDAY, refusal, weekly

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


class TestMovingAndCancelling:
    def moved(self, slot: Slot, by: User, **changed: Any) -> Slot:
        values: dict[str, Any] = {
            "kiln": slot.kiln,
            "program": slot.program,
            "on": THURSDAY,
            "start": time(20),
            "confirms": slot.confirms_shut_off,
            "by": by,
            "at": NOW,
        }
        return move_slot(slot=slot, **values | changed)

    def test_a_slot_moves_with_its_end(self, cast: School) -> None:
        slot = a_slot(cast.technician)
        moved = self.moved(slot, cast.teacher, start=time(21), confirms=cast.teacher, note=" Tell ")
        assert moved.ends_at == slot.ends_at + timedelta(hours=1)
        assert (moved.confirms_shut_off, moved.note) == (cast.teacher, "Tell")
        entry = AuditEntry.objects.get(action="slot moved")
        assert entry.before["starts_at"] == "2026-03-19T19:00:00+00:00"
        # It isn't in its own way, and the same again is no change.
        self.moved(moved, cast.teacher, start=time(21), confirms=cast.teacher)
        assert AuditEntry.objects.filter(action="slot moved").count() == 1

    def test_what_is_left_out_stays_as_it_is_now_and_not_as_it_was_read(self, cast: School) -> None:
        read_early = a_slot(cast.technician)
        self.moved(read_early, cast.teacher, start=time(21), confirms=cast.teacher)
        kept = move_slot(slot=read_early, by=cast.technician, at=NOW, note="Vent repaired")
        assert kept.starts_at == read_early.starts_at + timedelta(hours=1)
        assert (kept.confirms_shut_off, kept.note) == (cast.teacher, "Vent repaired")

    def test_a_slot_keeps_its_retired_program_and_takes_another_in_use(self, cast: School) -> None:
        slot = a_slot(cast.technician)
        retire_program(program=slot.program, by=cast.head)
        self.moved(slot, cast.head, start=time(21))
        glaze = program(cast.head, "glaze")
        assert self.moved(slot, cast.head, start=time(6), program=glaze).program == glaze
        said = refusal(self.moved, slot, cast.head, program=slot.program)
        assert said[0] == "program"

    def test_packed_pots_keep_a_kiln_and_a_kind_of_firing(self, cast: School) -> None:
        slot = a_slot(cast.technician)
        small = a_kiln(cast.technician, name="Small kiln")
        (pot,) = many_dry(cast, 1)
        _packed(slot, pot)
        self.moved(slot, cast.head, start=time(21))
        for changed in ({"kiln": small}, {"program": program(cast.head, "glaze")}):
            assert "Take them out first" in refusal(self.moved, slot, cast.head, **changed)[1]

    def test_a_cancelled_slot_lets_its_pots_wait_and_comes_back_empty(self, cast: School) -> None:
        slot = a_slot(cast.technician)
        (pot,) = many_dry(cast, 1)
        _packed(slot, pot)
        cancel_slot(slot=slot, by=cast.teacher, at=NOW)
        cancel_slot(slot=slot, by=cast.teacher, at=NOW)
        assert not Load.objects.exists()
        assert not Slot.objects.standing().exists()
        entry = AuditEntry.objects.get(action="slot cancelled")
        assert entry.before["pots"] == [str(pot.pk)]
        back = bring_back_slot(slot=slot, by=cast.technician, at=NOW)
        bring_back_slot(slot=slot, by=cast.technician, at=NOW)
        assert list(Slot.objects.open()) == [back]
        assert AuditEntry.objects.filter(action="slot brought back").count() == 1

    def test_a_slot_comes_back_only_while_its_time_is_free(self, cast: School) -> None:
        slot = cancel_slot(slot=a_slot(cast.technician), by=cast.head, at=NOW)
        a_slot(cast.technician, start=time(18))
        assert refusal(_brought_back, slot, cast.head, NOW)[1].startswith("Tall kiln is taken")
        later = NOW + timedelta(days=30)
        assert "is over" in refusal(_brought_back, slot, cast.head, later)[1]

    def test_a_lit_firing_is_neither_moved_nor_cancelled(self, cast: School) -> None:
        slot = a_slot(cast.technician)
        Slot.objects.filter(pk=slot.pk).update(lit_at=slot.starts_at)
        assert "is lit already" in refusal(self.moved, slot, cast.head)[1]
        with pytest.raises(Refused, match="is lit already"):
            cancel_slot(slot=slot, by=cast.head, at=NOW)

    def test_students_and_strangers_change_nothing(self, cast: School) -> None:
        slot = a_slot(cast.technician)
        for by in (cast.student, cast.nobody, cast.elsewhere.head):
            with pytest.raises(PermissionDenied):
                self.moved(slot, by)
            for act in (cancel_slot, bring_back_slot):
                with pytest.raises(PermissionDenied):
                    act(slot=slot, by=by, at=NOW)
            with pytest.raises(PermissionDenied):
                a_slot(by, kiln=slot.kiln, program=slot.program)
            with pytest.raises(PermissionDenied):
                weekly(by, kiln=slot.kiln, program=slot.program)
        with pytest.raises(PermissionDenied):
            self.moved(slot, cast.head, kiln=a_kiln(cast.elsewhere.head))
        assert Slot.objects.get().kiln == slot.kiln
        assert not Slot.objects.visible_to(cast.student).exists()
        assert not Slot.objects.visible_to(cast.elsewhere.head).exists()


def _brought_back(slot: Slot, by: User, at: datetime) -> Slot:
    return bring_back_slot(slot=slot, by=by, at=at)


def _packed(slot: Slot, pot: Any) -> None:
    load = Load.objects.create(slot=slot, posts_mm=[None])
    load.placements.create(
        pot=pot,
        layer=0,
        x_mm=0,
        y_mm=0,
        front_mm=120,
        depth_mm=120,
        height_mm=140,
        at=NOW,
        by=slot.confirms_shut_off,
    )
