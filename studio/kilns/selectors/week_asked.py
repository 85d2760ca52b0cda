"""A week of the studio as `studio.kilns.weeks` plans it: its open slots and the pots that wait."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any, Self
from uuid import UUID

from studio.kilns.hours import midnight
from studio.kilns.models import Firing, Placement, Program, Slot
from studio.kilns.packing.inputs import Layer
from studio.kilns.weeks import inputs as asked
from studio.people.models import Studio
from studio.room.models import Kiln
from studio.ware.selectors import ReadyPot, ready_for_glaze, ready_or_soon_for_bisque

from .loads import contents_of, furniture_of, piece_of, stock_of
from .waiting import cone_of, wrong_cone
from .week_dates import WaitingClass, due_moment, glaze_takes, is_for_bisque, waiting_classes

DAYS = timedelta(days=7)


@dataclass(frozen=True)
class ByHand:
    """What people decide: ids of pots that must go, of those kept back, and by pot the slot that it
    is pinned to; keys of `WaitingClass` whose pots stay together, and by key the day on which the
    class glazes, None for one that doesn't.
    """

    must_go: frozenset[str] = frozenset()
    not_now: frozenset[str] = frozenset()
    pinned: Mapping[str, str] = field(default_factory=dict)
    together: frozenset[str] = frozenset()
    glaze_days: Mapping[str, date | None] = field(default_factory=dict)

    @classmethod
    def read(cls, kept: Mapping[str, Any]) -> Self:
        """As `kept` wrote it."""
        days = kept.get("glaze_days", {})
        return cls(
            frozenset(kept.get("must_go", ())),
            frozenset(kept.get("not_now", ())),
            kept.get("pinned", {}),
            frozenset(kept.get("together", ())),
            {key: date.fromisoformat(day) if day else None for key, day in days.items()},
        )

    def kept(self) -> dict[str, Any]:
        """In letters and numbers, the same for the same decisions."""
        days = sorted(self.glaze_days.items())
        return {
            "must_go": sorted(self.must_go),
            "not_now": sorted(self.not_now),
            "pinned": dict(sorted(self.pinned.items())),
            "together": sorted(self.together),
            "glaze_days": {key: day.isoformat() if day else None for key, day in days},
        }


def open_slots(studio: Studio, monday: date, at: datetime) -> list[Slot]:
    """Standing and unlit, of the week that begins on this day, and not before now."""
    seen = Slot.objects.open().filter(studio=studio).select_related("kiln", "program")
    return list(
        seen.filter(
            starts_at__gte=max(week_begin(studio, monday), at),
            starts_at__lt=week_end(studio, monday),
        )
    )


def loaded_pots(studio: Studio) -> dict[str, str]:
    """By pot in a load: its slot."""
    rows = Placement.objects.filter(done=False, load__slot__studio=studio)
    return {str(pot): str(slot) for pot, slot in rows.values_list("pot", "load__slot")}


def guests_in_loads(studio: Studio) -> dict[str, list[str]]:
    """By pot that others stand in or on, in a load: those."""
    rows = Placement.objects.filter(done=False, load__slot__studio=studio, host__isnull=False)
    found: dict[str, list[str]] = {}
    for host, guest in rows.order_by("layer", "at", "pk").values_list("host__pot", "pot"):
        found.setdefault(str(host), []).append(str(guest))
    return found


def waiting_pots(
    studio: Studio, monday: date, at: datetime, loaded: Collection[str] | None = None
) -> list[ReadyPot]:
    """Whose checks stand and that are in no load; then those that are likely dry before the end of
    the week that begins on this day. A fixed number of queries."""
    placed = loaded_pots(studio) if loaded is None else loaded
    ready = ready_or_soon_for_bisque(studio, now=at, before=monday + DAYS)
    ready += ready_for_glaze(studio)
    return [each for each in ready if str(each.pot.pk) not in placed]


def week_to_plan(studio: Studio, monday: date, at: datetime, by_hand: ByHand) -> asked.Week:
    """What stands in a load stays there, and its firing is lit; what stands in or on another pot
    takes no room of its own and isn't named. Pots in the order of urgency: by
    the date on which their project is due, then by class and code."""
    slots = open_slots(studio, monday, at)
    loads = contents_of(slots)
    # All that are in use: a pot that no firing of the week suits is told which one would.
    kilns = {each.pk: each for each in kilns_in_use(studio)} | {s.kiln_id: s.kiln for s in slots}
    programs = {each.pk: each for each in Program.objects.filter(studio=studio).in_use()}
    programs |= {slot.program_id: slot.program for slot in slots}
    starts = [start_of(slot, loads[slot.pk].layers if slot.pk in loads else ()) for slot in slots]
    until = max([week_end(studio, monday), *(each.unload_at for each in starts)])
    today = at.astimezone(studio.zone).date()
    takes = glaze_takes(studio)
    pots = [
        pot
        for each in waiting_classes(studio, waiting_pots(studio, monday, at), today)
        for pot in _pots(studio, each, _Dates(at, until, starts, takes), programs, by_hand)
    ]
    for load in loads.values():
        pots += [asked.Pot(each, frozenset(), at) for each in load.pieces]
    bisque = {str(pk) for pk, each in programs.items() if each.firing == Firing.BISQUE}
    return asked.Week(
        tuple(_kiln(each, kilns.keys()) for each in kilns.values()),
        tuple(starts),
        tuple(pots),
        until,
        frozenset(bisque),
    )


def week_begin(studio: Studio, monday: date) -> datetime:
    return midnight(monday, studio.zone)


def week_end(studio: Studio, monday: date) -> datetime:
    return midnight(monday + DAYS, studio.zone)


def kilns_in_use(studio: Studio) -> Iterable[Kiln]:
    """With what they never fire with, and their posts."""
    seen = Kiln.objects.in_use().filter(studio=studio)
    return seen.prefetch_related("not_together_with", "posts")


def _kiln(kiln: Kiln, here: Collection[object]) -> asked.Kiln:
    stock = stock_of(kiln)
    apart = {str(each.pk) for each in kiln.not_together_with.all() if each.pk in here}
    return asked.Kiln(str(kiln.pk), furniture_of(kiln, stock), stock, frozenset(apart))


def start_of(slot: Slot, layers: tuple[Layer, ...]) -> asked.Start:
    return asked.Start(
        str(slot.pk),
        str(slot.kiln_id),
        str(slot.program_id),
        slot.starts_at,
        slot.ends_at,
        slot.unload_at,
        kept=any(layer.placements for layer in layers),
        layers=layers,
    )


@dataclass(frozen=True)
class _Dates:
    """Between what a plan chooses, and how long the glaze firing after a bisque takes."""

    at: datetime
    until: datetime
    starts: Collection[asked.Start]
    glaze_takes: timedelta

    def still(self, moment: datetime, programs: Collection[str]) -> datetime:
        """A moment that none of the week's firings keeps any more can't order them: the pot is due
        by the week's end, so that it goes before those that may wait."""
        out = [each.unload_at for each in self.starts if each.program in programs]
        return max(moment, self.until) if out and moment < min(out) else moment


def _pots(
    studio: Studio,
    waiting: WaitingClass,
    dates: _Dates,
    programs: Mapping[UUID, Program],
    by_hand: ByHand,
) -> Iterable[asked.Pot]:
    due, glaze_day = due_moment(studio, waiting.assignment.due_on), None
    day = by_hand.glaze_days.get(waiting.key, waiting.glaze_day)
    if waiting.bisque and (day or waiting.key not in by_hand.glaze_days):
        due -= dates.glaze_takes
        glaze_day = None if day is None else midnight(day, studio.zone)
    for each in waiting.pots:
        name = str(each.pot.pk)
        suits = frozenset(str(pk) for pk, row in programs.items() if _suits(row, each))
        alone = name in by_hand.not_now or waiting.key not in by_hand.together
        yield asked.Pot(
            piece_of(each.pot, each.greenware),
            suits,
            _ready_from(studio, each, dates.at),
            due=dates.still(due, suits),
            glaze_day=None if glaze_day is None else dates.still(glaze_day, suits),
            must_go=name in by_hand.must_go,
            not_now=name in by_hand.not_now,
            pinned=by_hand.pinned.get(name, ""),
            together="" if alone else waiting.key,
        )


def _ready_from(studio: Studio, each: ReadyPot, at: datetime) -> datetime:
    """From the morning of the day on which it is likely dry: then it is felt and loaded."""
    return at if each.dry_on is None else max(at, midnight(each.dry_on, studio.zone))


def _suits(program: Program, ready: ReadyPot) -> bool:
    if program.firing == Firing.BISQUE:
        return is_for_bisque(ready)
    return not is_for_bisque(ready) and not wrong_cone(program, ready, cone_of(program))
