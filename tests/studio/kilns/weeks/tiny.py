"""Weeks so small that every plan can be looked at, and the judge of plans of any size.

Kilns hold so many square pots of one size side by side on their only shelf: nothing needs packing,
so what is best follows from counting.
"""

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from itertools import combinations, product

from studio.kilns.furnished import Stock
from studio.kilns.packing.checked import checked
from studio.kilns.packing.inputs import Furniture, Outline, Piece, Shelf
from studio.kilns.weeks.answer import Answer, Firing
from studio.kilns.weeks.inputs import Kiln, Pot, Start, Week

SIDE, GAP = 100.0, 10.0
SQUARE = Outline("rounded_square", 0.0)
MONDAY = datetime(2026, 3, 2, tzinfo=UTC)
EVER = MONDAY + timedelta(days=30)


def at(day: float) -> datetime:
    return MONDAY + timedelta(days=day)


def kiln(name: str, holds: int, *apart: str) -> Kiln:
    shelf = Shelf("rectangle", holds * SIDE + (holds - 1) * GAP, SIDE)
    return Kiln(name, Furniture(shelf, 150, 20, (), GAP, 20), Stock(1, ()), frozenset(apart))


def piece(name: str, high: float = 100.0) -> Piece:
    return Piece(name, SIDE, SIDE, high, SQUARE)


def pot(
    name: str,
    program: str = "bisque",
    ready: float = 0.0,
    due: float | None = None,
    **by_hand: object,
) -> Pot:
    due_at = None if due is None else at(due)
    return Pot(piece(name), frozenset({program}), at(ready), due_at, **by_hand)  # type: ignore[arg-type]


def start(name: str, of: str, day: float, program: str = "bisque", **hours: float) -> Start:
    """Fires for half a day and cools a little less, unless `takes` and `cools` say so."""
    off = day + hours.get("takes", 0.5)
    return Start(name, of, program, at(day), at(off), at(off + hours.get("cools", 0.4)))


def week(
    kilns: Sequence[Kiln], starts: Sequence[Start], pots: Sequence[Pot], until: datetime = EVER
) -> Week:
    return Week(tuple(kilns), tuple(starts), tuple(pots), until, frozenset({"bisque"}))


def in_the_way(one: Start, other: Start, kilns: Sequence[Kiln]) -> bool:
    """Looked at hour by hour."""
    apart = {(each.id, other) for each in kilns for other in each.apart}
    pair = {(one.kiln, other.kiln), (other.kiln, one.kiln)}
    if one.kiln != other.kiln and not pair & apart:
        return False
    ends = [each.unload_at if one.kiln == other.kiln else each.off_at for each in (one, other)]
    hour = min(one.lit_at, other.lit_at)
    while hour < max(ends):
        if one.lit_at <= hour < ends[0] and other.lit_at <= hour < ends[1]:
            return True
        hour += timedelta(minutes=6)
    return False


def best_of_all(asked: Week, holds: dict[str, int]) -> tuple[int, ...]:
    """Must go and left, late, after the glaze day, left out, firings: every plan looked at."""
    never = {
        frozenset(pair)
        for pair in combinations(range(len(asked.starts)), 2)
        if in_the_way(asked.starts[pair[0]], asked.starts[pair[1]], asked.kilns)
    }
    choices = [(*_suits(each, asked.starts), None) for each in asked.pots]
    return min(_score(asked, plan) for plan in product(*choices) if _may(asked, plan, holds, never))


def _suits(each: Pot, starts: Sequence[Start]) -> Iterator[int]:
    for n, one in enumerate(starts):
        if one.program in each.programs and each.ready <= one.lit_at:
            yield n


def _may(
    asked: Week,
    plan: Sequence[int | None],
    holds: dict[str, int],
    never: set[frozenset[int]],
) -> bool:
    lit = {n for n in plan if n is not None}
    if any(plan.count(n) > holds[asked.starts[n].kiln] for n in lit):
        return False
    return not any(frozenset(pair) in never for pair in combinations(lit, 2))


def _score(asked: Week, plan: Sequence[int | None]) -> tuple[int, ...]:
    must = late = day = left = 0
    for each, n in zip(asked.pots, plan, strict=True):
        out = asked.until if n is None else asked.starts[n].unload_at
        late += _over(each.due, out, n is None)
        day += _over(each.glaze_day, out, n is None)
        left += n is None
        must += n is None and each.must_go
    return must, late, day, left, len({n for n in plan if n is not None})


def _over(day: datetime | None, out: datetime, left: bool) -> bool:
    return day is not None and (day < out or (left and day == out))


def wrong(asked: Week, answer: Answer) -> list[str]:
    """All that a plan must never be."""
    named = [name for firing in answer.firings for name in firing.pots]
    left = [each.id for each in answer.left_out]
    found = [*_clashing(asked, answer), *_separated(asked, answer)]
    if sorted([*named, *left]) != sorted(each.id for each in asked.pots):
        found.append("a pot is missing or goes twice")
    for firing in answer.firings:
        found += _wrong_load(asked, firing)
        found += _wrong_pots(asked, firing)
    lit = {firing.start.id for firing in answer.firings}
    return found + [f"{s.id} isn't lit" for s in asked.starts if s.kept and s.id not in lit]


def _clashing(asked: Week, answer: Answer) -> Iterator[str]:
    for one, other in combinations((firing.start for firing in answer.firings), 2):
        if in_the_way(one, other, asked.kilns):
            yield f"{one.id} and {other.id} are both lit"


def _separated(asked: Week, answer: Answer) -> Iterator[str]:
    goes = answer.pots
    for one, other in combinations(asked.pots, 2):
        tied = (one.together and one.together == other.together) or other.nested_in == one.id
        if tied and goes.get(one.id) != goes.get(other.id):
            yield f"{one.id} and {other.id} are separated"


def _wrong_load(asked: Week, firing: Firing) -> Iterator[str]:
    pots = {each.id: each for each in asked.pots}
    start_ = firing.start
    stood = {each.id for layer in firing.layers for each in layer.placements}
    if start_ not in asked.starts:
        yield f"{start_.id} is no start of the week"
    if stood != {name for name in firing.pots if not pots[name].nested_in}:
        yield f"{start_.id}: the layers don't hold its pots"
    for before, after in zip(start_.layers, firing.layers, strict=False):
        if not set(before.placements) <= set(after.placements):
            yield f"{start_.id}: what stood is gone"
    (inside,) = (each.furniture for each in asked.kilns if each.id == start_.kiln)
    pieces = [pots[name].piece for name in firing.pots]
    for each in checked(inside, pieces, firing.layers):
        yield each.message


def _wrong_pots(asked: Week, firing: Firing) -> Iterator[str]:
    start_ = firing.start
    old = {each.id for layer in start_.layers for each in layer.placements}
    for each in asked.pots:
        if each.id not in firing.pots or each.id in old:
            continue
        if start_.program not in each.programs or start_.closed:
            yield f"{each.id} is in a firing of another program"
        if each.ready > start_.lit_at:
            yield f"{each.id} isn't ready"
        if each.not_now or each.pinned not in {"", start_.id}:
            yield f"{each.id} goes against what was decided by hand"
