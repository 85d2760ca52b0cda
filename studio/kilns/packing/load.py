"""A load: exact places in the kiln for pots that have none yet.

Pots are laid one after the other, each at the best corner of the first layer with room for it,
else on a new layer (first fit over all layers). Several orders and several meanings of "best" are
tried, the same ones every time; a pot that was left out goes first in the next. What then still
has no place is squeezed in (`squeezing`). The fewest pots left out win, the more urgent placed
first, then the fewest layers.

Where more wait than any layout holds, "the fewest left out" would fire small pots again and again
and leave large ones behind. Who asks for the fullest shelves then gets: the most urgent, up to a
share of the room (so that every pot's turn comes); and of the others those that cover most
(`filling`), since a firing costs the same however full it is.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Literal

import numpy as np

from .attempt import Attempt, Way
from .inputs import Furniture, Layer, Piece
from .room import Room
from .soundness import refuse_troubles
from .stack import lowest_post_mm, stack
from .tolerances import FILLING_PAIRS, NO_AREA, SAME_MM, TOO_FULL

Reason = Literal["taller_than_kiln", "wider_than_shelf", "no_room"]

TRIES = 24
MOST_LOOKS = 4000
"""Bounds the time of all tries together: about a second of one core."""

URGENT_SHARE = 1 / 6
"""So much of the shelves' room goes to the most urgent pots, and to the first of them at any size,
whatever would fill it better."""

FULL_TRIES = 6
"""Layouts of several layers that are tried before the best of them is filled."""

LIKELY_FILL = 0.78
"""So full a first-fit layout mostly gets; a layer less than that needs is not tried for."""


@dataclass(frozen=True)
class Unplaced:
    """A pot without a place, and why."""

    id: str
    reason: Reason


@dataclass(frozen=True)
class Load:
    """Layers from the bottom up, and what found no place.

    `area_filled` is pots with half a clearance around them ÷ shelves with half a clearance around
    them less their spots, over the layers in use. `bound` is the least number of layers that any
    layout of the placed pots needs.
    """

    layers: tuple[Layer, ...]
    unplaced: tuple[Unplaced, ...]
    area_filled: float
    bound: int


def place_into(
    furniture: Furniture,
    pieces: Sequence[Piece],
    layers: Sequence[Layer] = (),
    tries: int = TRIES,
    fullest: bool = False,
    *,
    pairs: int = FILLING_PAIRS,
) -> Load:
    """Places the pots that stand in none of the layers yet; those that do never move.

    `pieces` are all pots of the load, the most urgent first. Standing layers keep their number
    and their posts; an open one on top gets the lowest post that fits when a new layer is put on
    it. `fullest`: where too many wait, the shelves are filled rather than the fewest left out, with
    so many `pairs` of pots looked at. The same input gives the same answer. Raises KilnRefused.

    >>> from .inputs import Shelf
    >>> kiln = Furniture(Shelf("rectangle", 410, 200), 400, 20, (150, 200), 10, 20)
    >>> [layer.post_mm for layer in place_into(kiln, [
    ...     Piece("a", 200, 200, 120), Piece("b", 200, 200, 110), Piece("c", 190, 190, 180)
    ... ]).layers]
    [200, None]
    """
    refuse_troubles(furniture, pieces, layers)
    room = Room(furniture)
    standing = {each.id for layer in layers for each in layer.placements}
    waiting = [each for each in pieces if each.id not in standing]
    hopeless = {each.id: reason for each in waiting if (reason := why_hopeless(room, each))}
    hopeful = [each for each in waiting if each.id not in hopeless]
    begun = Attempt.begun(room, pieces, layers)
    best = _best(begun, hopeful, tries, pairs if fullest else 0)
    found = best.layers()
    placed = {each.id for layer in found for each in layer.placements}
    unplaced = tuple(
        Unplaced(each.id, hopeless.get(each.id, "no_room"))
        for each in waiting
        if each.id not in placed
    )
    stood = [each for each in pieces if each.id in placed]
    in_use = sum(bool(layer.placements) for layer in found)
    filled = room.shelves_for(stood) / in_use if in_use else 0.0
    return Load(found, unplaced, filled, fewest_layers(room, stood))


def fewest_layers(room: Room, pieces: Sequence[Piece]) -> int:
    """A lower bound: by area, and by pots of which no two fit on one shelf.

    Two pots that hold circles of radius r and r' don't fit into a circle of radius R when
    2r + clearance + 2r' > 2R.
    """
    by_area = ceil(room.shelves_for(pieces) - NO_AREA)
    shelf = room.furniture.shelf
    around = max(shelf.width_mm, shelf.depth_mm)
    if shelf.shape == "rectangle":
        around = float(np.hypot(shelf.width_mm, shelf.depth_mm))
    if shelf.shape == "octagon":
        around = shelf.width_mm / float(np.cos(np.pi / 8))
    alone_mm = (around - room.furniture.clearance_mm) / 2
    wide = sum(room.widest_inside_mm(each) > alone_mm + SAME_MM for each in pieces)
    return max(by_area, wide)


def why_hopeless(room: Room, piece: Piece) -> Reason | None:
    """Why a pot would not even stand in the empty kiln; None where it would."""
    if stack(room.furniture, (), (piece.height_mm + room.furniture.headroom_mm,)) is None:
        return "taller_than_kiln"
    return None if room.fits(piece) else "wider_than_shelf"


def _best(begun: Attempt, waiting: Sequence[Piece], tries: int, pairs: int) -> Attempt:
    """The best of several attempts, and what could then be squeezed in; or given for others, with
    so many pairs."""
    if not waiting:
        return begun
    if pairs and _too_many_for_one(begun, waiting):
        return _fullest(begun, waiting, tries, pairs)
    urgency = {each.id: len(waiting) - n for n, each in enumerate(waiting)}
    enough = _likely_layers(begun, waiting)
    dice = np.random.default_rng(0)
    scored: list[tuple[tuple[int, int, int], int, Attempt]] = []
    first: list[str] = []
    for n in range(tries):
        tried = begun.anew()
        left_out = tried.lay(_order(begun.room, waiting, first, n, dice), Way.number(n, dice))
        if pairs and _too_many(tried, left_out):
            return _fullest(begun, waiting, tries, pairs)
        lost = sum(urgency[each.id] for each in left_out)
        scored.append(((len(left_out), lost, len(tried.shelves)), n, tried))
        missing, _, layers = min(scored)[0]
        if begun.room.looks > MOST_LOOKS or (not missing and layers <= enough):
            break
        first = _moved_up(first, [each.id for each in left_out])
    chosen = min(scored)[2]
    left_out = [each for each in waiting if each.id not in chosen.standing_ids]
    if left_out:
        from .squeezing import squeeze_in  # noqa: PLC0415 -- what compiles is slow to import

        squeeze_in(chosen, left_out, tries)
    return chosen


def _too_many_for_one(begun: Attempt, waiting: Sequence[Piece]) -> bool:
    """Whether the empty kiln holds one layer only, and all that wait are too many for it."""
    room = begun.room
    lowest = min(each.height_mm for each in waiting) + room.furniture.headroom_mm
    area = sum(map(room.piece_area_mm2, waiting))
    alone = not begun.shelves and stack(room.furniture, (), (lowest, lowest)) is None
    return alone and area > TOO_FULL * room.area_mm2


def _too_many(tried: Attempt, left_out: Sequence[Piece]) -> bool:
    """Whether those that are left out need more room than any layout of the shelves leaves."""
    room = tried.room
    free = sum(TOO_FULL * room.area_mm2 - shelf.area_mm2 for shelf in tried.shelves)
    return bool(left_out) and sum(map(room.piece_area_mm2, left_out)) > free


def _fullest(begun: Attempt, waiting: Sequence[Piece], tries: int, pairs: int) -> Attempt:
    """The best of a few attempts, then its shelves filled. On one layer those are first in which
    the most urgent all stand; where heights matter too, in which the first of them does, and the
    others count twice."""
    room, dice = begun.room, np.random.default_rng(0)
    scored: list[tuple[tuple[int, float], int, Attempt]] = []
    first: list[str] = []
    front: list[str] = []
    for n in range(FULL_TRIES if tries > 1 else 1):
        tried = begun.anew()
        tried.lay(_order(room, waiting, first, n, dice), Way.number(n, dice))
        front = _front(room, waiting, len(tried.shelves))
        missing = [each for each in front if each not in tried.standing_ids]
        covered = sum(shelf.area_mm2 for shelf in tried.shelves)
        covered -= sum(room.piece_area_mm2(each) for each in waiting if each.id in missing)
        certain = front if len(tried.shelves) == 1 else front[:1]
        scored.append(((len(set(certain) & set(missing)), -covered), n, tried))
        if len(tried.shelves) == 1 and not missing:
            break
        first = _moved_up(first, missing)
    filled = min(scored)[2]
    from .filling import fill  # noqa: PLC0415 -- what compiles is slow to import

    fill(filled, waiting, set(front), pairs)
    return filled


def _front(room: Room, waiting: Sequence[Piece], layers: int) -> list[str]:
    """The most urgent, as many as a share of so many layers holds, and one at least."""
    covered = np.cumsum([room.piece_area_mm2(each) for each in waiting])
    count = int((covered <= layers * room.area_mm2 * URGENT_SHARE).sum())
    return [each.id for each in waiting[: max(count, 1)]]


def _likely_layers(begun: Attempt, waiting: Sequence[Piece]) -> int:
    """So few layers that it isn't worth trying for fewer."""
    shelves = begun.room.shelves_for([*waiting, *begun.pieces])
    return max(ceil(shelves / LIKELY_FILL), begun.old)


def _order(
    room: Room, waiting: Sequence[Piece], first: Sequence[str], n: int, dice: np.random.Generator
) -> list[Piece]:
    """Those left out before, then tall before low by the post they need (every second time
    not), large before small; from the third time on with a little chance in it."""
    blur = dice.lognormal(0, 0.15, len(waiting)) if n > 1 else np.ones(len(waiting))
    area = {p.id: p.front_mm * p.depth_mm * b for p, b in zip(waiting, blur, strict=True)}

    def place(piece: Piece) -> tuple[float, float, float]:
        early = first.index(piece.id) if piece.id in first else len(first)
        post = lowest_post_mm(room.furniture, piece.height_mm + room.furniture.headroom_mm)
        tall = float("inf") if post is None else post
        return early, -tall if n % 2 == 0 else 0.0, -area[piece.id]

    return sorted(waiting, key=place)


def _moved_up(first: Sequence[str], left_out: Sequence[str]) -> list[str]:
    """Those that were left out, then those that were before, two of them at most."""
    return [*left_out, *(each for each in first if each not in left_out)][: len(left_out) + 2]
