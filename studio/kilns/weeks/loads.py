"""Whole firings packed at once, and units moved between them until as few as can be are left.

Layer by layer, or pot by pot into what stands, leaves more out than packing the whole load anew.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from studio.kilns.furnished import trimmed
from studio.kilns.halves import FEW_LAYOUTS, laid_out
from studio.kilns.packing.inputs import Layer, Piece

from .inputs import Start
from .inside import Inside
from .units import Unit

MOST_PACKS = 100
"""Loads packed for one week: about a minute. What is found by then is gone on with."""

FULLER = 1.08
"""A load so much fuller than every trial load isn't tried."""


@dataclass(frozen=True)
class Packed:
    """A start's layers, and by place the units that stand in them and those that don't fit."""

    layers: tuple[Layer, ...]
    stood: tuple[int, ...]
    left: tuple[int, ...]


@dataclass(eq=False)
class Packer:
    """Packs units, named by their place in `units` (the most urgent first), into starts. What was
    packed once isn't packed again."""

    starts: Sequence[Start]
    standing: Sequence[Sequence[Piece]]
    insides: Mapping[str, Inside]
    units: Sequence[Unit]
    each_load: Callable[[int], None]
    packs: int = 0
    _known: dict[tuple[object, ...], Packed] = field(default_factory=dict)

    @property
    def is_spent(self) -> bool:
        """No more loads are tried for the sake of a better plan."""
        return self.packs >= MOST_PACKS

    def packed(self, start: int, units: Iterable[int]) -> Packed:
        """Units that stay together are in it whole or not at all. One that must go is in it before
        others that need not."""
        asked = tuple(sorted(units))
        key = (self.starts[start].kiln, self.starts[start].layers, asked)
        if key not in self._known:
            self._known[key] = self._with_musts(start, asked)
        return self._known[key]

    def filled(self, start: int, units: Iterable[int]) -> float:
        inside = self.insides[self.starts[start].kiln]
        pieces = [piece for n in units for piece in self.units[n].pieces]
        return inside.filled([*self.standing[start], *pieces])

    def added(self, start: int, unit: int) -> float:
        """The share of the room that one more unit takes."""
        inside = self.insides[self.starts[start].kiln]
        return inside.filled(self.units[unit].pieces)

    def _with_musts(self, start: int, asked: tuple[int, ...]) -> Packed:
        found = self._once(start, asked)
        may_wait = [n for n in asked if not self.units[n].must_go]
        dropped: list[int] = []
        while may_wait and any(self.units[n].must_go for n in found.left):
            dropped.append(may_wait.pop())
            rest = tuple(n for n in asked if n not in dropped)
            found = self._once(start, rest)
        return Packed(found.layers, found.stood, (*found.left, *sorted(dropped)))

    def _once(self, start: int, asked: tuple[int, ...]) -> Packed:
        self.packs += 1
        self.each_load(self.packs)
        at = self.starts[start]
        kiln = self.insides[at.kiln].kiln
        pieces = [*self.standing[start], *(p for n in asked for p in self.units[n].pieces)]
        load = laid_out(kiln.furniture, kiln.stock, pieces, at.layers, layouts=FEW_LAYOUTS)
        gone = set(load.left_out)
        left = tuple(n for n in asked if any(p.id in gone for p in self.units[n].pieces))
        broken = {p.id for n in left for p in self.units[n].pieces} - gone
        layers = _without(load.layers, broken)
        return Packed(layers, tuple(n for n in asked if n not in left), left)


def _without(layers: Sequence[Layer], names: set[str]) -> tuple[Layer, ...]:
    if not names:
        return tuple(layers)
    kept = [
        replace(each, placements=tuple(p for p in each.placements if p.id not in names))
        for each in layers
    ]
    return trimmed(kept)


def dealt(
    flows: Mapping[tuple[int, int], int],
    groups: Sequence[Sequence[int]],
    packer: Packer,
) -> dict[int, list[int]]:
    """Which units go into which start, so many of each group as were reckoned, the large ones
    spread: each start gets about the room that it was reckoned with."""
    into: dict[int, list[int]] = {}
    owed: dict[int, float] = {}
    for g, group in enumerate(groups):
        starts = {s: n for (s, of), n in flows.items() if of == g}
        sizes = {(s, u): packer.added(s, u) for s in starts for u in group}
        for s, n in starts.items():
            owed[s] = owed.get(s, 0.0) + n * sum(sizes[s, u] for u in group) / len(group)
        goes = group[: sum(starts.values())]
        for u in sorted(goes, key=lambda u: -max(sizes[s, u] for s in starts)):
            s = max(starts, key=lambda s: (owed[s], -s))
            into.setdefault(s, []).append(u)
            owed[s] -= sizes[s, u]
            starts[s] -= 1
            if not starts[s]:
                del starts[s]
    return into
