"""Pots that overlap are pushed apart: the overlaps' squares are minimised over all places and turns
at once, from one start after the other."""

from dataclasses import dataclass

import numpy as np

from .contact import Places
from .crowd import Ware
from .descent import descend
from .shapes import Floats
from .tolerances import CONTACT_MM

NO_OVERLAP_MM2 = (CONTACT_MM * 0.8) ** 2 / 2
"""No gap then lacks as much as is kept on top of each clearance."""


@dataclass(frozen=True, eq=False)
class Settled:
    """Where descent ended: places (s, n, 3), what all gaps together lack in mm (s,) (the root of
    their squares' sum; infinite of those not begun), the start that lacks nothing, and how many
    pairs of pots were looked at."""

    at: Floats
    lacks_mm: Floats
    solved: int | None
    pairs: int


def squeezed(ware: Ware, who: Places, starts: Floats) -> Settled:
    """The places (s, n, 3) near each start with the least overlap of its pots (s, n); stops at the
    first start that comes to none."""
    count = who.shape[1]
    everyone, at = ware.with_fixed(who, starts)
    energy, looks, solved = np.full(len(who), np.inf), 0, None
    for n in range(len(who)):
        energy[n], more = descend(ware.tables, everyone[n], at[n], count, NO_OVERLAP_MM2)
        looks += more
        if energy[n] < NO_OVERLAP_MM2:
            solved = n
            break
    return Settled(at[:, :count], np.sqrt(2 * energy), solved, looks * ware.pairs(count))
