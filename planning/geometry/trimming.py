"""Tips of raw rings trimmed where their two arms cross.

Inside a tip or a curve tighter than the wall the points that lie a distance inside run on past
each other, turn back and form a loop that bounds nothing. Where the stretch that runs backwards
begins and ends, the two arms beside it are followed outwards until they cross; all between is put
at the crossing. Many rings of as many points are trimmed at once.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from .profile import Floats

Indices = NDArray[np.intp]
Flags = NDArray[np.bool_]

MOST_STEPS = 16
"""Each goes on along both arms to where their lines cross; on the tips of drawn outlines most
stand after three."""


@dataclass(frozen=True)
class _Loops:
    """Loops (k,) in the order of their rings: the ring, the points at which the stretch that runs
    backwards begins and ends (beyond the last point where it passes the first), the loops before
    and after on the same ring, and how many sides there are between this one and those."""

    ring: Indices
    start: Indices
    end: Indices
    after: Indices
    room_before: Indices
    room_after: Indices


def trimmed(rings: Floats, forward: Flags, steady: Flags) -> tuple[Floats, Flags]:
    """Rings (m, points, 2) with their loops put at the crossings, and of which rings all are.

    `forward` (m, points): whether the side from a point to the next runs as its ring does;
    `steady` (m, points): whether both its ends come from the same stretch of the outside. Loops
    with another side in them are left as they are, and so are those that may bound something.
    """
    done = np.asarray(forward.any(axis=1))
    loops = _loops(forward | ~done[:, np.newaxis])
    before, after, place, found = _crossings(rings, loops)
    first = loops.start - before.astype(np.intp)
    length = loops.end + after.astype(np.intp) - first + 1
    loop = np.repeat(np.arange(len(first)), length)
    point = first[loop] + np.arange(len(loop)) - np.repeat(np.cumsum(length) - length, length)
    ring, point = loops.ring[loop], point % rings.shape[1]
    overlap = after + before[loops.after] >= loops.room_after
    void = found & ~overlap & _bound_nothing(place, rings[ring, point], length)
    void[loops.after[overlap]] = False
    void[loop[~steady[ring, point]]] = False
    done[loops.ring[~void]] = False
    cut, gone = rings.copy(), void[loop]
    cut[ring[gone], point[gone]] = place[loop[gone]]
    return cut, done


def _bound_nothing(crossing: Floats, points: Floats, length: Indices) -> Flags:
    """Whether loops (k,), each of a crossing and so many points, go round clockwise without
    crossing themselves. One that does may hold a pocket of the hollow in its tip."""
    index = np.repeat(np.arange(len(length)), length)
    starts = np.cumsum(length) - length
    loops = shapely.linearrings(
        np.insert(points, starts, crossing, axis=0), indices=np.insert(index, starts, index[starts])
    )
    return np.asarray(shapely.is_simple(loops) & ~shapely.is_ccw(loops))


def _loops(forward: Flags) -> _Loops:
    count = forward.shape[1]
    ring, start = np.nonzero(~forward & np.roll(forward, 1, axis=1))
    # The first side that runs forward again, looked for once round.
    twice = np.where(np.tile(forward, 2), np.arange(2 * count), 2 * count)
    onwards = np.minimum.accumulate(twice[:, ::-1], axis=1)[:, ::-1]
    end = onwards[ring, start]
    place = np.arange(len(ring))
    first, last = np.searchsorted(ring, ring), np.searchsorted(ring, ring, side="right") - 1
    before = np.where(place == first, last, place - 1)
    after = np.where(place == last, first, place + 1)
    room = (start[after] - end) % count
    return _Loops(ring, start, end, after, room[before], room)


def _crossings(rings: Floats, loops: _Loops) -> tuple[Floats, Floats, Floats, Flags]:
    """How many sides from a loop's start back and from its end on the arms cross, both (k,), where
    (k, 2), and whether they do.

    Newton's method on two chains of sides: exact once both sides of the crossing are met. After
    the first step one arm at a time goes on, lest they pass each other where both turn.
    """
    rooms = loops.room_before, loops.room_after
    starts, ways = (loops.start, loops.end), (-1, 1)
    along = np.zeros((2, len(loops.ring)))
    place, found = np.zeros((len(loops.ring), 2)), np.zeros(len(loops.ring), dtype=np.bool_)
    left = np.arange(len(loops.ring))
    for step in range(MOST_STEPS):
        sides = [np.minimum(along[i, left].astype(np.intp), rooms[i][left] - 1) for i in (0, 1)]
        arms = [
            _side(rings, loops.ring[left], starts[i][left] + ways[i] * sides[i], ways[i])
            for i in (0, 1)
        ]
        shares = _meeting(*arms)
        met = ((shares >= 0) & (shares <= 1)).all(axis=0)
        off = np.abs(shares - 0.5)
        for i in (0, 1):
            goes = (off[i] >= off[1 - i]) | met | (step == 0)
            onwards = np.clip(sides[i] + shares[i], 0, rooms[i][left])
            along[i, left] = np.where(goes, onwards, along[i, left])
        place[left] = arms[0][0] + shares[0][:, np.newaxis] * (arms[0][1] - arms[0][0])
        found[left] = met
        left = left[~met]
        if not len(left):
            break
    return along[0], along[1], place, found


def _side(rings: Floats, ring: Indices, point: Indices, way: int) -> tuple[Floats, Floats]:
    """Both ends (k, 2) of the sides from points on."""
    count = rings.shape[1]
    return rings[ring, point % count], rings[ring, (point + way) % count]


def _meeting(one: tuple[Floats, Floats], other: tuple[Floats, Floats]) -> Floats:
    """Where the lines through two sides cross, as shares (2, k) of both; -1 where they don't."""
    run, other_run, gap = one[1] - one[0], other[1] - other[0], other[0] - one[0]
    with np.errstate(divide="ignore", invalid="ignore"):
        shares = np.stack((_cross(gap, other_run), _cross(gap, run))) / _cross(run, other_run)
    return np.where(np.isfinite(shares), shares, -1.0)


def _cross(one: Floats, other: Floats) -> Floats:
    return np.asarray(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0])
