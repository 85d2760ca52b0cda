"""A week of the studio as `studio.kilns.weeks` plans it: its open slots and the pots that wait."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from studio.kilns.models import Firing, Placement, Program, Slot
from studio.kilns.packing.inputs import Layer
from studio.kilns.weeks import inputs as asked
from studio.people.models import Studio
from studio.room.models import Kiln
from studio.ware.selectors import ReadyPot, ready_for_bisque, ready_for_glaze

from .loads import contents_of, furniture_of, piece_of, stock_of
from .waiting import cone_of, wrong_cone

DAYS = timedelta(days=7)


@dataclass(frozen=True)
class ByHand:
    """Ids of pots that must go, and of those that are kept back."""

    must_go: frozenset[str] = frozenset()
    not_now: frozenset[str] = frozenset()


def open_slots(studio: Studio, monday: date, at: datetime) -> list[Slot]:
    """Standing and unlit, of the week that begins on this day, and not before now."""
    begin = datetime.combine(monday, time(), studio.zone).astimezone(UTC)
    seen = Slot.objects.open().filter(studio=studio).select_related("kiln", "program")
    return list(seen.filter(starts_at__gte=max(begin, at), starts_at__lt=_end(studio, monday)))


def waiting_pots(studio: Studio) -> list[ReadyPot]:
    """Whose checks stand and that are in no load. A fixed number of queries."""
    loaded = Placement.objects.filter(done=False, load__slot__studio=studio)
    placed = set(loaded.values_list("pot", flat=True))
    ready = [*ready_for_bisque(studio), *ready_for_glaze(studio)]
    return [each for each in ready if each.pot.pk not in placed]


def week_to_plan(studio: Studio, monday: date, at: datetime, by_hand: ByHand) -> asked.Week:
    """What stands in a load stays there, and its firing is lit. Pots in the order of urgency: by
    the date on which their project is due, then by code."""
    slots = open_slots(studio, monday, at)
    loads = contents_of(slots)
    # All that are in use: a pot that no firing of the week suits is told which one would.
    kilns = {each.pk: each for each in _kilns(studio)} | {s.kiln_id: s.kiln for s in slots}
    programs = {each.pk: each for each in Program.objects.filter(studio=studio).in_use()}
    programs |= {slot.program_id: slot.program for slot in slots}
    waiting = waiting_pots(studio)
    waiting.sort(key=lambda each: (each.pot.piece.assignment.due_on, each.pot.code))
    pots = [_pot(studio, each, programs.values(), at, by_hand) for each in waiting]
    for load in loads.values():
        pots += [asked.Pot(each, frozenset(), at) for each in load.pieces]
    starts = [_start(slot, loads[slot.pk].layers if slot.pk in loads else ()) for slot in slots]
    until = max([_end(studio, monday), *(each.unload_at for each in starts)])
    bisque = {str(pk) for pk, each in programs.items() if each.firing == Firing.BISQUE}
    return asked.Week(
        tuple(_kiln(each, kilns.keys()) for each in kilns.values()),
        tuple(starts),
        tuple(pots),
        until,
        frozenset(bisque),
    )


def _end(studio: Studio, monday: date) -> datetime:
    return datetime.combine(monday + DAYS, time(), studio.zone).astimezone(UTC)


def _kiln(kiln: Kiln, here: Collection[object]) -> asked.Kiln:
    stock = stock_of(kiln)
    apart = {str(each.pk) for each in kiln.not_together_with.all() if each.pk in here}
    return asked.Kiln(str(kiln.pk), furniture_of(kiln, stock), stock, frozenset(apart))


def _kilns(studio: Studio) -> Iterable[Kiln]:
    seen = Kiln.objects.in_use().filter(studio=studio)
    return seen.prefetch_related("not_together_with", "posts")


def _start(slot: Slot, layers: tuple[Layer, ...]) -> asked.Start:
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


def _pot(
    studio: Studio,
    ready: ReadyPot,
    programs: Iterable[Program],
    at: datetime,
    by_hand: ByHand,
) -> asked.Pot:
    name = str(ready.pot.pk)
    due = ready.pot.piece.assignment.due_on
    return asked.Pot(
        piece_of(ready.pot, ready.greenware),
        frozenset(str(each.pk) for each in programs if _suits(each, ready)),
        at,
        due=datetime.combine(due + timedelta(days=1), time(), studio.zone).astimezone(UTC),
        must_go=name in by_hand.must_go,
        not_now=name in by_hand.not_now,
    )


def _suits(program: Program, ready: ReadyPot) -> bool:
    if program.firing == Firing.BISQUE:
        return ready.cones is None and ready.pot.stage == "bone_dry"
    return ready.pot.stage == "glazed" and not wrong_cone(program, ready, cone_of(program))
