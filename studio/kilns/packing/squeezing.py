"""What was left out is squeezed onto the shelves, moving and turning pots laid in this load."""

from collections.abc import Sequence

import numpy as np

from .attempt import Attempt, Laid, Shelfful
from .contact import Places
from .inputs import Piece
from .search import SIDE_BY_SIDE, Search
from .shapes import Floats
from .stirring import SAME_POTS
from .tolerances import TOO_FULL

HOPELESS = 0.10
"""Who still lacks so much of its width from the first starts won't fit after more."""

PAIRS_A_POT = 800_000
"""Effort for one pot on one shelf, for each pot there: few pots are soon tried out."""

PAIRS_A_TRY = 600_000
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
                search = Search(attempt, shelf, [piece], dice, SAME_POTS, spare=1)
                found = _squeezed(search, piece, allowed)
                pairs += search.pairs
                allowed -= search.pairs
                if found is not None:
                    attempt.relay(shelf, found)
                    break


def _hopeful(attempt: Attempt, shelf: Shelfful, piece: Piece) -> bool:
    area = shelf.area_mm2 + attempt.room.piece_area_mm2(piece)
    full = area > TOO_FULL * attempt.room.area_mm2
    return bool(shelf.laid) and not full and attempt.high_enough(shelf, piece)


def _squeezed(search: Search, piece: Piece, allowed: int) -> list[Laid] | None:
    """All of them as they may be laid, with so many pairs looked at or a few more."""
    who, at = _begun(search)
    found = search.settled(who, at, np.arange(SIDE_BY_SIDE))
    least, most = 0.0, np.full(SIDE_BY_SIDE, np.inf)
    allowed = min(allowed, PAIRS_A_POT * search.size)
    width_mm = search.attempt.room.widest_inside_mm(piece)
    while found is None and search.pairs <= allowed:
        if search.lacks_mm.min() > HOPELESS * width_mm:
            break
        tired, anywhere = search.tired, _scattered(search, who)
        search.begin(tired, who[tired], anywhere[tired])
        found = search.stirred(least, most)
    return found


def _begun(search: Search) -> tuple[Places, Floats]:
    """Half of the crowds as the pots stand, with the new one anywhere; half all anywhere."""
    who, at = search.who.copy(), search.at.copy()
    who[:, -1] = search.size - 1
    anew = np.ones(who.shape, dtype=bool)
    anew[::2, :-1] = False
    at[anew] = _scattered(search, who)[anew]
    return who, at


def _scattered(search: Search, who: Places) -> Floats:
    turns = search.stirring.turned(who)[..., np.newaxis]
    return np.concatenate((search.stirring.anywhere(*who.shape), turns), axis=2)
