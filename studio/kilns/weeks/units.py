"""What goes into a firing as one: a pot, or pots that stay together or stand in each other.

And in which starts it may go, or why in none.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from studio.kilns.packing.inputs import Piece

from .inputs import Pot, Start, Week
from .inside import Inside

Fits = Callable[[Start], bool]


@dataclass(frozen=True)
class Unit:
    """Pots that go into one firing or into none; `starts` are places in `Week.starts`."""

    pots: tuple[Pot, ...]
    starts: tuple[int, ...]
    why: str = ""

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """What takes room: not what stands in something else."""
        return tuple(each.piece for each in self.pots if not each.nested_in)

    @property
    def must_go(self) -> bool:
        return any(each.must_go for each in self.pots)

    def late(self, out_at: datetime) -> int:
        """How many of its pots are late when they can be unloaded at that moment."""
        return sum(each.is_late(out_at) for each in self.pots)

    def after_glaze_day(self, out_at: datetime) -> int:
        """How many come out after their class's glaze day."""
        return sum(each.is_after_glaze_day(out_at) for each in self.pots)

    def late_when_left(self, until: datetime) -> int:
        return sum(each.due is not None and each.due <= until for each in self.pots)

    def after_glaze_day_when_left(self, until: datetime) -> int:
        return sum(each.glaze_day is not None and each.glaze_day <= until for each in self.pots)


def units_of(week: Week, insides: Mapping[str, Inside]) -> list[Unit]:
    """All pots that stand in no start yet, in the order in which they are given."""
    standing = {name for start in week.starts for name in start.standing}
    waiting = [each for each in week.pots if each.id not in standing]
    return [_unit(tuple(pots), week, insides) for pots in _joined(waiting, standing)]


def _joined(pots: Sequence[Pot], standing: set[str]) -> list[list[Pot]]:
    """Pots that must not be separated. A carrier that stands in a load already is no tie."""
    root = {each.id: each.id for each in pots}

    def top(name: str) -> str:
        while root[name] != name:
            name = root[name]
        return name

    ties = [(each.id, each.nested_in) for each in pots if each.nested_in in root]
    first: dict[str, str] = {}
    ties += [(first.setdefault(each.together, each.id), each.id) for each in pots if each.together]
    for one, other in ties:
        root[top(one)] = top(other)
    found: dict[str, list[Pot]] = {}
    for each in pots:
        found.setdefault(top(each.id), []).append(each)
    return list(found.values())


def _unit(pots: tuple[Pot, ...], week: Week, insides: Mapping[str, Inside]) -> Unit:
    if any(each.not_now for each in pots):
        return Unit(pots, (), "not_now")
    if why := _not_nested(pots, week):
        return Unit(pots, (), why)
    left = list(range(len(week.starts)))
    for why, fits in _conditions(pots, week, insides):
        left = [n for n in left if fits(week.starts[n])]
        if not left:
            return Unit(pots, (), why)
    return Unit(pots, tuple(left))


def _not_nested(pots: Sequence[Pot], week: Week) -> str:
    known = {each.id for each in pots}
    inner = [each for each in pots if each.nested_in]
    if any(each.nested_in not in known for each in inner):
        return "carrier_gone"
    # Glaze that melts would join them (common practice, no source).
    if any(not each.programs <= week.bisque for each in inner):
        return "nested_glaze"
    if not any(not each.nested_in for each in pots):
        return "carrier_gone"
    return ""


def _conditions(
    pots: Sequence[Pot], week: Week, insides: Mapping[str, Inside]
) -> Iterator[tuple[str, Fits]]:
    """What narrows the starts down, with the reason that stands where none is left."""
    programs = frozenset.intersection(*(each.programs for each in pots))
    ready = max(each.ready for each in pots)
    pins = {each.pinned for each in pots if each.pinned}
    pieces = [each.piece for each in pots if not each.nested_in]
    if not programs:
        yield "never_together", lambda _start: False
    fit = {name for name, each in insides.items() if each.takes(pieces)}
    if not fit:
        yield "no_kiln", lambda _start: False
    yield "no_program", lambda start: start.program in programs and not start.closed
    yield "no_kiln_of_program", lambda start: start.kiln in fit
    if pins:
        yield "pinned_elsewhere", lambda start: pins == {start.id}
    yield "not_ready", lambda start: ready <= start.lit_at
