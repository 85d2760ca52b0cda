"""Descent from crowds of pots that overlap to crowds that overlap less: compiled, as `overlap`."""

import numpy as np

from .compiled import compiled, inlined
from .contact import Places
from .overlap import Tables, overlap
from .shapes import Floats

MOST_ROUNDS, REMEMBERED = 60, 6
LEAST_DROP, SHORTER = 1e-4, 0.3
MAY_RISE = 1.2
"""Overlap has edges, where a step downhill may go up a little: one that rises by more than a fifth
isn't taken. Shorter and shorter ones till none rises take longer and end no lower."""

PATIENCE, WORTH_GOING_ON = 10, 0.6
"""Who hasn't lost two fifths of the overlap in so many rounds is stirred sooner than pushed on."""


@inlined
def _dot(one: Floats, other: Floats) -> float:
    total = 0.0
    for n in range(len(one)):
        total += one[n] * other[n]
    return total


@inlined
def _sum(to: Floats, one: Floats, share: float, other: Floats) -> None:
    """Writes one (k,) and a share of another."""
    for n in range(len(to)):
        to[n] = one[n] + share * other[n]


@compiled
def _downhill(
    slopes: Floats, travels: Floats, turns: Floats, curved: Floats, known: int, way: Floats
) -> None:
    """Writes the step to take (k,), by what the last ones (r, k) taught about the curvature; one
    that taught none counts for nothing. The nth of those known stands at n modulo r."""
    kept, last = len(curved), known - 1
    _sum(way, slopes, -2.0, slopes)
    shares = np.zeros(kept)
    for n in range(last, max(known - kept, 0) - 1, -1):
        k = n % kept
        if curved[k] > 0:
            shares[k] = _dot(travels[k], way) / curved[k]
            _sum(way, way, -shares[k], turns[k])
    if known > 0 and curved[last % kept] > 0:
        scale = curved[last % kept] / _dot(turns[last % kept], turns[last % kept])
        _sum(way, way, scale - 1.0, way)
    for n in range(max(known - kept, 0), known):
        k = n % kept
        if curved[k] > 0:
            _sum(way, way, shares[k] - _dot(turns[k], way) / curved[k], travels[k])


@compiled
def descend(tables: Tables, who: Places, at: Floats, free: int, none: float) -> tuple[float, int]:
    """Moves a crowd to where there is less than `none` overlap, or descent stops gaining. Answers
    the overlap there and how often it was looked at.

    Limited-memory BFGS: Nocedal and Wright, Numerical Optimization, 2nd ed. 2006, algorithm 7.4
    (from memory).
    """
    count = 3 * free
    then_at, curved = at.copy(), np.zeros(REMEMBERED)
    slopes, after, way = np.zeros(count), np.zeros(count), np.zeros(count)
    travels, turns = np.zeros((REMEMBERED, count)), np.zeros((REMEMBERED, count))
    here, there = at.reshape(-1)[:count], then_at.reshape(-1)[:count]
    energy = before = overlap(tables, who, at, free, slopes)
    looks = 1
    for rounds in range(MOST_ROUNDS):
        if energy < none or (
            rounds and rounds % PATIENCE == 0 and energy > before * WORTH_GOING_ON
        ):
            break
        if rounds % PATIENCE == 0:
            before = energy
        _downhill(slopes, travels, turns, curved, rounds, way)
        then = np.inf
        for length in (1.0, SHORTER):
            if not then <= energy + LEAST_DROP * _dot(way, slopes):
                _sum(there, here, length, way)
                then = overlap(tables, who, then_at, free, after)
                looks += 1
        k = rounds % REMEMBERED
        curved[k] = 0.0
        if then <= energy * MAY_RISE:
            _sum(travels[k], there, -1.0, here)
            _sum(turns[k], after, -1.0, slopes)
            curved[k] = _dot(travels[k], turns[k])
            here[:], slopes[:], energy = there, after, then
    return energy, looks
