"""Firing programs: kept as they were fired."""

import re
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Refused
from studio.kilns import shipped
from studio.kilns.models import Program
from studio.kilns.selectors.programs import firing_of
from studio.kilns.services.programs import (
    add_program,
    bring_back_program,
    edit_program,
    ensure_programs,
    retire_program,
)
from studio.people.models import AuditEntry, User
from tests.cast import School
from tests.studio.kilns.kiln_room import a_kiln, a_slot, program

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

SEGMENTS = [
    {"rate_c_per_h": 100, "target_c": 600},
    {"rate_c_per_h": 60, "target_c": 1222, "hold_min": 5},
]
PROGRAM: dict[str, Any] = {
    "name": "Cone 6, short",
    "firing": "glaze",
    "start_c": 20,
    "segments": SEGMENTS,
    "note": "Vent on.",
}


def added(by: User, **changed: Any) -> Program:
    assert by.studio is not None
    return add_program(studio=by.studio, by=by, program=PROGRAM | changed)


def test_a_program_is_kept_with_every_hold_as_a_number(cast: School) -> None:
    made = added(cast.technician)
    assert made.segments[0] == {"rate_c_per_h": 100.0, "target_c": 600.0, "hold_min": 0.0}
    # Chart of end points, cone 6 at 60 °C/h: 1222 °C (the cone table's S1).
    assert firing_of(made).cone == "6"
    assert AuditEntry.objects.get(action="program added").by == cast.technician


def segments(**changed: Any) -> list[dict[str, Any]]:
    return [SEGMENTS[0], SEGMENTS[1] | changed]


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        ({"name": ""}, "name", "cannot be blank"),
        ({"firing": "raku"}, "firing", "not a valid choice"),
        ({"note": "x" * 401}, "note", "at most 400"),
        ({"segments": []}, "segments", "needs at least one segment"),
        ({"segments": segments(rate_c_per_h=0)}, "segments.1.rate_c_per_h", "more than 0"),
        ({"segments": segments(target_c=1700)}, "segments.1.target_c", "1,?700 °C is hotter than"),
        ({"segments": segments(hold_min=-1)}, "segments.1.hold_min", "less than 0"),
        ({"segments": segments(rate_c_per_h=0.5)}, "segments.1.rate_c_per_h", "is too long"),
        ({"segments": SEGMENTS * 40}, "segments", "at most 64 segments"),
        ({"start_c": 1300}, "segments.0.target_c", "never heats"),
        ({"start_c": -80}, "start_c", "colder than any kiln room"),
    ],
)
def test_what_no_kiln_can_follow_is_refused_at_its_field(
    cast: School, changed: dict[str, Any], field: str, says: str
) -> None:
    with pytest.raises(Refused) as refused:
        added(cast.technician, **changed)
    first = refused.value.problems[0]
    assert first.field == field
    assert re.search(says, first.message.replace("\xa0", " ")), first.message
    assert not Program.objects.exists()


def test_a_name_stands_once_among_those_in_use(cast: School) -> None:
    first = added(cast.head)
    with pytest.raises(Refused, match="has a program of this name already"):
        added(cast.head, name="cone 6,  SHORT")
    retire_program(program=first, by=cast.head)
    added(cast.head)
    with pytest.raises(Refused, match="has a program of this name already"):
        bring_back_program(program=first, by=cast.head)


def test_an_unused_program_changes_in_place(cast: School) -> None:
    made = added(cast.head)
    changed = edit_program(program=made, by=cast.teacher, values={"note": "Vent on, plugs out."})
    assert changed.pk == made.pk
    edit_program(program=made, by=cast.teacher, values={"start_c": 20.0})
    entry = AuditEntry.objects.get(action="program edited")
    assert (entry.before, entry.after) == ({"note": "Vent on."}, {"note": "Vent on, plugs out."})


def test_a_program_that_a_slot_uses_is_replaced_by_a_new_one(cast: School) -> None:
    slot = a_slot(cast.technician)
    old = slot.program
    before = list(old.segments)
    new = edit_program(program=old, by=cast.teacher, values={"segments": SEGMENTS})
    old.refresh_from_db()
    slot.refresh_from_db()
    assert (old.segments, old.retired, slot.program_id) == (before, True, old.pk)
    assert (new.name, new.retired, new.firing) == (old.name, False, "bisque")
    assert AuditEntry.objects.get(action="program replaced").after == {"by": str(new.pk)}
    with pytest.raises(Refused, match="Bring it back before you change it"):
        edit_program(program=old, by=cast.teacher, values={"note": ""})


def test_the_same_again_replaces_nothing_and_a_wrong_change_nothing_either(cast: School) -> None:
    old = a_slot(cast.technician).program
    assert edit_program(program=old, by=cast.teacher, values={"note": old.note}).pk == old.pk
    with pytest.raises(Refused, match="at least one segment"):
        edit_program(program=old, by=cast.teacher, values={"segments": []})
    old.refresh_from_db()
    assert (old.retired, Program.objects.count()) == (False, len(shipped.PROGRAMS))


def test_a_retired_program_is_brought_back(cast: School) -> None:
    made = retire_program(program=added(cast.head), by=cast.technician)
    retire_program(program=made, by=cast.technician)
    assert not Program.objects.in_use().exists()
    bring_back_program(program=made, by=cast.teacher)
    assert Program.objects.in_use().exists()
    assert AuditEntry.objects.filter(action__startswith="program").count() == 3


def test_the_shipped_programs_come_with_the_first_kiln_and_only_once(cast: School) -> None:
    assert not Program.objects.exists()
    a_kiln(cast.technician)
    names = set(Program.objects.values_list("name", flat=True))
    assert names == {each.name for each in shipped.PROGRAMS}
    retire_program(program=program(cast.head), by=cast.head)
    a_kiln(cast.technician, name="Small kiln")
    assert ensure_programs(studio=cast.studio, by=cast.head) == []
    assert Program.objects.count() == len(shipped.PROGRAMS)


def test_students_and_strangers_change_nothing(cast: School) -> None:
    made = added(cast.head)
    for by in (cast.student, cast.nobody, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            edit_program(program=made, by=by, values={"name": "Mine"})
        with pytest.raises(PermissionDenied):
            retire_program(program=made, by=by)
        with pytest.raises(PermissionDenied):
            add_program(studio=cast.studio, by=by, program=PROGRAM)
        with pytest.raises(PermissionDenied):
            ensure_programs(studio=cast.studio, by=by)
    assert not Program.objects.visible_to(cast.student).exists()
    assert not Program.objects.visible_to(cast.elsewhere.head).exists()
