"""Firing slots: a dated start of one kiln with a program. Nothing here switches a kiln.

Two people who plan at once meet at the studio's kilns: each holds these rows while checking and
writing, since a firing of one kiln may stand in the way of another's.
"""

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from typing import Any, NamedTuple

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Problem, Refused
from studio.kilns.hours import after, moment
from studio.kilns.models import Load, Placement, Program, Series, Slot
from studio.kilns.models.slot import CHANGED
from studio.kilns.selectors.programs import cooling_of, timing_of
from studio.kilns.selectors.slots import obstacles, slots_between
from studio.people.audit import record
from studio.people.models import Closure, Section, User
from studio.people.names import tidy
from studio.people.services.checking import check_fields
from studio.people.services.dates import check_near
from studio.room.models import Kiln
from studio.room.services.checking import require_staff
from studio.room.services.kilns import check_confirms, locked_kilns

MOST_WEEKS = 40
LATE = timedelta(days=1)
"""A firing that began this morning may still be noted down."""

HAPPENS_LATER = ("lit_by", "off_by", "unloaded_by")

Words = dict[str, Any]


class LeftOut(NamedTuple):
    """A date of a series on which nothing could be planned, and why."""

    on: date
    reason: str


class Weekly(NamedTuple):
    made: list[Slot]
    left_out: list[LeftOut]


def add_slot(
    *,
    kiln: Kiln,
    program: Program,
    on: date,
    start: time,
    confirms: User,
    by: User,
    at: datetime,
    note: str = "",
) -> Slot:
    """A firing on a local date and time of day. `confirms` sees that the kiln is off."""
    require_staff(by, kiln.studio)
    with transaction.atomic():
        kiln, program = _held(kiln), _current(program)
        slot = Slot(studio=kiln.studio, kiln=kiln, program=program, note=tidy(note), changed_at=at)
        slot.confirms_shut_off = confirms
        _set_start(slot, on, start, at)
        _check(slot, _near([slot]))
        slot.save(force_insert=True)
        _record(slot, by, "slot added", {}, _told(slot))
    return slot


def add_weekly_slots(
    *,
    kiln: Kiln,
    program: Program,
    on: date,
    start: time,
    weeks: int,
    confirms: User,
    by: User,
    at: datetime,
    note: str = "",
) -> Weekly:
    """The same firing every week from `on`, so many weeks. A date on which the studio is closed or
    something is in the way is left out, and said; where no date is left, that is a refusal.
    """
    require_staff(by, kiln.studio)
    if not 1 <= weeks <= MOST_WEEKS:
        raise Refused(_("Plan 1 to %(most)s weeks.") % {"most": MOST_WEEKS}, field="weeks")
    with transaction.atomic():
        kiln, program = _held(kiln), _current(program)
        wanted: list[tuple[date, Slot]] = []
        for day in (on + timedelta(weeks=week) for week in range(weeks)):
            slot = Slot(
                studio=kiln.studio, kiln=kiln, program=program, note=tidy(note), changed_at=at
            )
            slot.confirms_shut_off = confirms
            _set_start(slot, day, start, at)
            wanted.append((day, slot))
        found = _sorted_out(wanted)
        if not found.made:
            raise Refused(found.left_out[0].reason, field="on")
        series = Series.objects.create(studio=kiln.studio, made_at=at)
        for slot in found.made:
            slot.series = series
            slot.save(force_insert=True)
            _record(slot, by, "slot added", {}, _told(slot))
    return found


def move_slot(
    *,
    slot: Slot,
    by: User,
    at: datetime,
    kiln: Kiln | None = None,
    program: Program | None = None,
    on: date | None = None,
    start: time | None = None,
    confirms: User | None = None,
    note: str | None = None,
) -> Slot:
    """Another kiln, program, time or person; whatever is left out stays as it is. Packed pots keep
    a kiln and a kind of firing.
    """
    require_staff(by, slot.studio)
    if kiln is not None:
        require_staff(by, kiln.studio)
    with transaction.atomic():
        locked_kilns(slot.studio)
        kept = _locked(slot)
        kiln, program = _held(kiln or kept.kiln), _current(program or kept.program)
        before = _told(kept)
        _check_unlit(kept)
        if (kept.kiln_id, kept.program.firing) != (kiln.pk, program.firing):
            _check_empty(kept)
        kept.kiln, kept.program = kiln, program
        kept.confirms_shut_off = confirms or kept.confirms_shut_off
        kept.note = kept.note if note is None else tidy(note)
        local = kept.starts_at.astimezone(kept.studio.zone)
        _set_start(kept, on or local.date(), start or local.time(), at)
        _check(kept, _near([kept]))
        if (after_ := _told(kept)) != before:
            kept.changed(at)
            kept.save()
            _record(kept, by, "slot moved", before, after_)
    return kept


def cancel_slot(*, slot: Slot, by: User, at: datetime) -> Slot:
    """It doesn't fire. Pots that were packed wait for another firing."""
    require_staff(by, slot.studio)
    with transaction.atomic():
        _held(slot.kiln)
        kept = _locked(slot)
        _check_unlit(kept)
        if kept.cancelled_at is None:
            packed = Placement.objects.filter(load__slot=kept).values_list(
                "pot_id", "pot__piece__assignment__section_id"
            )
            waiting = {"pots": [str(pot) for pot, _section in packed]}
            sections = Section.objects.filter(pk__in={section for _pot, section in packed})
            kept.cancelled_for.set(sections)
            Load.objects.filter(slot=kept).delete()
            kept.cancelled_at = at
            kept.changed(at)
            kept.save(update_fields=["cancelled_at", *CHANGED])
            _record(kept, by, "slot cancelled", _told(kept) | waiting, {})
    return kept


def bring_back_slot(*, slot: Slot, by: User, at: datetime) -> Slot:
    """It fires after all, if its time is still free; empty."""
    require_staff(by, slot.studio)
    with transaction.atomic():
        _held(slot.kiln)
        kept = _locked(slot)
        if kept.cancelled_at is not None:
            local = kept.starts_at.astimezone(kept.studio.zone)
            _set_start(kept, local.date(), local.time(), at)
            _check(kept, _near([kept]))
            kept.cancelled_at = None
            kept.cancelled_for.clear()
            kept.changed(at)
            kept.save()
            _record(kept, by, "slot brought back", {}, _told(kept))
    return kept


def set_times(slot: Slot) -> None:
    """When the program ends and the kiln may be unloaded, from its start. Not saved."""
    slot.ends_at = after(slot.starts_at, timing_of(slot.program).duration_h)
    slot.unload_at = after(slot.ends_at, cooling_of(slot.program, slot.kiln))


def _set_start(slot: Slot, on: date, start: time, at: datetime) -> None:
    check_near(on, at.astimezone(slot.studio.zone).date())
    found = moment(on, start.replace(second=0, microsecond=0), slot.studio.zone)
    if found is None:
        message = _("The clocks leap over this time on that day. Choose a time after it.")
        raise Refused(message, field="start")
    slot.starts_at = found
    set_times(slot)
    if found < at - LATE:
        raise Refused(_("This start is over. Choose a time to come."), field="on")


def _check(slot: Slot, standing: Iterable[Slot]) -> None:
    check_fields(slot, but=HAPPENS_LATER)
    check_confirms(slot.confirms_shut_off, slot.studio)
    problems = [*_gone(slot), *obstacles(slot, standing)]
    if problems:
        raise Refused.all_of(problems)


def _gone(slot: Slot) -> Iterable[Problem]:
    message = _("%(thing)s is no longer used. Choose another one.")
    if slot.kiln.retired:
        yield Problem(message % {"thing": slot.kiln}, "kiln")
    if slot.program.studio_id != slot.studio_id:
        yield Problem(_("Choose one of the studio's programs."), "program")
    elif slot.program.retired and not slot.program.slots.filter(pk=slot.pk).exists():
        yield Problem(message % {"thing": slot.program}, "program")


def _sorted_out(wanted: list[tuple[date, Slot]]) -> Weekly:
    """Which of a series' dates can stand; the first one's other troubles are refused."""
    slots = [slot for _day, slot in wanted]
    standing = _near(slots)
    closures = list(Closure.objects.filter(studio=slots[0].studio))
    made: list[Slot] = []
    left_out: list[LeftOut] = []
    for day, slot in wanted:
        if closed := _closed(slot, closures):
            left_out.append(LeftOut(day, closed))
            continue
        try:
            _check(slot, [*standing, *made])
        except Refused as refusal:
            if any(problem.field != "start" for problem in refusal.problems):
                raise
            left_out.append(LeftOut(day, str(refusal)))
        else:
            made.append(slot)
    return Weekly(made, left_out)


def _closed(slot: Slot, closures: Iterable[Closure]) -> str:
    """Nobody is there to light the kiln or to see that it is off."""
    zone = slot.studio.zone
    days = {moment.astimezone(zone).date() for moment in (slot.starts_at, slot.ends_at)}
    for closure in closures:
        if any(closure.starts_on <= day <= closure.ends_on for day in days):
            return _("The studio is closed (%(name)s).") % {"name": closure.name}
    return ""


def _near(slots: list[Slot]) -> list[Slot]:
    """Standing slots that could be in the way of these."""
    first, last = min(each.starts_at for each in slots), max(each.unload_at for each in slots)
    return list(slots_between(slots[0].studio, first, last))


def _held(kiln: Kiln) -> Kiln:
    """This kiln as it is now; the studio's kilns are held until the transaction ends."""
    locked_kilns(kiln.studio)
    return (
        Kiln.objects.select_related("studio")
        .prefetch_related("not_together_with")
        .get(pk=kiln.pk, studio=kiln.studio)
    )


def _current(program: Program) -> Program:
    """As it is now, and held: a program that a slot uses stays as it is."""
    return Program.objects.select_for_update().get(pk=program.pk)


def _locked(slot: Slot) -> Slot:
    slots = Slot.objects.select_for_update(of=("self",))
    return slots.select_related("studio", "kiln", "program", "confirms_shut_off").get(pk=slot.pk)


def _check_unlit(slot: Slot) -> None:
    if slot.lit_at is not None:
        message = _("This firing is lit already, so it can't be moved or cancelled any more.")
        raise Refused(message)


def _check_empty(slot: Slot) -> None:
    if Placement.objects.filter(load__slot=slot).exists():
        message = _(
            "Pots are packed for this kiln and this kind of firing. Take them out first, or plan "
            "another firing."
        )
        raise Refused(message)


def _told(slot: Slot) -> Words:
    return {
        "kiln": str(slot.kiln_id),
        "program": str(slot.program_id),
        "starts_at": slot.starts_at.astimezone(UTC).isoformat(),
        "confirms_shut_off": str(slot.confirms_shut_off_id),
        "note": slot.note,
    }


def _record(slot: Slot, by: User, action: str, before: Words, after_: Words) -> None:
    record(studio=slot.studio, by=by, action=action, subject=slot, before=before, after=after_)
