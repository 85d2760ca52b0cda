"""Pots that overlap are pushed apart: the overlaps' squares are minimised over all places and turns
at once."""

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
    """Where descent ended: places (n, 3), what all gaps together lack in mm (the root of their
    squares' sum), whether that is nothing, and how many pairs of pots were looked at."""

    at: Floats
    lacks_mm: float
    solved: bool
    pairs: int


def squeezed(ware: Ware, who: Places, start: Floats) -> Settled:
    """The places (n, 3) near a start with the least overlap of its pots (n,)."""
    everyone, at = ware.with_fixed(who, start)
    energy, looks = descend(ware.tables, everyone, at, len(who), NO_OVERLAP_MM2)
    solved = energy < NO_OVERLAP_MM2
    return Settled(at[: len(who)], float(np.sqrt(2 * energy)), solved, looks * ware.pairs(len(who)))
