"""How full a kiln gets with the pots of this week: learned from trial loads.

No one number serves two kilns: a shelf on which four pots stand wastes more than one for twelve.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from studio.kilns.halves import FEW_LAYOUTS, laid_out
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
    """The share of a kiln's room that pots fill, and of its fullest shelf."""

    volume: float
    area: float


WHOLE = Fill(1 + NO_AREA, 1 + NO_AREA)
"""All of it, whatever outlines with many corners lack of their area."""


@dataclass(frozen=True)
class Learned:
    """The median of the trials, and the best."""

    usual: Fill
    best: Fill


def learned(inside: Inside, pieces: Sequence[Piece]) -> Learned:
    """Of pots of which each fits alone; never less than one of them takes. Where all of them go
    into one load, they set no limit."""
    loads: list[Fill] = []
    scarce = inside.filled(pieces) <= ASKED
    tried, asked = 0, ASKED
    while pieces and len(loads) < MOST_TRIALS and tried < TRIED_POTS:
        some = _drawn(inside, pieces, asked, np.random.default_rng(len(loads)))
        tried += len(some)
        kiln = inside.kiln
        load = laid_out(kiln.furniture, kiln.stock, some, layouts=FEW_LAYOUTS)
        if not load.left_out:
            asked = min(asked + MORE, 1.0)
        stood = [each for each in some if each.id not in load.left_out]
        area = max(inside.layer_areas(stood, load.layers))
        loads.append(Fill(inside.filled(stood), area))
        if scarce:
            break
    if not loads or (scarce and not load.left_out):
        return Learned(WHOLE, WHOLE)
    shares = [inside.share(each) for each in pieces]
    volume, area = max(s.volume for s in shares), max(s.area for s in shares)
    volumes = sorted(max(each.volume, volume) for each in loads)
    areas = sorted(max(each.area, area) for each in loads)
    middle = len(loads) // 2
    return Learned(
        Fill(volumes[middle], areas[middle]),
        Fill(min(volumes[-1], WHOLE.volume), min(areas[-1], WHOLE.area)),
    )


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
