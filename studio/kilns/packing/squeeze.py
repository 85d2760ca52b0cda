"""Pots that overlap are pushed apart: the overlaps' squares are minimised over all places and turns
at once, from many starts side by side in the same arrays."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from .crowd import Crowd, Rows
from .shapes import Floats
from .tolerances import CONTACT_MM

MOST_ROUNDS = 60
REMEMBERED = 6
LEAST_DROP, SHORTER = 1e-4, 0.3
MAY_RISE = 1.2
"""Overlap has edges, where a step downhill may go up a little: one that rises by more than a fifth
isn't taken. Shorter and shorter ones till none rises take longer and end no lower."""

PATIENCE, WORTH_GOING_ON = 10, 0.6
"""Who hasn't lost two fifths of the overlap in so many rounds is stirred sooner than pushed on."""

NO_OVERLAP_MM2 = (CONTACT_MM * 0.8) ** 2 / 2
"""No gap then lacks as much as is kept on top of each clearance."""

State = tuple[Floats, Floats, Floats]
Overlap = Callable[[Floats, Rows], tuple[Floats, Floats]]


@dataclass(frozen=True, eq=False)
class Settled:
    """Where descent ended: places (s, n, 3), what all gaps together lack in mm (s,) (the root of
    their squares' sum), and the start that lacks nothing."""

    at: Floats
    lacks_mm: Floats
    solved: int | None


def squeezed(crowd: Crowd, starts: Floats) -> Settled:
    """The places (s, n, 3) near each start with the least overlap; stops at the first start that
    comes to none."""
    at, energy = _settled(crowd.overlap, starts)
    best = int(energy.argmin())
    solved = energy[best] < NO_OVERLAP_MM2
    return Settled(at, np.sqrt(2 * energy), best if solved else None)


def _settled(overlap: Overlap, starts: Floats) -> tuple[Floats, Floats]:
    """Where descent leaves no overlap, or stops gaining; and the overlap there.

    Limited-memory BFGS: Nocedal and Wright, Numerical Optimization, 2nd ed. 2006, algorithm 7.4
    (from memory), for all starts at once; a start that is stuck is left where it is.
    """
    ended_at = starts.copy()
    rows = np.arange(len(starts))
    at = starts
    energy, slopes = overlap(at, rows)
    ended, before = energy.copy(), energy
    past: list[State] = []
    for rounds in range(1, MOST_ROUNDS + 1):
        if energy.min() < NO_OVERLAP_MM2:
            break
        moved, after_energy, after = _stepped(overlap, rows, (at, energy, slopes), past)
        travel, turn = moved - at, after - slopes
        past = [*past, (travel, turn, _dots(travel, turn))][-REMEMBERED:]
        at, energy, slopes = moved, after_energy, after
        if rounds % PATIENCE == 0:
            going = energy < before * WORTH_GOING_ON
            ended_at[rows], ended[rows] = at, energy
            if not going.any():
                break
            rows, at, energy, slopes = rows[going], at[going], energy[going], slopes[going]
            past = [(s[going], y[going], c[going]) for s, y, c in past]
            before = energy
    ended_at[rows], ended[rows] = at, energy
    return ended_at, ended


def _stepped(overlap: Overlap, rows: Rows, now: State, past: Sequence[State]) -> State:
    """All starts one step on, a shorter one where that gains too little; those that would rise too
    far stay."""
    at, energy, slopes = now
    way = _downhill(slopes, past)
    drop = _dots(way, slopes)
    moved = at + way
    after_energy, after = overlap(moved, rows)
    short = np.flatnonzero(after_energy > energy + LEAST_DROP * drop)
    if len(short):
        moved[short] = at[short] + SHORTER * way[short]
        after_energy[short], after[short] = overlap(moved[short], rows[short])
    stay = after_energy > energy * MAY_RISE
    moved[stay], after_energy[stay], after[stay] = at[stay], energy[stay], slopes[stay]
    return moved, after_energy, after


def _dots(one: Floats, other: Floats) -> Floats:
    return np.asarray((one * other).sum(axis=(1, 2)))


def _downhill(slopes: Floats, past: Sequence[State]) -> Floats:
    """The steps to take, by what the last ones taught about the curvature; a step that taught
    none counts for nothing."""
    way, shares = -slopes, []
    for travel, turn, curved in reversed(past):
        share = _quotient(_dots(travel, way), curved)
        way = way - share * turn
        shares.append(share)
    if past:
        _, turn, curved = past[-1]
        bends = (curved > 0)[:, np.newaxis, np.newaxis]
        way = np.where(bends, way * _quotient(curved, _dots(turn, turn)), way)
    for (travel, turn, curved), share in zip(past, reversed(shares), strict=True):
        way = way + travel * (share - _quotient(_dots(turn, way), curved))
    uphill = _dots(way, slopes) >= 0
    way[uphill] = -slopes[uphill]
    return np.asarray(way)


def _quotient(above: Floats, below: Floats) -> Floats:
    """Quotients (s, 1, 1), 0 where nothing positive divides."""
    share = np.divide(above, below, out=np.zeros_like(above), where=below > 0)
    return share[:, np.newaxis, np.newaxis]
