"""When a kiln could still be lit in a week, beside the firings that are planned."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from studio.kilns.models import Program, Slot
from studio.kilns.weeks.further import free_of
from studio.kilns.weeks.inputs import Hours, Start, Week
from studio.kilns.weeks.starts import possible_starts
from studio.people.models import Studio
from studio.room.models import Kiln

from .programs import cooling_of, timing_of
from .slots import slots_between
from .week_asked import DAYS, kilns_in_use, start_of, week_begin
from .week_dates import DAY


def free_starts(studio: Studio, monday: date, at: datetime, week: Week) -> tuple[Start, ...]:
    """Starts after now, within the hours of each kiln, of the programs in use that it reaches, that
    no standing firing is in the way of. A fixed number of queries, and those of the kilns' posts.
    """
    kilns = list(kilns_in_use(studio))
    programs = list(Program.objects.filter(studio=studio).in_use())
    hours = {str(kiln.pk): _hours(kiln, programs) for kiln in kilns}
    days = [monday + DAY * n for n in range(DAYS.days)]
    coming = [each for each in possible_starts(hours, days, studio.zone) if each.lit_at > at]
    if not coming:
        return ()
    end = max(each.unload_at for each in coming)
    standing = slots_between(studio, min(week_begin(studio, monday), at), end)
    return free_of(coming, map(_taken, standing), week)


def _hours(kiln: Kiln, programs: Iterable[Program]) -> Hours:
    fits = {}
    for each in programs:
        timing = timing_of(each)
        if timing.peak_c <= kiln.most_c:
            off_h = timing.duration_h
            fits[str(each.pk)] = (off_h, off_h + cooling_of(each, kiln))
    return Hours((kiln.start_from, kiln.start_until), (kiln.off_from, kiln.off_until), fits)


def _taken(slot: Slot) -> Start:
    """Until it is seen to be off and unloaded, or is expected to be."""
    return replace(
        start_of(slot, ()),
        off_at=slot.off_at or slot.off_due_at,
        unload_at=slot.unloaded_at or slot.unload_due_at,
    )
