"""What witness cones say of a kiln: how far its heat work differs from what is computed.

A pyrometer hangs in one place and ages, so a kiln fires hotter or cooler than its program by a few
degrees, much the same each time. A cone that stands part bent says how much; cones that are all
down or all upright only bound it, and then the smallest correction that agrees with them is taken.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from studio.kilns.cones import BENDING_BAND_C, MAKERS_TOLERANCE_C, cones

from .reached import Firing

UPRIGHT, DOWN = 0.05, 0.95
"""Nearer to either end nobody reads how far a cone is bent."""


@dataclass(frozen=True)
class Witness:
    """One cone: `bent` from 0, upright, to 1, its tip level with its base."""

    cone: str
    bent: float


@dataclass(frozen=True)
class Correction:
    """The kiln fires so many °C hotter (less: cooler) than computed: the median over `firings`;
    `spread_c` is half of the range of the single ones, None for one alone.
    """

    offset_c: float
    firings: int
    spread_c: float | None

    @property
    def by_c(self) -> float:
        return abs(self.offset_c)

    @property
    def is_hotter(self) -> bool:
        return self.offset_c > MAKERS_TOLERANCE_C

    @property
    def is_cooler(self) -> bool:
        return self.offset_c < -MAKERS_TOLERANCE_C


def offset_c(fired: Firing, read: Sequence[Witness]) -> float | None:
    """Of one firing: what its cones show over what was computed, in °C. None where no cone that
    was read is in the table, or the program never heats.
    """
    margins = fired.margins_c
    known = [each for each in read if each.cone in margins]
    if not known:
        return None
    part_bent = [each for each in known if UPRIGHT < each.bent < DOWN]
    if part_bent:
        return median(_shown_c(fired, each) - margins[each.cone] for each in part_bent)
    least = [-MAKERS_TOLERANCE_C - margins[each.cone] for each in known if each.bent >= DOWN]
    # Upright, so not as far as the end point of the cone before it.
    most = [_shown_c(fired, each) - margins[each.cone] for each in known if each.bent <= UPRIGHT]
    low, high = max(least, default=0.0), min(most, default=0.0)
    if least and most and low > high:  # the cones contradict each other
        return (low + high) / 2
    return max(low, 0.0) + min(high, 0.0)


def correction(offsets_c: Iterable[float]) -> Correction | None:
    """From the single firings of one kiln; None where there are none."""
    found = sorted(offsets_c)
    if not found:
        return None
    spread = (found[-1] - found[0]) / 2 if len(found) > 1 else None
    return Correction(median(found), len(found), spread)


def _shown_c(fired: Firing, read: Witness) -> float:
    """The margin that a bend stands for: from the end point of the cone before to its own."""
    return -(1 - read.bent) * _before_c(fired.margins_c, read.cone, fired.cone_type)


def _before_c(margins_c: Mapping[str, float], cone: str, cone_type: str) -> float:
    names = cones(cone_type)
    place = names.index(cone)
    if not place:
        return BENDING_BAND_C
    return margins_c[names[place - 1]] - margins_c[cone]
