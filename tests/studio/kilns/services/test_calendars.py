"""The secret addresses of the kiln calendar: who makes and ends them, and what changes a firing."""

from collections.abc import Callable
from datetime import datetime, time, timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.db import transaction

from studio.kilns.models import CalendarAddress, Slot
from studio.kilns.services.calendars import end_calendar_address, make_calendar_address
from studio.kilns.services.firing import (
    Outcome,
    light,
    shut_off,
    undo_light,
    undo_shut_off,
    unload,
)
from studio.kilns.services.kilns import change_kiln
from studio.kilns.services.loads import pin_pots, place_pots, take_out
from studio.kilns.services.slots import bring_back_slot, cancel_slot, move_slot
from studio.people.models import AuditEntry, Section
from studio.people.tokens import digest_of
from tests.cast import NOW, School, school
from tests.meanwhile import Meanwhile
from tests.studio.kilns.kiln_room import a_slot
from tests.studio.kilns.loading import many_dry
from tests.studio.kilns.services.test_firing import EVENING, MORNING, all_fine

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def test_the_secret_is_never_stored(cast: School) -> None:
    kept, secret = make_calendar_address(studio=cast.studio, by=cast.technician, at=NOW)
    assert len(secret) >= 43  # 256 bits in base64
    assert kept.digest == digest_of(secret)
    told = AuditEntry.objects.filter(subject_id=str(kept.pk)).values_list("action", "after", "by")
    assert list(told) == [("calendar address made", {"section": ""}, cast.technician.pk)]
    for row in (*CalendarAddress.objects.values_list(), *AuditEntry.objects.values_list()):
        assert secret not in str(row)


def test_a_new_address_ends_the_one_before(cast: School) -> None:
    first, old = make_calendar_address(studio=cast.studio, by=cast.head, at=NOW)
    second, new = make_calendar_address(studio=cast.studio, by=cast.technician, at=EVENING)
    assert first.pk == second.pk
    [kept] = CalendarAddress.objects.all()
    assert (kept.digest, kept.made_by, kept.made_at) == (digest_of(new), cast.technician, EVENING)
    assert old != new


def test_each_class_has_one_of_its_own_beside_the_studios(cast: School) -> None:
    for by, section in (
        (cast.head, None),
        (cast.teacher, cast.section),
        (cast.other_teacher, cast.other_section),
        (cast.head, cast.section),
    ):
        make_calendar_address(studio=cast.studio, section=section, by=by, at=NOW)
    kept = CalendarAddress.objects.values_list("section", "made_by")
    assert set(kept) == {
        (None, cast.head.pk),
        (cast.section.pk, cast.head.pk),
        (cast.other_section.pk, cast.other_teacher.pk),
    }


def test_only_who_teaches_a_class_makes_or_ends_its_address(cast: School) -> None:
    def make(who: str, section: Section | None) -> None:
        make_calendar_address(studio=cast.studio, section=section, by=getattr(cast, who), at=NOW)

    for who in ("other_teacher", "technician", "student", "nobody"):
        with pytest.raises(PermissionDenied):
            make(who, cast.section)
    for by in (cast.student, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            make_calendar_address(studio=cast.studio, by=by, at=NOW)
    theirs = cast.elsewhere.section
    with pytest.raises(PermissionDenied):
        make_calendar_address(studio=cast.studio, section=theirs, by=cast.head, at=NOW)
    kept, _secret = make_calendar_address(
        studio=cast.studio, section=cast.section, by=cast.teacher, at=NOW
    )
    for by in (cast.other_teacher, cast.technician, cast.student, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            end_calendar_address(address=kept, by=by)
        assert not CalendarAddress.objects.visible_to(by).exists()
    assert CalendarAddress.objects.get() == kept


def test_ended_twice_it_is_ended_once(cast: School) -> None:
    kept, _secret = make_calendar_address(studio=cast.studio, by=cast.head, at=NOW)
    end_calendar_address(address=kept, by=cast.technician)
    end_calendar_address(address=kept, by=cast.technician)
    assert not CalendarAddress.objects.exists()
    assert AuditEntry.objects.filter(action="calendar address ended").count() == 1


def test_every_change_that_a_calendar_shows_raises_the_edition(cast: School) -> None:
    by = cast.technician
    slot = a_slot(by)
    pots = many_dry(cast, 2)
    kiln = slot.kiln
    steps: list[Callable[[datetime], object]] = [
        lambda at: place_pots(slot=slot, pots=pots, by=by, at=at),
        lambda at: take_out(slot=slot, pots=pots[:1], by=by, at=at),
        lambda at: move_slot(slot=slot, by=by, at=at, start=time(19)),
        lambda at: change_kiln(kiln=kiln, by=by, values={"unload_below_c": 80.0}, at=at),
        lambda at: cancel_slot(slot=slot, by=by, at=at),
        lambda at: bring_back_slot(slot=slot, by=by, at=at),
        lambda at: place_pots(slot=slot, pots=pots, by=by, at=at),
        lambda at: light(slot=slot, by=by, at=at, part_full_reason="Needed"),
        lambda at: undo_light(slot=slot, by=by, at=at),
        lambda at: light(slot=slot, by=by, at=at, part_full_reason="Needed"),
        lambda at: shut_off(slot=slot, by=by, at=at),
        lambda at: undo_shut_off(slot=slot, by=by, at=at),
        lambda at: shut_off(slot=slot, by=by, at=at),
        lambda at: unload(
            slot=slot,
            results=dict.fromkeys((pot.pk for pot in pots), Outcome("left_out")),
            by=by,
            at=at,
            read_below=True,
        ),
    ]
    for number, step in enumerate(steps, 1):
        at = NOW + timedelta(minutes=number)
        step(at)
        slot.refresh_from_db()
        assert (slot.edition, slot.changed_at) == (number, at), number


def test_what_a_calendar_does_not_show_leaves_the_edition(cast: School) -> None:
    by = cast.technician
    slot, pots = a_slot(by), many_dry(cast, 1)
    place_pots(slot=slot, pots=pots, by=by, at=NOW)
    pin_pots(slot=slot, pots=pots, pinned=True, by=by)
    move_slot(slot=slot, by=by, at=EVENING)
    assert Slot.objects.get().edition == 1


def test_a_cancelled_firing_keeps_whose_pots_were_in_it(cast: School) -> None:
    by = cast.technician
    slot, pots = a_slot(by), many_dry(cast, 1)
    place_pots(slot=slot, pots=pots, by=by, at=NOW)
    cancel_slot(slot=slot, by=by, at=NOW)
    assert list(slot.cancelled_for.all()) == [cast.section]
    bring_back_slot(slot=slot, by=by, at=NOW)
    assert not slot.cancelled_for.exists()


def test_unloaded_pots_stay_in_it(cast: School) -> None:
    by = cast.technician
    slot, pots = a_slot(by), many_dry(cast, 1)
    place_pots(slot=slot, pots=pots, by=by, at=NOW)
    light(slot=slot, by=by, at=EVENING, part_full_reason="Needed")
    shut_off(slot=slot, by=by, at=MORNING)
    kept = unload(slot=slot, results=all_fine(pots), by=by, at=MORNING, read_below=True)
    assert kept.edition == 4


@pytest.mark.django_db(transaction=True)
def test_of_two_who_make_one_at_once_the_last_one_holds() -> None:
    cast = school()
    made: list[str] = []

    def other() -> None:
        made.append(make_calendar_address(studio=cast.studio, by=cast.head, at=NOW)[1])

    with transaction.atomic():
        make_calendar_address(studio=cast.studio, by=cast.technician, at=NOW)
        meanwhile = Meanwhile(other)
    assert meanwhile.ended() is None
    assert CalendarAddress.objects.get().digest == digest_of(made[0])
