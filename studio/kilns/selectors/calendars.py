"""The kiln calendar: what stands in it, and who has an address for it.

It is read without signing in: codes of pots and times, and no name of anybody.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID, uuid5

from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext as _

from studio.kilns.calendar_file import Event
from studio.kilns.models import CalendarAddress, Placement, Slot
from studio.kilns.models.slot import SlotQuerySet
from studio.people.models import Section, User
from studio.people.tokens import digest_of
from studio.web.shown import temperature_text

from .slots import when_text, window_text

PAST = timedelta(weeks=8)
"""So far back a calendar looks; a program that follows it keeps no older ones either."""

Address = Callable[[Slot], str]
Happens = tuple[str, datetime, datetime | None]
"""What, from when, until when."""


@dataclass(frozen=True)
class CalendarOf:
    """A calendar that the person may give away: the studio's (no class), or a class's."""

    section: Section | None
    address: CalendarAddress | None


def calendars_of(person: User) -> list[CalendarOf]:
    """The studio's first, then those of the classes that the person teaches. Two queries."""
    rows = CalendarAddress.objects.visible_to(person).select_related("made_by")
    kept = {each.section_id: each for each in rows}
    taught = Section.objects.taught_by(person).current()
    return [CalendarOf(each, kept.get(each.pk if each else None)) for each in (None, *taught)]


def calendar_at(secret: str) -> CalendarAddress | None:
    """Whose calendar is read at an address, if it still holds."""
    rows = CalendarAddress.objects.select_related("studio", "section")
    return rows.filter(digest=digest_of(secret)).first()


def calendar_name(calendar: CalendarAddress) -> str:
    if calendar.section is None:
        return _("Kilns, %(studio)s") % {"studio": calendar.studio.name}
    words = {"title": calendar.section.title, "studio": calendar.studio.name}
    return _("Kilns for %(title)s, %(studio)s") % words


def calendar_events(calendar: CalendarAddress, at: datetime, address: Address) -> list[Event]:
    """Every firing of eight weeks back and all to come, and when it can be unloaded: two queries.
    Of a class those that hold its pots, with the codes of these only.
    """
    slots = list(_slots(calendar, at))
    codes = _codes(calendar, slots)
    return [
        event for slot in slots for event in _events(calendar, slot, codes[slot.pk], address(slot))
    ]


def _slots(calendar: CalendarAddress, at: datetime) -> SlotQuerySet:
    rows = Slot.objects.filter(studio=calendar.studio, starts_at__gte=at - PAST)
    if calendar.section is not None:
        own = Placement.objects.filter(
            load__slot=OuterRef("pk"), pot__piece__assignment__section=calendar.section
        )
        told = Slot.cancelled_for.through.objects.filter(
            slot=OuterRef("pk"), section=calendar.section
        )
        rows = rows.filter(Q(Exists(own)) | Q(Exists(told)))
    return rows.select_related("studio", "kiln", "program")


def _codes(calendar: CalendarAddress, slots: Sequence[Slot]) -> Mapping[UUID, list[str]]:
    rows = Placement.objects.filter(load__slot__in=[slot.pk for slot in slots])
    if calendar.section is not None:
        rows = rows.filter(pot__piece__assignment__section=calendar.section)
    found: dict[UUID, list[str]] = {slot.pk: [] for slot in slots}
    for each in rows.select_related("load", "pot__piece"):
        found[each.load.slot_id].append(each.pot.code)
    return {pk: sorted(codes) for pk, codes in found.items()}


def _events(
    calendar: CalendarAddress, slot: Slot, codes: Sequence[str], address: str
) -> Iterator[Event]:
    # Programs know an event by its id, so a class's has another one than the studio's.
    space = uuid5(slot.pk, str(calendar.section_id)) if calendar.section_id else slot.pk
    pots = _pots_line(calendar, codes)
    for what, happens, lines in (
        ("firing", _firing(slot), _firing_lines(slot)),
        ("unload", _unloading(slot), _unload_lines(slot)),
    ):
        summary, start, end = happens
        cancelled = slot.cancelled_at is not None
        yield Event(
            uid=uuid5(space, what),
            edition=slot.edition,
            changed_at=slot.changed_at,
            start=start,
            end=end,
            summary=_("Cancelled: %(what)s") % {"what": summary} if cancelled else summary,
            description="\n".join([*lines, pots]),
            address=address,
            cancelled=cancelled,
        )


def _firing(slot: Slot) -> Happens:
    """As it was planned, until it is seen."""
    words = {"kiln": slot.kiln, "firing": slot.program.get_firing_display()}
    start, end = slot.lit_at or slot.starts_at, slot.off_at or slot.off_due_at
    return _("%(kiln)s: %(firing)s firing") % words, start, end


def _unloading(slot: Slot) -> Happens:
    if slot.unloaded_at is not None:
        return _("%(kiln)s unloaded") % {"kiln": slot.kiln}, slot.unloaded_at, None
    return _("Unload %(kiln)s, expected") % {"kiln": slot.kiln}, *slot.unload_window


def _firing_lines(slot: Slot) -> Iterable[str]:
    words = {"program": slot.program, "when": when_text(slot.off_due_at, slot.studio.zone)}
    if slot.cancelled_at is not None:
        yield _("%(program)s. It does not fire.") % words
    elif slot.off_at is not None:
        words["when"] = when_text(slot.off_at, slot.studio.zone)
        yield _("%(program)s. It was off on %(when)s.") % words
    else:
        yield _("%(program)s. Heating is expected to end on %(when)s.") % words


def _unload_lines(slot: Slot) -> Iterable[str]:
    zone = slot.studio.zone
    if slot.cancelled_at is None and slot.unloaded_at is None:
        first, last = slot.unload_window
        message = _(
            "Expected below %(below)s on %(window)s. Read the kiln first; a hot kiln is never "
            "opened."
        )
        yield message % {
            "below": temperature_text(slot.kiln.unload_below_c),
            "window": window_text(first, last, zone),
        }


def _pots_line(calendar: CalendarAddress, codes: Sequence[str]) -> str:
    if not codes:
        return _("No pots are packed.")
    words = {"codes": ", ".join(codes)}
    if calendar.section is None:
        return _("Pots: %(codes)s") % words
    return _("Pots of %(title)s: %(codes)s") % {**words, "title": calendar.section.title}
