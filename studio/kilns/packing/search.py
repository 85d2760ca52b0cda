"""Crowds on one shelf, stirred and pushed apart in turn until one has no overlap."""

from collections.abc import Sequence, Set
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from .attempt import Attempt, Laid, Shelfful
from .contact import Places
from .crowd import Ware, stood
from .inputs import Piece
from .shapes import Floats
from .squeeze import squeezed
from .stirring import Change, Stirring

SIDE_BY_SIDE = 16
"""Crowds at once: many enough that drawing their changes as arrays pays, few enough that each is
stirred often."""

MAY_LACK = 1.05
"""A crowd that comes to rest with so much more lacking than before is still gone on with: else it
stays where no single change helps."""

PATIENCE = 12
"""A crowd that was stirred so often for nothing is tired: it begins again."""

A_ROUND = 20_000
"""A round costs as much as looking at so many pairs even where nothing can be stirred."""


@dataclass(eq=False)
class Search:
    """Crowds (s, n) of the pots of a shelf and others, each as it lacked least so far.

    `more` may come onto the shelf, `kept` are never given away, `spare` places stand empty first.
    `lacks_mm` (s,) is what all gaps of a crowd together lack (the root of their squares' sum),
    `idle` (s,) how often it was stirred for nothing, `pairs` the effort.
    """

    attempt: Attempt
    shelf: Shelfful
    more: Sequence[Piece]
    dice: np.random.Generator
    changes: Sequence[Change]
    kept: Set[str] = frozenset()
    spare: int = 0
    pairs: int = 0
    stirring: Stirring = field(init=False)
    areas: Floats = field(init=False)
    size: int = field(init=False)
    numbers: dict[str, int] = field(init=False)
    who: Places = field(init=False)
    at: Floats = field(init=False)
    lacks_mm: Floats = field(init=False)
    idle: Places = field(init=False)

    def __post_init__(self) -> None:
        """Every crowd as the pots stand, and so many spare places without a pot."""
        room, laid = self.attempt.room, self.shelf.laid
        pots = [*(each.piece for each in laid), *self.more]
        self.size = len(laid) + self.spare
        self.numbers = {each.id: n for n, each in enumerate(pots)}
        alone = [room.fits(each)[0] for each in pots]
        ware = Ware(room.edge, pots, alone, self.shelf.standing, room.furniture.clearance_mm)
        self.areas = np.append([room.piece_area_mm2(each) for each in pots], 0.0)
        kept = np.array([*(each.id in self.kept for each in pots), False])
        half_mm = (room.furniture.shelf.width_mm / 2, room.furniture.shelf.depth_mm / 2)
        self.stirring = Stirring(
            ware, self.areas, kept, half_mm, self.dice, self.changes, room.side
        )
        who, at = self.placed(laid)
        self.who = np.tile(who, (SIDE_BY_SIDE, 1))
        self.at = np.tile(at, (SIDE_BY_SIDE, 1, 1))
        self.lacks_mm = np.full(SIDE_BY_SIDE, np.inf)
        self.idle = np.zeros(SIDE_BY_SIDE, dtype=np.intp)

    def placed(self, laid: Sequence[Laid]) -> tuple[Places, Floats]:
        """A crowd (n,) and its places (n, 3): the pots as they are laid, then spare places."""
        ware = self.stirring.ware
        who = np.full(self.size, ware.nothing)
        at = np.zeros((self.size, 3))
        for n, each in enumerate(laid):
            who[n] = self.numbers[each.piece.id]
            turn = np.radians(each.fit.turn_deg) * ware.arms_mm[who[n]] if each.fit.turn_deg else 0
            at[n] = (*each.at, turn)
        return who, at

    @property
    def ware(self) -> Ware:
        return self.stirring.ware

    @property
    def tired(self) -> NDArray[np.bool_]:
        """Which crowds (s,) are."""
        return np.asarray(self.idle > PATIENCE)

    def begin(self, rows: NDArray[np.bool_], who: Places, at: Floats) -> None:
        """Some crowds begin again."""
        self.who[rows], self.at[rows], self.lacks_mm[rows], self.idle[rows] = who, at, np.inf, 0

    def stirred(self, least: float, most: Floats) -> list[Laid] | None:
        """Stirs every crowd once, so that its pots cover so much. What comes to rest better than
        before is kept; answers the first without any overlap as it may be laid."""
        tried, tried_at, rows = self.stirring.stirred(self.who, self.at, least, most)
        self.pairs += self.stirring.pairs + A_ROUND
        self.stirring.pairs = 0
        self.idle += 1
        return self.settled(tried, tried_at, rows) if len(rows) else None

    def settled(self, who: Places, at: Floats, rows: Places) -> list[Laid] | None:
        """Pushes apart what is to become of some crowds (r,), one after the other; the same
        answer."""
        for row, one, places in zip(rows, who, at, strict=True):
            pots = np.flatnonzero(one != self.ware.nothing)
            found = squeezed(self.ware, one[pots], places[pots])
            self.pairs += found.pairs
            if found.lacks_mm < self.lacks_mm[row] * MAY_LACK:
                self.who[row], self.at[row], self.at[row, pots] = one, places, found.at
                self.lacks_mm[row], self.idle[row] = found.lacks_mm, 0
            if found.solved:
                laid = stood(self.ware, one[pots], found.at)
                if laid is not None:
                    return laid
        return None
