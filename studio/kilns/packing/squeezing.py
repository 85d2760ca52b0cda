"""What was left out is squeezed onto the shelves, moving pots that were laid in this load."""

from collections.abc import Sequence

import numpy as np

from .attempt import Attempt, Shelfful
from .contact import Fit
from .inputs import Piece
from .shapes import Floats
from .squeeze import squeezed
from .tolerances import TOO_FULL

LEAST_STARTS, MOST_STARTS, PAIRS_A_POT = 6, 24, 2000
"""Starts for one pot on one shelf: many where few pots make them cheap. Where pots just fit, one
in two succeeds mostly, and one in seven for nine equal pots on a round shelf."""

HOPELESS = 0.05
"""Who still lacks so much of its width after the least starts won't fit after more."""

MOST_PAIRS = 8000
"""Pairs of pots looked at over all starts of a load: bounds the time."""


def squeeze_in(attempt: Attempt, left_out: Sequence[Piece]) -> None:
    """Squeezes in as many as can be; pots that stood before the load stay where they are."""
    dice = np.random.default_rng(1)
    pairs = 0
    allowed = max(PAIRS_A_POT, MOST_PAIRS // max(len(left_out), 1))
    for piece in left_out:
        for shelf in attempt.shelves:
            if pairs > MOST_PAIRS:
                return
            if _hopeful(attempt, shelf, piece):
                count = len(shelf.laid) + 1
                each = count * (count + len(shelf.standing.centres))
                starts = min(max(allowed // each, LEAST_STARTS), MOST_STARTS)
                pairs += starts * each
                if _squeezed(attempt, shelf, piece, starts, dice):
                    break


def _hopeful(attempt: Attempt, shelf: Shelfful, piece: Piece) -> bool:
    area = shelf.area_mm2 + attempt.room.piece_area_mm2(piece)
    full = area > TOO_FULL * attempt.room.area_mm2
    return bool(shelf.laid) and not full and attempt.may_take(shelf, piece)


def _squeezed(
    attempt: Attempt, shelf: Shelfful, piece: Piece, starts: int, dice: np.random.Generator
) -> bool:
    room = attempt.room
    pots = [each for each, _, _ in shelf.laid] + [piece]
    now = np.array([at for _, _, at in shelf.laid])
    turns, least_mm = room.fits(piece), float("inf")
    for n in range(starts):
        fits = [fitted for _, fitted, _ in shelf.laid] + [turns[n % len(turns)]]
        begin = _anywhere(attempt, len(pots), dice)
        if n % 2 == 0:
            begin[:-1] = now
        at, lacks_mm = squeezed(room.edge, fits, shelf.standing, room.furniture.clearance_mm, begin)
        if at is not None:
            attempt.add(shelf, piece)
            shelf.laid = _together(pots, fits, at)
            return True
        least_mm = min(least_mm, lacks_mm)
        if n + 1 >= LEAST_STARTS and least_mm > HOPELESS * room.widest_inside_mm(piece):
            return False
    return False


def _together(
    pots: Sequence[Piece], fits: Sequence[Fit], at: Floats
) -> list[tuple[Piece, Fit, Floats]]:
    return list(zip(pots, fits, at, strict=True))


def _anywhere(attempt: Attempt, count: int, dice: np.random.Generator) -> Floats:
    """Places (count, 2) at random within the ellipse that the shelf holds."""
    shelf = attempt.room.furniture.shelf
    angle, share = dice.uniform(0, 2 * np.pi, count), np.sqrt(dice.uniform(0, 1, count))
    unit = np.stack((np.cos(angle), np.sin(angle)), axis=-1) * share[:, np.newaxis]
    return np.asarray(unit * (shelf.width_mm / 2, shelf.depth_mm / 2))
