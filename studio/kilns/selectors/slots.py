"""Firing slots: what stands in the way of one, and what the coming weeks hold."""

from collections.abc import Callable, Iterable, Iterator
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import Q
from django.utils.translation import gettext as _

from studio.errors import Problem
from studio.kilns.hours import starts_that_fit, within
from studio.kilns.models import Slot
from studio.kilns.models.slot import SlotQuerySet
from studio.people.models import Studio
from studio.web.shown import clock_text, day_text, hours_text, temperature_text

from .programs import timing_of


def slots_between(studio: Studio, start: datetime, end: datetime) -> SlotQuerySet:
    """Standing slots whose kiln is in use at some time between the two."""
    # Lit late, it is in use for longer than was planned.
    in_use = Q(unload_at__gt=start) | Q(lit_at__isnull=False, unloaded_at__isnull=True)
    near = Slot.objects.standing().filter(in_use, studio=studio, starts_at__lt=end)
    return near.select_related("kiln", "program")


def obstacles(slot: Slot, standing: Iterable[Slot]) -> list[Problem]:
    """What stands in the way of a slot, each reason at its field; `standing` are the slots near it,
    perhaps itself among them. Reads the kiln's `not_together_with`.
    """
    zone = slot.studio.zone
    others = [each for each in standing if each.pk != slot.pk]
    return [*_too_hot(slot), *_out_of_hours(slot, zone), *_in_the_way(slot, others, zone)]


def _too_hot(slot: Slot) -> Iterator[Problem]:
    peak_c = timing_of(slot.program).peak_c
    if peak_c > slot.kiln.most_c:
        message = _(
            "%(program)s goes to %(peak)s; %(kiln)s takes %(most)s at most. Choose another "
            "program or another kiln."
        )
        words = {
            "program": slot.program,
            "peak": temperature_text(peak_c),
            "kiln": slot.kiln,
            "most": temperature_text(slot.kiln.most_c),
        }
        yield Problem(message % words, "program")


def _out_of_hours(slot: Slot, zone: ZoneInfo) -> Iterator[Problem]:
    kiln = slot.kiln
    lit, off = slot.starts_at.astimezone(zone), slot.ends_at.astimezone(zone)
    if not within(lit.time(), kiln.start_from, kiln.start_until):
        message = _("%(kiln)s may be lit from %(from)s until %(until)s only. %(fits)s")
        words = {
            "kiln": kiln,
            "from": clock_text(kiln.start_from),
            "until": clock_text(kiln.start_until),
            "fits": _what_fits(slot, zone),
        }
        yield Problem(message % words, "start")
    elif not within(off.time(), kiln.off_from, kiln.off_until):
        message = _(
            "It would be off on %(off)s; %(kiln)s may be shut off from %(from)s until %(until)s "
            "only. %(fits)s"
        )
        words = {
            "off": when_text(slot.ends_at, zone),
            "kiln": kiln,
            "from": clock_text(kiln.off_from),
            "until": clock_text(kiln.off_until),
            "fits": _what_fits(slot, zone),
        }
        yield Problem(message % words, "start")


def _what_fits(slot: Slot, zone: ZoneInfo) -> str:
    """The way out of a start at a wrong hour."""
    kiln, hours = slot.kiln, timing_of(slot.program).duration_h
    spans = starts_that_fit(
        (kiln.start_from, kiln.start_until),
        (kiln.off_from, kiln.off_until),
        hours,
        slot.starts_at.astimezone(zone).date(),
        zone,
    )
    if not spans:
        message = _(
            "The program takes %(hours)s, and no start that day ends within these hours. Choose "
            "another program, or let the kiln's hours be changed."
        )
        return message % {"hours": hours_text(hours)}
    spoken = [
        _("%(from)s to %(until)s") % {"from": clock_text(first), "until": clock_text(last)}
        for first, last in spans
    ]
    return _("This program fits when it is lit from %(spans)s.") % {"spans": ", ".join(spoken)}


def _in_the_way(slot: Slot, others: Iterable[Slot], zone: ZoneInfo) -> Iterator[Problem]:
    apart = {kiln.pk for kiln in slot.kiln.not_together_with.all()}
    for other in sorted(others, key=lambda each: each.starts_at):
        words = {
            "kiln": slot.kiln,
            "other": other.kiln,
            "program": other.program,
            "start": when_text(other.starts_at, zone),
            "off": when_text(other.off_due_at, zone),
            "unload": when_text(other.unload_due_at, zone),
        }
        if other.kiln_id == slot.kiln_id and _overlap(slot, other, _free_again):
            message = _(
                "%(kiln)s is taken: %(program)s starts on %(start)s and can be unloaded on "
                "%(unload)s. Choose another time or another kiln."
            )
            yield Problem(message % words, "start")
        elif other.kiln_id in apart and _overlap(slot, other, _off):
            message = _(
                "%(kiln)s never fires together with %(other)s, which fires from %(start)s until "
                "%(off)s. Choose another time."
            )
            yield Problem(message % words, "start")


def _overlap(one: Slot, other: Slot, end: Callable[[Slot], datetime]) -> bool:
    return one.starts_at < end(other) and other.starts_at < end(one)


def _free_again(slot: Slot) -> datetime:
    return slot.unloaded_at or slot.unload_due_at


def _off(slot: Slot) -> datetime:
    return slot.off_at or slot.off_due_at


def when_text(when: datetime, zone: ZoneInfo) -> str:
    """`Saturday 28 March 2026 at 20:00` on the studio's clock."""
    local = when.astimezone(zone).replace(tzinfo=None)
    # Translators: a day and a time of day.
    return _("%(day)s at %(clock)s") % {"day": day_text(local), "clock": clock_text(local)}


def short_when_text(when: datetime, zone: ZoneInfo) -> str:
    """`Saturday 28 March, 20:00` on the studio's clock: a week's firings need no year."""
    local = when.astimezone(zone).replace(tzinfo=None)
    words = {"day": day_text(local, date(local.year, 1, 1)), "clock": clock_text(local)}
    # Translators: a day and a time of day.
    return _("%(day)s, %(clock)s") % words


def window_text(first: datetime, last: datetime, zone: ZoneInfo) -> str:
    """`Saturday 28 March, 19:15 to 21:45`; both days where it passes midnight."""
    local = last.astimezone(zone).replace(tzinfo=None)
    same_day = first.astimezone(zone).date() == local.date()
    end = clock_text(local) if same_day else short_when_text(last, zone)
    # Translators: from when until when something is expected.
    return _("%(first)s to %(last)s") % {"first": short_when_text(first, zone), "last": end}
