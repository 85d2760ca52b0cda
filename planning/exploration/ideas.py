"""Distinct ideas: which drawings are one, and how many there are in effect."""

from dataclasses import dataclass

import numpy as np
from scipy.cluster.hierarchy import fcluster, linkage
from scipy.spatial.distance import squareform

from planning.tracing.arrays import Floats

from . import fitted
from .similarity import kernel
from .vendi import vendi_score


@dataclass(frozen=True)
class Ideas:
    """`groups` of drawings that are one idea, each in the order drawn, by their first; how many
    ideas that is in effect, and between which numbers the true one lies in most cases.

    `low` takes drawings for one idea that are less alike; `high` is the number of groups where
    they have to be more alike, none of them alike at all.
    """

    groups: tuple[tuple[int, ...], ...]
    distinct: float
    low: float
    high: float


def ideas_in(chance: Floats) -> Ideas:
    """The ideas of drawings in the order drawn, without copies; `chance` (n, n) from `likeness`.

    The Vendi score over the first drawing of every group, all with equal weight. What was there
    before the last drawing stays: the number is the largest over the first, the first two, … all.
    """
    first = [chance[:n, :n] for n in range(1, len(chance) + 1)]
    usual = max((_effective(some, fitted.SAME) for some in first), default=0.0)
    low = max((_effective(some, fitted.SAME_FOR_FEWEST) for some in first), default=0.0)
    high = max((len(grouped(some, fitted.SAME_FOR_MOST)) for some in first), default=0)
    return Ideas(grouped(chance, fitted.SAME), usual, min(low, usual), float(high))


def grouped(chance: Floats, same: float) -> tuple[tuple[int, ...], ...]:
    """Drawings whose mean likeness is at least `same` together (average linkage)."""
    if len(chance) < 2:  # noqa: PLR2004 -- nothing to link
        return tuple((n,) for n in range(len(chance)))
    tree = linkage(squareform(1 - chance, checks=False), "average")
    found = fcluster(tree, 1 - same, "distance")
    return tuple(
        tuple(np.flatnonzero(found == group).tolist()) for group in dict.fromkeys(found.tolist())
    )


def in_whole(distinct: float, low: float, high: float) -> tuple[int, int, int]:
    """About how many ideas some drawings are, and between which whole numbers; at least one."""
    about = max(1, round(distinct))
    return about, min(about, max(1, round(low))), max(about, round(high))


def _effective(chance: Floats, same: float) -> float:
    firsts = [group[0] for group in grouped(chance, same)]
    return vendi_score(kernel(chance[np.ix_(firsts, firsts)]))
