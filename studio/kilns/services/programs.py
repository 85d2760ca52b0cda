"""Firing programs. Once a slot uses one it stays as it is: what was fired can be read later."""

from collections.abc import Mapping, Sequence
from typing import Any, TypedDict

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.kilns import shipped
from studio.kilns.heat.reached import firing
from studio.kilns.models import Program
from studio.kilns.refusal import KilnRefused
from studio.kilns.selectors.programs import heat_segments, segment_rows
from studio.kilns.wording import refused
from studio.people.audit import record
from studio.people.models import Studio, User
from studio.people.names import tidy
from studio.people.services.checking import check_fields, locked_studio
from studio.room.services.checking import check_name_free, differences, require_staff

EDITABLE = ("name", "firing", "start_c", "segments", "note")


class SegmentRow(TypedDict):
    rate_c_per_h: float
    target_c: float
    hold_min: float


def add_program(*, studio: Studio, by: User, program: Mapping[str, Any]) -> Program:
    """A program; `program` has a value for each name of `EDITABLE`, `segments` as rows with
    `rate_c_per_h`, `target_c` and `hold_min`.
    """
    require_staff(by, studio)
    made = Program(studio=studio)
    _set(made, program)
    with transaction.atomic():
        locked_studio(studio)
        return _added(made, by)


def edit_program(*, program: Program, by: User, values: Mapping[str, Any]) -> Program:
    """The program with other values; a new one in its place if a slot uses it, and the old one is
    retired then. Slots keep the program that they were made with.
    """
    require_staff(by, program.studio)
    with transaction.atomic():
        kept = _locked(program)
        before = _shown(kept)
        if kept.retired:
            raise Refused(_("This program is no longer used. Bring it back before you change it."))
        if kept.slots.exists():
            return _replaced(kept, by, before | dict(values))
        _set(kept, values)
        _check(kept)
        was, now = differences(before, _shown(kept))
        if now:
            kept.save(update_fields=[*now])
            _record(kept, by, "program edited", was, now)
    return kept


def retire_program(*, program: Program, by: User) -> Program:
    """No longer offered for new slots."""
    return _set_retired(program, by, retired=True)


def bring_back_program(*, program: Program, by: User) -> Program:
    """Offered again."""
    return _set_retired(program, by, retired=False)


def ensure_programs(*, studio: Studio, by: User) -> list[Program]:
    """The programs that a studio starts with, where it has none at all; else nothing."""
    require_staff(by, studio)
    with transaction.atomic():
        locked_studio(studio)
        if Program.objects.filter(studio=studio).exists():
            return []
        return [_added(_shipped(each, studio), by) for each in shipped.PROGRAMS]


def _shipped(program: shipped.Program, studio: Studio) -> Program:
    return Program(
        studio=studio,
        name=_(program.name),
        firing=program.use,
        start_c=20.0,
        segments=segment_rows(program.segments),
        note=_(program.note),
    )


def _added(made: Program, by: User) -> Program:
    _check(made)
    made.save(force_insert=True)
    _record(made, by, "program added", {}, _shown(made))
    return made


def _replaced(old: Program, by: User, values: Mapping[str, Any]) -> Program:
    new = Program(studio=old.studio)
    _set(new, values)
    if _shown(new) == _shown(old):
        return old
    old.retired = True
    old.save(update_fields=["retired"])
    _record(old, by, "program replaced", {}, {"by": str(new.pk)})
    return _added(new, by)


def _locked(program: Program) -> Program:
    locked_studio(program.studio)
    programs = Program.objects.select_for_update(of=("self",))
    return programs.select_related("studio").get(pk=program.pk)


def _set(program: Program, values: Mapping[str, Any]) -> None:
    for name in EDITABLE:
        if name in values:
            value = values[name]
            if name == "segments":
                value = [_row(each) for each in value]
            setattr(program, name, tidy(value) if isinstance(value, str) else value)


def _row(row: Mapping[str, Any]) -> SegmentRow:
    return {
        "rate_c_per_h": float(row["rate_c_per_h"]),
        "target_c": float(row["target_c"]),
        "hold_min": float(row.get("hold_min") or 0),
    }


def _check(program: Program) -> None:
    check_fields(program, but=("segments",))
    check_segments(program.start_c, program.segments)
    message = _("The studio has a program of this name already.")
    check_name_free(program, Program.objects.in_use().filter(studio=program.studio), message)


def check_segments(start_c: float, segments: Sequence[Mapping[str, Any]]) -> None:
    """A kiln can follow them, and it heats."""
    try:
        found = firing(start_c, heat_segments(segments))
    except KilnRefused as wrong:
        raise refused(wrong.problems) from None
    if found.rate_c_per_h is None:
        message = _("The kiln never heats. Give a target above the temperature it starts from.")
        raise Refused(message, field="segments.0.target_c")


def _set_retired(program: Program, by: User, *, retired: bool) -> Program:
    require_staff(by, program.studio)
    with transaction.atomic():
        kept = _locked(program)
        if kept.retired != retired:
            kept.retired = retired
            if not retired:
                _check(kept)  # its name may be taken by now
            kept.save(update_fields=["retired"])
            _record(kept, by, "program retired" if retired else "program brought back", {}, {})
    return kept


def _shown(program: Program) -> dict[str, Any]:
    return {name: getattr(program, name) for name in EDITABLE}


def _record(
    program: Program, by: User, action: str, before: dict[str, Any], after: dict[str, Any]
) -> None:
    record(studio=program.studio, by=by, action=action, subject=program, before=before, after=after)
