"""The coming weeks of the kiln room: which kiln fires when, with whom, and how full."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Q

from studio.kilns.hours import midnight
from studio.kilns.models import Slot
from studio.kilns.models.slot import SlotQuerySet
from studio.people.access import studio_of
from studio.people.models import User

from .loads import NOTHING, contents_of, share_filled
from .slots import obstacles

WEEKS = 4
FULL_SHARE = 0.5
"""A kiln packed well with round pots comes to about 0.55."""


@dataclass(frozen=True)
class SlotLine:
    """A slot with how many pots are packed, and what has come into its way since it was made."""

    slot: Slot
    pots: int
    full: bool
    in_the_way: tuple[str, ...]


@dataclass(frozen=True)
class Day:
    on: date
    lines: tuple[SlotLine, ...]


@dataclass(frozen=True)
class Week:
    """From Monday on. Days without a firing aren't in it."""

    begins: date
    days: tuple[Day, ...]

    @property
    def firings(self) -> int:
        return sum(len(day.lines) for day in self.days)

    @property
    def full(self) -> bool:
        """Every firing of the week is full."""
        return bool(self.days) and all(line.full for day in self.days for line in day.lines)


@dataclass(frozen=True)
class Coming:
    """`under_way`: begun before today, or lit, and not unloaded. `cancelled` are those to come."""

    under_way: tuple[SlotLine, ...]
    weeks: tuple[Week, ...]
    cancelled: tuple[Slot, ...]


def coming_weeks(person: User, today: date, at: datetime) -> Coming:
    """This week and the next three on the studio's calendar, in a fixed number of queries."""
    zone = studio_of(person).zone
    monday = today - timedelta(days=today.weekday())
    start, end = midnight(today, zone), midnight(monday + timedelta(weeks=WEEKS), zone)
    seen = with_what_counts(Slot.objects.visible_to(person))
    begun = Q(unloaded_at__isnull=True) & (Q(unload_at__gt=at) | Q(lit_at__isnull=False))
    slots = list(seen.standing().filter(starts_at__lt=end).filter(begun | Q(starts_at__gte=start)))
    by_day: dict[date, list[SlotLine]] = {}
    under_way: list[SlotLine] = []
    for line in lines_of(slots):
        if line.slot.starts_at < start or line.slot.lit_at is not None:
            if line.slot.unloaded_at is None:
                under_way.append(line)
        else:
            on = line.slot.starts_at.astimezone(zone).date()
            by_day.setdefault(on, []).append(line)
    cancelled = seen.filter(cancelled_at__isnull=False, starts_at__gte=at, starts_at__lt=end)
    return Coming(
        tuple(under_way),
        tuple(_week(monday + timedelta(weeks=n), by_day) for n in range(WEEKS)),
        tuple(cancelled),
    )


def with_what_counts(slots: SlotQuerySet) -> SlotQuerySet:
    """Slots with all that a line of theirs reads, whatever their number."""
    return slots.select_related("studio", "kiln", "program", "confirms_shut_off").prefetch_related(
        "kiln__not_together_with", "kiln__posts"
    )


def lines_of(slots: Iterable[Slot]) -> list[SlotLine]:
    """Of slots that `with_what_counts` read."""
    slots = list(slots)
    loads = contents_of(slots)
    found = []
    for slot in slots:
        load = loads.get(slot.pk, NOTHING)
        full = share_filled(slot.kiln, load) >= FULL_SHARE
        unlit = slot.lit_at is None and slot.cancelled_at is None
        told = tuple(each.message for each in obstacles(slot, slots)) if unlit else ()
        found.append(SlotLine(slot, len(load.placements), full, told))
    return found


def _week(begins: date, by_day: dict[date, list[SlotLine]]) -> Week:
    days = [begins + timedelta(days=n) for n in range(7)]
    return Week(begins, tuple(Day(on, tuple(by_day[on])) for on in days if on in by_day))
