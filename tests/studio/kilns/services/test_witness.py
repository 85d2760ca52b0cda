"""How witness cones stood, and what they say of a kiln in the end."""

from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Conflict, Refused
from studio.kilns.models import Slot, WitnessReading
from studio.kilns.selectors.learned import corrections, logged_cooling
from studio.kilns.services import witness
from studio.kilns.services.firing import light, log_entry, undo_light
from studio.kilns.services.witness import read_witness, take_out_witness
from studio.people.models import AuditEntry
from tests.cast import School
from tests.studio.kilns.kiln_room import a_kiln, a_slot
from tests.studio.kilns.services.test_firing import EVENING, MORNING, loaded, off

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def read(
    slot: Slot, cast: School, cone: str = "06", bent: float = 1, **more: Any
) -> WitnessReading:
    return read_witness(slot=slot, by=cast.technician, at=MORNING, cone=cone, bent=bent, **more)


def test_a_cone_is_read_once_at_its_place_and_anew_after_that(cast: School) -> None:
    slot, _pots = off(cast)
    first = read(slot, cast, "05", 0.5, place="  bottom  shelf ")
    again = read(slot, cast, "05", 0.25, place="bottom shelf")
    assert first.pk == again.pk
    read(slot, cast, "05", 0.75, place="top shelf")
    found = [(each.place, each.bent) for each in WitnessReading.objects.all()]
    assert found == [("bottom shelf", 0.25), ("top shelf", 0.75)]
    line = AuditEntry.objects.filter(action="witness cone read").order_by("at", "pk")[1]
    assert (line.before, line.after["bent"]) == ({"bent": 0.5}, 0.25)


def test_a_mistake_is_taken_out_and_its_line_stays(cast: School) -> None:
    slot, _pots = off(cast)
    reading = read(slot, cast)
    take_out_witness(slot=slot, reading=reading.pk, by=cast.teacher)
    take_out_witness(slot=slot, reading=reading.pk, by=cast.teacher)
    assert not WitnessReading.objects.exists()
    assert AuditEntry.objects.filter(action="witness cone taken out").count() == 1


def test_another_firings_cone_is_none_of_this_one(cast: School) -> None:
    slot, _pots = off(cast)
    kept = read(slot, cast)
    other = a_slot(cast.technician, kiln=a_kiln(cast.technician, name="Other"))
    take_out_witness(slot=other, reading=kept.pk, by=cast.teacher)
    take_out_witness(slot=slot, reading=uuid4(), by=cast.teacher)
    assert WitnessReading.objects.get() == kept


@pytest.mark.parametrize(
    ("said", "field", "words"),
    [
        ({"cone": "6½"}, "cone", "no such cone"),
        ({"cone": "14", "kind": "large_regular"}, "cone", "no such cone"),
        ({"kind": "small_regular"}, "kind", "from the list"),
        ({"bent": 1.2}, "bent", "between 0, upright, and 1, down"),
        ({"bent": float("nan")}, "bent", "between 0, upright, and 1, down"),
        ({"place": "x" * 61}, "place", "60"),
    ],
)
def test_what_can_not_be_is_refused_at_its_field(
    cast: School, said: dict[str, Any], field: str, words: str
) -> None:
    slot, _pots = off(cast)
    with pytest.raises(Refused) as refused:
        read(slot, cast, **said)
    assert refused.value.problems[0].field == field
    assert words in refused.value.problems[0].message
    assert not WitnessReading.objects.exists()


def test_only_staff_read_cones_of_a_kiln_that_was_lit(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    cold, _pots = loaded(cast)
    with pytest.raises(Conflict, match="isn't lit"):
        read(cold, cast)
    with pytest.raises(PermissionDenied):
        read_witness(slot=cold, by=cast.student, at=MORNING, cone="06", bent=1)
    with pytest.raises(PermissionDenied):
        take_out_witness(slot=cold, reading=uuid4(), by=cast.student)
    slot = light(slot=cold, by=cast.technician, at=EVENING, part_full_reason="Needed")
    read(slot, cast)
    monkeypatch.setattr(witness, "MOST_READINGS", 1)
    read(slot, cast, bent=0.5)
    with pytest.raises(Refused, match="at most 1 cones"):
        read(slot, cast, "05")
    with pytest.raises(Conflict, match="Something is logged already"):
        undo_light(slot=slot, by=cast.technician, at=MORNING)


def test_a_kilns_correction_is_the_median_of_its_finished_firings(cast: School) -> None:
    """The slow bisque is computed to put cone 06 down at 998 °C; cone 05.5 half bent is half of the
    way to its 1015 °C, cone 06 half bent half of the way from 07's 976 °C (the chart, 60 °C/h)."""
    slot, _pots = off(cast)
    ended(slot, slot.ends_at)
    assert corrections([slot.kiln]) == {}
    read(slot, cast, "05.5", 0.5)
    found = corrections([slot.kiln])[slot.kiln_id]
    assert (found.firings, found.spread_c) == (1, None)
    assert found.offset_c == pytest.approx(8.5, abs=0.5)
    second = Slot.objects.get(pk=slot.pk)
    second.pk, second.starts_at = uuid4(), slot.starts_at + timedelta(days=7)
    second.ends_at, second.unload_at = (
        each + timedelta(days=7) for each in (slot.ends_at, slot.unload_at)
    )
    second._state.adding = True
    second.lit_at = second.starts_at
    second.off_at = second.ends_at
    second.save()
    read(second, cast, "06", 0.5)
    found = corrections([slot.kiln])[slot.kiln_id]
    assert found.firings == 2
    assert found.offset_c == pytest.approx((8.5 - 11) / 2, abs=0.5)
    ended(second, second.starts_at + timedelta(hours=2))  # cut short: it says nothing
    assert corrections([slot.kiln])[slot.kiln_id].firings == 1


def test_a_kiln_learns_how_it_cools_from_what_was_read_after_the_shut_off(cast: School) -> None:
    """Newton's law with 5 h: 900, 609, 415, 285 °C every two hours in a room of 20 °C."""
    slot, _pots = off(cast)
    assert logged_cooling(slot.kiln).firings == 0
    log_entry(slot=slot, by=cast.technician, at=EVENING, temp_c=85)
    for n, temp_c in enumerate((900, 609.9, 415.4, 285.1)):
        at = MORNING + timedelta(hours=2 * n)
        log_entry(slot=slot, by=cast.technician, at=at, temp_c=temp_c)
    found = logged_cooling(slot.kiln)
    assert found.firings == 1
    assert found.time_constant_h == pytest.approx(5, abs=0.05)


def ended(slot: Slot, at: datetime) -> None:
    slot.lit_at, slot.off_at = slot.starts_at, at
    slot.save(update_fields=["lit_at", "off_at"])
