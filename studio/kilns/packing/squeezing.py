"""What was left out is squeezed onto the shelves, moving pots that were laid in this load.

Several crowds of the same pots are pushed apart side by side. Those that come to rest with some
overlap are stirred (a pot set down elsewhere, two changed over, one turned) and pushed apart again;
a stirred crowd is kept when it lacks less than before.
"""

from collections.abc import Sequence

import numpy as np

from .attempt import Attempt, Shelfful
from .contact import Fit
from .inputs import Piece
from .shapes import Floats
from .squeeze import Crowd, squeezed
from .tolerances import TOO_FULL

SIDE_BY_SIDE = 16
"""Crowds at once: many enough that arrays pay, few enough to stop soon after one has succeeded."""

MOST_STIRRED = 40
HOPELESS = 0.10
"""Who still lacks so much of its width from the first starts won't fit after more."""

PAIRS_A_POT = 300_000
"""Effort for one pot on one shelf, for each pot there: few pots are soon tried out."""

PAIRS_A_TRY = 250_000
"""Pairs of pots looked at for a whole load, for each order that may be tried: bounds the work to
a second or so of one core where many are."""


def squeeze_in(attempt: Attempt, left_out: Sequence[Piece], tries: int) -> None:
    """Squeezes in as many as can be, small ones first, since more of them are placed so; pots that
    stood before the load stay where they are."""
    dice = np.random.default_rng(1)
    pairs, most = 0, PAIRS_A_TRY * tries
    waiting = sorted(left_out, key=attempt.room.piece_area_mm2)
    for n, piece in enumerate(waiting):
        allowed = (most - pairs) // (len(waiting) - n)
        for shelf in sorted(attempt.shelves, key=lambda each: each.area_mm2):
            if allowed > 0 and _hopeful(attempt, shelf, piece):
                squeeze = _Squeeze(attempt, shelf, piece, dice)
                done = squeeze.done(allowed)
                pairs += squeeze.pairs
                allowed -= squeeze.pairs
                if done:
                    break


def _hopeful(attempt: Attempt, shelf: Shelfful, piece: Piece) -> bool:
    area = shelf.area_mm2 + attempt.room.piece_area_mm2(piece)
    full = area > TOO_FULL * attempt.room.area_mm2
    return bool(shelf.laid) and not full and attempt.may_take(shelf, piece)


class _Squeeze:
    """One pot onto one shelf. `pairs` counts the effort."""

    def __init__(
        self, attempt: Attempt, shelf: Shelfful, piece: Piece, dice: np.random.Generator
    ) -> None:
        self.attempt, self.shelf, self.piece, self.dice = attempt, shelf, piece, dice
        self.pots = [each for each, _, _ in shelf.laid] + [piece]
        self.pairs = 0

    def done(self, allowed: int) -> bool:
        """Whether it is squeezed in, with so many pairs looked at or a few more."""
        fits, at = self._begun()
        kept, lacks = at, np.full(SIDE_BY_SIDE, np.inf)
        for n in range(MOST_STIRRED):
            tried_fits, tried = (fits, at) if n == 0 else self._stirred(fits, kept)
            crowd = Crowd(
                self.attempt.room.edge,
                tried_fits,
                self.shelf.standing,
                self.attempt.room.furniture.clearance_mm,
            )
            found = squeezed(crowd, tried)
            self.pairs += crowd.pairs
            if found.solved is not None:
                self._take(tried_fits[found.solved], found.at[found.solved])
                return True
            better = found.lacks_mm <= lacks
            kept = np.where(better[:, np.newaxis, np.newaxis], found.at, kept)
            lacks = np.where(better, found.lacks_mm, lacks)
            fits = [
                new if is_better else old
                for new, old, is_better in zip(tried_fits, fits, better, strict=True)
            ]
            hopeless = lacks.min() > HOPELESS * self.attempt.room.widest_inside_mm(self.piece)
            if hopeless or self.pairs > min(allowed, PAIRS_A_POT * len(self.pots)):
                return False
        return False

    def _begun(self) -> tuple[list[list[Fit]], Floats]:
        """Half of the crowds as the pots stand, with the new one anywhere; half all anywhere."""
        now = np.array([at for _, _, at in self.shelf.laid])
        stand = [fitted for _, fitted, _ in self.shelf.laid]
        fits, at = [], []
        for n in range(SIDE_BY_SIDE):
            places = self._anywhere(len(self.pots))
            if n % 2 == 0:
                places[:-1] = now
                fits.append([*stand, self._turned(self.piece)])
            else:
                fits.append([self._turned(each) for each in self.pots])
            at.append(places)
        return fits, np.array(at)

    def _stirred(
        self, fits: Sequence[Sequence[Fit]], kept: Floats
    ) -> tuple[list[list[Fit]], Floats]:
        at, turned = kept.copy(), [list(row) for row in fits]
        for n, row in enumerate(turned):
            one, other = self.dice.integers(len(self.pots), size=2)
            kind = self.dice.integers(3)
            if kind == 0:
                at[n, one] = self._anywhere(1)[0]
            elif kind == 1:
                at[n, [one, other]] = at[n, [other, one]]
            if kind != 0 or self.dice.integers(2):
                row[one] = self._turned(self.pots[one])
        return turned, at

    def _turned(self, piece: Piece) -> Fit:
        turns = self.attempt.room.turns(piece)
        return turns[self.dice.integers(len(turns))]

    def _anywhere(self, count: int) -> Floats:
        """Places (count, 2) at random within the ellipse that the shelf holds."""
        shelf = self.attempt.room.furniture.shelf
        angle = self.dice.uniform(0, 2 * np.pi, count)
        share = np.sqrt(self.dice.uniform(0, 1, count))
        unit = np.stack((np.cos(angle), np.sin(angle)), axis=-1) * share[:, np.newaxis]
        return np.asarray(unit * (shelf.width_mm / 2, shelf.depth_mm / 2))

    def _take(self, fits: Sequence[Fit], at: Floats) -> None:
        self.attempt.add(self.shelf, self.piece)
        self.shelf.laid = list(zip(self.pots, fits, at, strict=True))
