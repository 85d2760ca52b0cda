"""How full a kiln gets with the pots of this week: learned from trial loads.

No one number serves two kilns: a shelf on which four pots stand wastes more than one for twelve.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from studio.kilns.furnished import furnished
from studio.kilns.packing.inputs import Piece
from studio.kilns.packing.tolerances import NO_AREA

from .inside import Inside

TRIED_POTS = 90
"""Large kilns get three trials or so, small ones more: few pots say less."""

MOST_TRIALS = 10
ASKED, MORE = 0.72, 0.12
"""Of the kiln's room: a little more than mixed pots fill; more is asked where all of it fits."""


@dataclass(frozen=True)
class Fill:
    """The best of the trials: the share of the kiln's room that was filled, and of a shelf."""

    volume: float
    area: float


WHOLE = Fill(1 + NO_AREA, 1 + NO_AREA)
"""All of it, whatever outlines with many corners lack of their area."""


def learned(inside: Inside, pieces: Sequence[Piece]) -> Fill:
    """Of pots of which each fits alone. With fewer than a load of them it says how full they made
    it, but never less than each takes alone."""
    dice = np.random.default_rng(0)
    if not pieces:
        return WHOLE
    volume = max(inside.share(each).volume for each in pieces)
    area = max(inside.share(each).area for each in pieces)
    scarce = inside.filled(pieces) <= ASKED
    tried, asked = 0, ASKED
    for _ in range(MOST_TRIALS):
        some = _drawn(inside, pieces, asked, dice)
        tried += len(some)
        load = furnished(inside.kiln.furniture, inside.kiln.stock, some)
        stood = [each for each in some if each.id not in load.left_out]
        if scarce and not load.left_out:
            return WHOLE
        volume = max(volume, inside.filled(stood))
        area = max(area, *inside.layer_areas(stood, load.layers))
        if not load.left_out:
            asked = min(asked + MORE, 1.0)
        if scarce or tried >= TRIED_POTS:
            break
    return Fill(min(volume, WHOLE.volume), min(area, WHOLE.area))


def _drawn(
    inside: Inside, pieces: Sequence[Piece], asked: float, dice: np.random.Generator
) -> list[Piece]:
    some: list[Piece] = []
    filled = 0.0
    for n in dice.permutation(len(pieces)):
        if filled > asked:
            break
        some.append(pieces[n])
        filled += inside.share(pieces[n]).volume
    return some
