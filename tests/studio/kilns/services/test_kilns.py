"""What changes in the kiln room when a kiln does."""

from collections.abc import Callable
from datetime import date, time, timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.test.utils import CaptureQueriesContext

from studio.errors import Refused
from studio.kilns.models import Slot
from studio.kilns.selectors.slots import obstacles, slots_between
from studio.kilns.services.kilns import change_kiln, put_kiln_away
from studio.kilns.services.slots import cancel_slot
from tests.cast import NOW, School
from tests.studio.kilns.kiln_room import a_kiln, a_slot

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def test_a_kiln_that_cools_slower_is_unloaded_later_and_past_firings_stay(cast: School) -> None:
    coming = a_slot(cast.technician)
    lit = a_slot(cast.technician, on=date(2026, 3, 23))
    Slot.objects.filter(pk=lit.pk).update(lit_at=lit.starts_at)
    change_kiln(kiln=coming.kiln, by=cast.technician, values={"cooling_h": 12.0}, at=NOW)
    changed = Slot.objects.get(pk=coming.pk)
    assert changed.ends_at == coming.ends_at
    # Newton: twice the time constant, twice the hours (each up to the full minute).
    before, after = (each.unload_at - each.ends_at for each in (coming, changed))
    assert abs(after - 2 * before) <= timedelta(minutes=2)
    assert Slot.objects.get(pk=lit.pk).unload_at == lit.unload_at


def test_other_hours_leave_firings_and_say_what_is_in_their_way(cast: School) -> None:
    slot = a_slot(cast.technician)
    change_kiln(kiln=slot.kiln, by=cast.head, values={"start_until": time(19)}, at=NOW)
    kept = Slot.objects.select_related("kiln", "program", "studio").get()
    near = slots_between(cast.studio, kept.starts_at, kept.unload_at)
    (problem,) = obstacles(kept, near)
    assert problem.message.startswith("Tall kiln may be lit from 06:00 until 19:00 only.")


def test_a_kiln_with_firings_to_come_is_not_put_away(cast: School) -> None:
    first = a_slot(cast.technician)
    with pytest.raises(Refused, match="One firing of this kiln is to come or under way"):
        put_kiln_away(kiln=first.kiln, by=cast.head, at=NOW)
    second = a_slot(cast.technician, on=date(2026, 3, 23))
    with pytest.raises(Refused, match="2 firings of this kiln are to come or under way"):
        put_kiln_away(kiln=first.kiln, by=cast.head, at=NOW)
    for slot in (first, second):
        cancel_slot(slot=slot, by=cast.head, at=NOW)
    assert put_kiln_away(kiln=first.kiln, by=cast.head, at=NOW).retired


def test_a_kiln_that_is_lit_and_not_unloaded_is_not_put_away_however_long_ago(
    cast: School,
) -> None:
    slot = a_slot(cast.technician)
    Slot.objects.filter(pk=slot.pk).update(lit_at=slot.starts_at)
    later = slot.unload_at + timedelta(days=3)
    with pytest.raises(Refused, match="One firing of this kiln is to come or under way"):
        put_kiln_away(kiln=slot.kiln, by=cast.head, at=later)
    Slot.objects.filter(pk=slot.pk).update(off_at=slot.ends_at, unloaded_at=later)
    assert put_kiln_away(kiln=slot.kiln, by=cast.head, at=later).retired


def test_whoever_puts_a_kiln_away_holds_things_in_the_order_of_whoever_changes_it(
    cast: School,
) -> None:
    """The other way round each would wait for what the other holds."""
    kiln = a_kiln(cast.technician)

    def held(act: Callable[[], object]) -> list[str]:
        with CaptureQueriesContext(connection) as captured:
            act()
        tables = ("people_studio", "room_kiln")
        said = [query["sql"] for query in captured]
        first = {
            each: next(n for n, sql in enumerate(said) if f'"{each}"' in sql) for each in tables
        }
        return sorted(first, key=lambda table: first[table])

    by, at = cast.technician, NOW
    changes = held(lambda: change_kiln(kiln=kiln, by=by, values={"note": "Vent"}, at=at))
    assert held(lambda: put_kiln_away(kiln=kiln, by=by, at=at)) == changes


def test_students_and_strangers_put_no_kiln_away(cast: School) -> None:
    slot = a_slot(cast.technician)
    for by in (cast.student, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            put_kiln_away(kiln=slot.kiln, by=by, at=NOW)


def test_a_refused_kiln_brings_no_programs(cast: School) -> None:
    with pytest.raises(Refused, match="cannot be blank"):
        a_kiln(cast.technician, name="")
    assert not cast.studio.programs.exists()
