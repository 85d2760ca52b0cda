"""Overlap of pots that are let overlap, and its slopes: compiled (see `compiled`).

A crowd (m,) is the numbers of pots in places (m, 3), of which the first may move, `free` many. The
third of a place is the turn in radians times the pot's arm.
"""

from math import floor
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .compiled import compiled, inlined
from .contact import UNITS, Places
from .shapes import Floats
from .tolerances import CONTACT_MM, DIRECTIONS

Lack = tuple[float, float, float, float, float]

TABLE = 720
"""Directions in which a pot's reach is tabled, half a degree apart; between them a straight line
misses a corner 100 mm away by 0.001 mm."""
_PER_RADIAN = TABLE / (2 * np.pi)

STEP = TABLE // DIRECTIONS
_UNIT_X, _UNIT_Y = UNITS[:, 0].copy(), UNITS[:, 1].copy()

ASIDE, COARSE = 9, 3
"""Pots of which none is more than twice as long as deep are parted by a direction within so many
from the one between their centres: every third is tried, then those beside the best. Any direction
at all says too little, never too much."""
_AROUND = 2 * ASIDE + 1
_AHEAD = np.roll(_UNIT_X, ASIDE)[:_AROUND].astype(np.float32)
_BESIDE = np.roll(_UNIT_Y, ASIDE)[:_AROUND].astype(np.float32)

_CLEAR_MM = 1.0
"""More than a rough reach is wrong by."""

_TANGENTS = ((50, 5), (3, 1))
"""Tangents of a curved edge, a degree apart, among which the tightest is looked for: so many either
side of the one that faces the pot, every so many; then around the tightest of those."""

RADIUS, REACH, ARM, MARGIN, SAFE = range(5)


class Tables(NamedTuple):
    """What is known of pots and of what may not move, by number, and of the shelf.

    `pots` (w, 5): RADIUS, nan where not round; REACH, the most; ARM; MARGIN, kept from the edge;
    SAFE, nearer the middle than which it is on the shelf. `reaches` (w, 2 TABLE): how far each
    reaches, unturned, in every direction, twice round. `rough` (w · STEP · 2 DIRECTIONS,): for each
    the same from each of the first STEP directions on in those that part, twice round. `edge`
    (k, 3): normals and distances of the tangents. `gap_mm` is kept between any two.
    """

    pots: Floats
    reaches: Floats
    rough: NDArray[np.float32]
    edge: Floats
    curved: bool
    gap_mm: float


@inlined
def _turned(turn: float) -> float:
    """Radians as steps of the table, from 0 to less than all."""
    steps = turn * _PER_RADIAN
    return steps - floor(steps / TABLE) * TABLE


@inlined
def _around(number: int, count: int) -> int:
    """A number that is less than a full turn off, within the turn."""
    if number < 0:
        return number + count
    return number - count if number >= count else number


@inlined
def _reach(reaches: Floats, pot: int, turned: float, direction: int) -> tuple[float, float]:
    """How far a pot reaches in a direction (in steps), and how much farther by a radian."""
    along = direction - turned
    if along < 0:
        along += TABLE
    before = int(along)
    low = reaches[pot, before]
    more = reaches[pot, before + 1] - low
    return low + (along - before) * more, more * _PER_RADIAN


@inlined
def _toward(x: float, y: float) -> int:
    """Which of the directions that part is nearest to a vector, or the next one. The arc tangent
    of a share of 0 to 1 is near to share · (1 + 0.3476 · (1 - share)) eighths of a turn: at most
    0.3° off."""
    longer, shorter = max(abs(x), abs(y)), min(abs(x), abs(y))
    share = shorter / max(longer, CONTACT_MM)
    angle = share * (1.0 + 0.3476 * (1.0 - share)) * (DIRECTIONS / 8)
    if abs(y) > abs(x):
        angle = DIRECTIONS / 4 - angle
    if x < 0:
        angle = DIRECTIONS / 2 - angle
    if y < 0:
        angle = DIRECTIONS - angle
    return int(angle + 0.5) % DIRECTIONS


@inlined
def _tightest(reaches: Floats, edge: Floats, pot: int, x: float, y: float, turned: float) -> int:
    """The tangent of a curved edge that leaves a pot least."""
    sides = len(edge)
    side = _toward(x, y) * sides // DIRECTIONS
    turned_by = int(turned + 0.5)
    for aside, every in _TANGENTS:
        best, least = side, np.inf
        for n in range(side - aside, side + aside + 1, every):
            near = _around(n, sides)
            seen = _around(near * (TABLE // sides) - turned_by, TABLE)
            left = edge[near, 2] - reaches[pot, seen] - x * edge[near, 0] - y * edge[near, 1]
            if left < least:
                best, least = near, left
        side = best
    return side


@inlined
def _from_edge(
    pots: Floats,
    reaches: Floats,
    edge: Floats,
    curved: bool,
    pot: int,
    turned: float,
    x: float,
    y: float,
) -> tuple[float, float, float, float]:
    """Half of the squared overlap of one pot over the edge, and its slopes."""
    energy = push_x = push_y = twist = 0.0
    safe = pots[pot, SAFE]
    if safe > 0 and x * x + y * y < safe * safe:
        return energy, push_x, push_y, twist
    first, last = 0, len(edge)
    step = TABLE // last
    if curved:
        first = _tightest(reaches, edge, pot, x, y, turned)
        last = first + 1
    for side in range(first, last):
        left = edge[side, 2] - pots[pot, MARGIN] - x * edge[side, 0] - y * edge[side, 1]
        if left < pots[pot, REACH]:
            reach, more = _reach(reaches, pot, turned, side * step)
            outside = min(left - reach, 0.0)
            energy += outside * outside / 2
            push_x -= outside * edge[side, 0]
            push_y -= outside * edge[side, 1]
            twist += outside * more
    return energy, push_x, push_y, twist


@inlined
def _seen(pot: int, turned: float, direction: int) -> int:
    """Where the rough reaches of a pot begin in a direction in steps."""
    seen = _around(direction - int(turned + 0.5), TABLE)
    return (pot * STEP + seen % STEP) * (2 * DIRECTIONS) + seen // STEP


@inlined
def _outlines(
    tables: tuple[Floats, NDArray[np.float32], float],
    one: int,
    turned_one: float,
    other: int,
    turned_other: float,
    x: float,
    y: float,
) -> Lack:
    """The same as `_pair` of two that aren't both round."""
    reaches, rough, gap_mm = tables
    toward = _toward(x, y)
    base = _around(toward - ASIDE, DIRECTIONS)
    at_one = _seen(one, turned_one, _around(base * STEP + TABLE // 2, TABLE))
    at_other = _seen(other, turned_other, base * STEP)
    ahead = np.float32(x * _UNIT_X[toward] + y * _UNIT_Y[toward])
    beside = np.float32(y * _UNIT_X[toward] - x * _UNIT_Y[toward])
    best, most = ASIDE, ahead - (rough[at_one + ASIDE] + rough[at_other + ASIDE])
    if most > gap_mm + _CLEAR_MM:
        return 0.0, 0.0, 0.0, 0.0, 0.0
    for n in range(0, _AROUND, COARSE):
        gap = _AHEAD[n] * ahead + _BESIDE[n] * beside - (rough[at_one + n] + rough[at_other + n])
        if gap > most:
            best, most = n, gap
    middle = best
    for n in range(max(middle - COARSE + 1, 0), min(middle + COARSE, _AROUND)):
        gap = _AHEAD[n] * ahead + _BESIDE[n] * beside - (rough[at_one + n] + rough[at_other + n])
        if gap > most:
            best, most = n, gap
    best = _around(base + best, DIRECTIONS)
    behind = _around(best * STEP + TABLE // 2, TABLE)
    reach_one, more_one = _reach(reaches, one, turned_one, behind)
    reach_other, more_other = _reach(reaches, other, turned_other, best * STEP)
    lacks = x * _UNIT_X[best] + y * _UNIT_Y[best] - reach_one - reach_other - gap_mm
    return min(lacks, 0.0), _UNIT_X[best], _UNIT_Y[best], more_one, more_other


@inlined
def _pair(
    pots: Floats,
    tables: tuple[Floats, NDArray[np.float32], float],
    one: int,
    turned_one: float,
    other: int,
    turned_other: float,
    x: float,
    y: float,
) -> Lack:
    """What two pots so far from each other (the first from the other) lack of their gap, ≤ 0, the
    direction that parts them, and what turning either by a radian gains."""
    gap_mm = tables[2]
    most = pots[one, REACH] + pots[other, REACH] + gap_mm
    square = x * x + y * y
    if most <= 0 or square >= most * most:
        return 0.0, 0.0, 0.0, 0.0, 0.0
    radii = pots[one, RADIUS] + pots[other, RADIUS]
    if np.isnan(radii):
        return _outlines(tables, one, turned_one, other, turned_other, x, y)
    distance = max(np.sqrt(square), CONTACT_MM)
    return min(distance - radii - gap_mm, 0.0), x / distance, y / distance, 0.0, 0.0


@compiled
def overlap(tables: Tables, who: Places, at: Floats, free: int, slopes: Floats) -> float:
    """Half the sum of squared overlaps of a crowd; writes its gradient (3 free,)."""
    pots, reaches, rough, edge, curved, gap_mm = tables
    energy = 0.0
    slopes[:] = 0.0
    turned = np.empty(len(who))
    for i in range(len(who)):
        turned[i] = _turned(at[i, 2] / pots[who[i], ARM])
    for i in range(free):
        x, y = at[i, 0], at[i, 1]
        outside, push_x, push_y, twist = _from_edge(
            pots, reaches, edge, curved, who[i], turned[i], x, y
        )
        energy += outside
        for j in range(len(who)):
            if i <= j < free:
                continue
            away_x, away_y = x - at[j, 0], y - at[j, 1]
            lacks, unit_x, unit_y, more, more_other = _pair(
                pots, (reaches, rough, gap_mm), who[i], turned[i], who[j], turned[j], away_x, away_y
            )
            if lacks < 0:
                energy += lacks * lacks / 2
                push_x += lacks * unit_x
                push_y += lacks * unit_y
                twist += lacks * more
                if j < free:
                    slopes[3 * j] -= lacks * unit_x
                    slopes[3 * j + 1] -= lacks * unit_y
                    slopes[3 * j + 2] += lacks * more_other
        slopes[3 * i] += push_x
        slopes[3 * i + 1] += push_y
        slopes[3 * i + 2] += twist
    for i in range(free):
        slopes[3 * i + 2] /= pots[who[i], ARM]
    return energy


@compiled
def _of_one(tables: Tables, who: Places, at: Floats, i: int, shares: Floats) -> float:
    """The overlap of the pot in one place; writes how much of it is with each other (m,)."""
    pots, reaches, rough, edge, curved, gap_mm = tables
    turned = _turned(at[i, 2] / pots[who[i], ARM])
    x, y = at[i, 0], at[i, 1]
    energy = _from_edge(pots, reaches, edge, curved, who[i], turned, x, y)[0]
    for j in range(len(who)):
        shares[j] = 0.0
        if j != i:
            other = _turned(at[j, 2] / pots[who[j], ARM])
            away_x, away_y = x - at[j, 0], y - at[j, 1]
            lacks = _pair(
                pots, (reaches, rough, gap_mm), who[i], turned, who[j], other, away_x, away_y
            )[0]
            shares[j] = lacks * lacks / 2
            energy += shares[j]
    return energy


@compiled
def least_change(
    tables: Tables,
    who: Places,
    at: Floats,
    free: int,
    slots: Places,
    pots: Places,
    places: Floats,
) -> int:
    """After which of the changes (c,), one at least, a crowd overlaps least: each sets two pots
    (c, 2) into two slots (c, 2), at these places (c, 2, 3)."""
    own, shares = np.zeros(free), np.zeros((free, len(who)))
    for i in range(free):
        own[i] = _of_one(tables, who, at, i, shares[i])
    then, then_at, share = who.copy(), at.copy(), np.zeros(len(who))
    best, least = 0, np.inf
    for n in range(len(slots)):
        a, b = slots[n]
        then[a], then[b] = pots[n]
        then_at[a], then_at[b] = places[n]
        more = shares[a, b] - own[a] - own[b]
        more += _of_one(tables, then, then_at, a, share)
        more += _of_one(tables, then, then_at, b, share) - share[a]
        if more < least:
            best, least = n, more
        then[a], then[b], then_at[a], then_at[b] = who[a], who[b], at[a], at[b]
    return best
