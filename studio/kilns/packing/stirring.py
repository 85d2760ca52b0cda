"""Crowds of pots on one shelf are stirred: one or two pots of each set down elsewhere, changed
over, turned, or given for others. Of some random changes the one that overlaps least is taken."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .contact import Places
from .crowd import Ware
from .overlap import least_change
from .shapes import Floats

DRAWN, LOOKED_AT = 150, 8
"""Changes drawn for each crowd, and how many of those that are allowed are looked at."""

A, B, ONE, OTHER, NOTHING = range(5)
ANYWHERE = 2
"""Codes of a `Change`."""


class Change(NamedTuple):
    """What stands in a first and a second place afterwards, and where: the pots that did (A, B),
    one or two others, or nothing; and how often it is drawn."""

    first: int
    first_at: int
    second: int
    second_at: int
    weight: int


SAME_POTS = (Change(A, A, B, B, 3), Change(A, ANYWHERE, B, B, 2), Change(A, B, B, A, 2))
"""One turned, one set down elsewhere, two changed over."""

OTHER_POTS = (
    Change(ONE, A, B, B, 3),
    Change(ONE, ANYWHERE, B, B, 3),
    Change(ONE, A, OTHER, B, 2),
    Change(NOTHING, A, ONE, B, 1),
    Change(ONE, ANYWHERE, OTHER, B, 1),
)
"""One for one, in its place or elsewhere; two for two; one for two; two for one."""


@dataclass(eq=False)
class Stirring:
    """Crowds whose pots' areas together stay within bounds; those in `kept` are never given away.

    `areas` (pots + 1,) has 0 at its end, for no pot. `side` is that of a half shelf: -1 or 1.
    `pairs` counts the effort.
    """

    ware: Ware
    areas: Floats
    kept: NDArray[np.bool_]
    half_mm: tuple[float, float]
    dice: np.random.Generator
    changes: Sequence[Change]
    side: int = 0
    pairs: int = 0
    _table: Places = field(init=False)
    _weights: Floats = field(init=False)

    def __post_init__(self) -> None:
        self._table = np.array([each[:4] for each in self.changes], dtype=np.intp)
        weights = np.array([each.weight for each in self.changes], dtype=float)
        self._weights = weights / weights.sum()

    def anywhere(self, *shape: int) -> Floats:
        """Places (…, 2) at random within the ellipse that the shelf holds, or its half."""
        angle = self.dice.uniform(0, 2 * np.pi, shape)
        share = np.sqrt(self.dice.uniform(0, 1, shape))[..., np.newaxis]
        unit = np.stack((np.cos(angle), np.sin(angle)), axis=-1)
        places = np.asarray(unit * share * self.half_mm)
        if self.side:
            places[..., 0] = self.side * np.abs(places[..., 0])
        return places

    def turned(self, who: Places) -> Floats:
        """Random turns, as moves; none for round pots."""
        return np.asarray(self.dice.uniform(0, 2 * np.pi, who.shape) * self._arms(who))

    def _arms(self, who: Places) -> Floats:
        arms = self.ware.arms_mm[who]
        return np.where(np.isinf(arms), 0.0, arms)

    def stirred(
        self, who: Places, at: Floats, least: float, most: Floats
    ) -> tuple[Places, Floats, Places]:
        """Crowds (s, n) at their places (s, n, 3), each stirred by one change after which its pots
        cover `least` at least and `most` (s,) at most; and the crowds for which there was one."""
        slots, pots, places, allowed = self._drawn(who, at)
        rows = np.arange(len(who))[:, np.newaxis]
        after = self.areas[who].sum(axis=1)[:, np.newaxis]
        after = after - self.areas[who[rows, slots[0]]] - self.areas[who[rows, slots[1]]]
        after = after + self.areas[pots[0]] + self.areas[pots[1]]
        allowed &= (after >= least) & (after <= most[:, np.newaxis])
        tried, tried_at, stirred = who.copy(), at.copy(), allowed.any(axis=1)
        for n in np.flatnonzero(stirred):
            some = np.flatnonzero(allowed[n])[:LOOKED_AT]
            slot, pot = slots[:, n, some].T.copy(), pots[:, n, some].T.copy()
            place = places[:, n, some].swapaxes(0, 1).copy()
            everyone, everywhere = self.ware.with_fixed(who[n], at[n])
            best = least_change(
                self.ware.tables, everyone, everywhere, who.shape[1], slot, pot, place
            )
            tried[n, slot[best]], tried_at[n, slot[best]] = pot[best], place[best]
            self.pairs += len(everyone) * (who.shape[1] + 2 * len(some))
        return tried[stirred], tried_at[stirred], np.flatnonzero(stirred)

    def _drawn(self, who: Places, at: Floats) -> tuple[Places, Places, Floats, NDArray[np.bool_]]:
        """Random changes for each crowd: two slots of it (2, s, d), the pots and the places
        (2, s, d, 3) there afterwards, and whether it can be done (s, d)."""
        count, size = who.shape
        nothing = self.ware.nothing
        rows, shape = np.arange(count)[:, np.newaxis], (count, DRAWN)
        change = self.dice.choice(len(self.changes), size=shape, p=self._weights)
        change[:, : DRAWN // 2] = change[:, :1]  # else the least change would always be taken
        slots = self.dice.integers(size, size=(2, *shape))
        one, other = self.dice.integers(nothing, size=(2, *shape))
        a, b = who[rows, slots]
        first_pot, first_at, second_pot, second_at = np.moveaxis(self._table[change], -1, 0)
        somewhere = np.concatenate((self.anywhere(*shape), np.zeros((*shape, 1))), axis=-1)
        pots = np.take_along_axis(
            np.stack((a, b, one, other, np.full(shape, nothing))),
            np.stack((first_pot, second_pot)),
            axis=0,
        )
        places = np.take_along_axis(
            np.stack((*at[rows, slots], somewhere)),
            np.stack((first_at, second_at))[..., np.newaxis],
            axis=0,
        )
        changed_b = (second_pot != B) | (second_at != B)
        turns = self.turned(pots)
        places[0, ..., 2] = turns[0]
        places[1, ..., 2] = np.where(changed_b, turns[1], places[1, ..., 2])
        inside = np.zeros((count, nothing + 1), dtype=bool)
        inside[rows, who] = True
        takes_one = (first_pot == ONE) | (second_pot == ONE)
        takes_other = second_pot == OTHER
        needs_a = (first_pot == A) | (first_at == A)
        allowed = slots[0] != slots[1]
        allowed &= ~(needs_a & (a == nothing)) & ~(changed_b & (b == nothing))
        allowed &= ~(takes_one & inside[rows, one]) & ~(takes_other & inside[rows, other])
        allowed &= ~(takes_other & (one == other))
        allowed &= ~((first_pot != A) & self.kept[a]) & ~((second_pot != B) & self.kept[b])
        still = (first_pot == A) & (first_at == A) & (second_pot == B)
        allowed &= ~(still & np.isinf(self.ware.arms_mm[a]))
        allowed &= ~((first_at == B) & (self.areas[a] == self.areas[b]))  # two alike
        return slots, pots, places, allowed
