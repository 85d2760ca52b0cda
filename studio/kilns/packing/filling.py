"""A shelf for which more pots wait than it holds is filled: some that stand on it are given for
others that cover more.

Crowds of pots that cover a little more than those on the shelf are pushed apart in turn, and
stirred while they overlap; the first without any overlap is the shelf's new filling, and the search
goes on from it.
"""

from collections.abc import Sequence, Set

import numpy as np

from .attempt import Attempt
from .inputs import Piece
from .search import Search
from .stirring import OTHER_POTS, SAME_POTS
from .tolerances import TOO_FULL

LEAST_GAIN, MOST_GAIN = 0.001, 0.04
"""Of the shelf: how much more a crowd covers than the best filling so far."""

SPARE = 4
"""So many more pots at most come onto a shelf than were laid there at first."""


def fill(attempt: Attempt, waiting: Sequence[Piece], kept: Set[str], allowed: int) -> None:
    """Fills one shelf after the other with about so many pairs looked at; who is `kept` stays on
    its shelf, somewhere."""
    dice, pairs = np.random.default_rng(2), 0
    shelves = [each for each in attempt.shelves if each.laid]
    for n, shelf in enumerate(shelves):
        standing = attempt.standing_ids
        left = [each for each in waiting if each.id not in standing]
        left = [each for each in left if attempt.high_enough(shelf, each)]
        if left:
            search = Search(attempt, shelf, left, dice, (*SAME_POTS, *OTHER_POTS), kept, SPARE)
            _filled(search, (allowed - pairs) // (len(shelves) - n))
            pairs += search.pairs


def _filled(search: Search, allowed: int) -> None:
    """The fullest filling found with so many pairs looked at or a few more."""
    shelf, whole = search.shelf, search.attempt.room.area_mm2
    who, at = search.who[0].copy(), search.at[0].copy()
    covered = search.areas[who].sum()
    fixed = shelf.area_mm2 - covered
    while search.pairs < allowed:
        least = covered + LEAST_GAIN * whole
        area = search.areas[search.who].sum(axis=1)
        anew = (area < least) | search.tired
        search.begin(anew, who, at)
        most = np.where(anew, 0.0, area).clip(min=covered + MOST_GAIN * whole)
        found = search.stirred(least, most.clip(max=TOO_FULL * whole - fixed))
        if found is not None:
            search.attempt.relay(shelf, found)
            who, at = search.placed(found)
            covered = search.areas[who].sum()
