"""Room for one more on a shelf that is nearly full: pots are let overlap and pushed apart.

The overlaps' squares are minimised over all places at once from several starts. Only a
result without any overlap counts. Pots that may not move stand as obstacles.
"""

from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from .contact import UNITS, Fit, Obstacles, Places
from .shapes import Edge, Floats
from .tolerances import CONTACT_MM

MOST_ROUNDS = 240
REMEMBERED = 8
LEAST_DROP, SMALLEST_STEP = 1e-4, 1e-3
PATIENCE, WORTH_GOING_ON = 30, 0.9
"""Who hasn't lost a tenth of the overlap in so many rounds will not get rid of it."""

NO_OVERLAP_MM2 = (CONTACT_MM / 4) ** 2 / 2
"""No gap then lacks more than a quarter of what is kept on top of each clearance."""

Overlap = Callable[[Floats], tuple[float, Floats]]


@dataclass(frozen=True, eq=False)
class _Pairs:
    """Who may come too near to whom: first (p,) is a pot that moves, second (p,) any."""

    first: Places
    second: Places
    reaches: Floats
    faces: Floats
    round: Places
    other: Places


def squeezed(
    edge: Edge, fits: Sequence[Fit], fixed: Obstacles, clearance_mm: float, starts: Floats
) -> tuple[Floats | None, float]:
    """Centres (n, 2) of the outlines near the starts (n, 2) with all gaps kept, or None, and what
    all gaps together lack in mm (the root of their squares' sum)."""
    pairs = _pairs(fits, fixed, clearance_mm + CONTACT_MM)
    limits = np.array([each.limits - min(CONTACT_MM, max(each.spare_mm, 0.0)) for each in fits])

    def overlap(at: Floats) -> tuple[float, Floats]:
        """Half the sum of squared overlaps and its gradient (n, 2)."""
        lacks, pushes = _lacks(at, fixed, pairs)
        deep = np.flatnonzero(lacks)
        force = lacks[deep, np.newaxis] * pushes[deep]
        slopes = np.zeros((len(at) + len(fixed.centres), 2))
        np.add.at(slopes, pairs.first[deep], force)
        np.subtract.at(slopes, pairs.second[deep], force)
        over = np.minimum(limits - at @ edge.normals.T, 0.0)
        if edge.curved:
            rows, worst = np.arange(len(at)), over.argmin(axis=1)
            outside = over[rows, worst]
            inward = outside[:, np.newaxis] * edge.normals[worst]
        else:
            outside, inward = over, over @ edge.normals
        energy = float((lacks[deep] ** 2).sum() + (outside**2).sum()) / 2
        return energy, slopes[: len(at)] - inward

    at, energy = _settled(overlap, starts)
    lacks, _ = _lacks(at, fixed, pairs)
    over = (limits - at @ edge.normals.T).min()
    sound = lacks.min(initial=0.0) > -CONTACT_MM / 2 and over > -CONTACT_MM / 2
    return at if sound else None, sqrt(2 * energy)


def _settled(overlap: Overlap, at: Floats) -> tuple[Floats, float]:
    """Where descent from a start leaves no overlap, or stops gaining; and the overlap there.

    Limited-memory BFGS: Nocedal and Wright, Numerical Optimization, 2nd ed. 2006, algorithm 7.4
    (from memory). Written out because the library's calls threaded linear algebra, which on so
    few numbers costs far more than it computes.
    """
    energy, slopes = overlap(at)
    past: deque[tuple[Floats, Floats]] = deque(maxlen=REMEMBERED)
    before, rounds = energy, 0
    while energy >= NO_OVERLAP_MM2:
        rounds += 1
        if rounds % PATIENCE == 0:
            if energy > before * WORTH_GOING_ON or rounds >= MOST_ROUNDS:
                break
            before = energy
        way = _downhill(slopes, past)
        drop, step = float((way * slopes).sum()), 1.0
        moved, (after_energy, after) = at + way, overlap(at + way)
        while after_energy > energy + LEAST_DROP * step * drop and step > SMALLEST_STEP:
            step /= 2
            moved = at + step * way
            after_energy, after = overlap(moved)
        travel, turn = moved - at, after - slopes
        if (travel * turn).sum() > 0:
            past.append((travel, turn))
        at, energy, slopes = moved, after_energy, after
    return at, energy


def _downhill(slopes: Floats, past: deque[tuple[Floats, Floats]]) -> Floats:
    """The step to take, by what the last steps taught about the curvature."""
    way, shares = -slopes, []
    for travel, turn in reversed(past):
        share = (travel * way).sum() / (travel * turn).sum()
        way = way - share * turn
        shares.append(share)
    if past:
        travel, turn = past[-1]
        way = way * ((travel * turn).sum() / (turn * turn).sum())
    for (travel, turn), share in zip(past, reversed(shares), strict=True):
        way = way + travel * (share - (turn * way).sum() / (travel * turn).sum())
    return np.asarray(way)


def _pairs(fits: Sequence[Fit], fixed: Obstacles, gap: float) -> _Pairs:
    count = len(fits)
    first, second = np.triu_indices(count, 1)
    to_fixed = np.indices((count, len(fixed.centres))).reshape(2, -1)
    first = np.append(first, to_fixed[0])
    second = np.append(second, to_fixed[1] + count)
    radii = np.array([np.nan if f.radius_mm is None else f.radius_mm for f in fits])
    radii = np.append(radii, fixed.radii)
    supports = np.vstack(([f.support for f in fits], fixed.supports))
    behind = np.array([f.behind for f in fits])
    reaches = radii[first] + radii[second] + gap
    round_too = ~np.isnan(reaches)
    faces = behind[first] + supports[second] + gap
    other = np.flatnonzero(~round_too)
    return _Pairs(first, second, reaches, faces[other], np.flatnonzero(round_too), other)


def _lacks(at: Floats, fixed: Obstacles, pairs: _Pairs) -> tuple[Floats, Floats]:
    """What each pair lacks of its gap (p,), ≤ 0, and the directions that part it (p, 2)."""
    everything = np.vstack((at, fixed.centres))
    away = everything[pairs.first] - everything[pairs.second]
    lacks, pushes = np.empty(len(away)), np.empty((len(away), 2))
    near = away[pairs.round]
    distance = np.maximum(np.hypot(near[:, 0], near[:, 1]), CONTACT_MM)
    lacks[pairs.round] = distance - pairs.reaches[pairs.round]
    pushes[pairs.round] = near / distance[:, np.newaxis]
    along = away[pairs.other] @ UNITS.T - pairs.faces
    best = along.argmax(axis=1)
    lacks[pairs.other] = along[np.arange(len(along)), best]
    pushes[pairs.other] = UNITS[best]
    return np.minimum(lacks, 0.0), pushes
