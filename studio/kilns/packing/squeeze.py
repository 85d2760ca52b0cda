"""Room for one more on a shelf that is nearly full: pots are let overlap and pushed apart.

The overlaps' squares are minimised over all places at once, from many starts side by side in the
same arrays. Only a result without any overlap counts. Pots that may not move stand as obstacles.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from .contact import UNITS, Fit, Obstacles, Places
from .shapes import Edge, Floats
from .tolerances import CONTACT_MM, DIRECTIONS

MOST_ROUNDS = 240
REMEMBERED = 6
LEAST_DROP, MOST_HALVINGS = 1e-4, 6
PATIENCE, WORTH_GOING_ON = 20, 0.85
"""Who hasn't lost a seventh of the overlap in so many rounds will not get rid of it."""

NO_OVERLAP_MM2 = (CONTACT_MM / 4) ** 2 / 2
"""No gap then lacks more than a quarter of what is kept on top of each clearance."""

A_LOOK = 1500
"""Looking at all crowds once costs as much as so many pairs, however few pots there are."""

COARSE = 5
_AROUND = np.arange(-COARSE, COARSE + 1)

Rows = NDArray[np.intp]
State = tuple[Floats, Floats, Floats]
Overlap = Callable[[Floats, Rows], tuple[Floats, Floats]]


@dataclass(eq=False)
class Crowd:
    """So many starts side by side: the same pots, each at its own turn in every start.

    `pairs` counts the pairs of pots that were looked at: the effort spent.
    """

    edge: Edge
    fits: Sequence[Sequence[Fit]]
    fixed: Obstacles
    clearance_mm: float
    pairs: int = 0
    _first: Places = field(init=False)
    _second: Places = field(init=False)
    _reaches: Floats = field(init=False)
    _round: NDArray[np.bool_] = field(init=False)
    _supports: Floats = field(init=False)
    _limits: Floats = field(init=False)

    def __post_init__(self) -> None:
        count, gap = len(self.fits[0]), self.clearance_mm + CONTACT_MM
        first, second = np.triu_indices(count, 1)
        to_fixed = np.indices((count, len(self.fixed.centres))).reshape(2, -1)
        self._first = np.append(first, to_fixed[0])
        self._second = np.append(second, to_fixed[1] + count)
        radii = np.array([np.nan if f.radius_mm is None else f.radius_mm for f in self.fits[0]])
        radii = np.append(radii, self.fixed.radii)
        reaches = radii[self._first] + radii[self._second] + gap
        self._round = ~np.isnan(reaches)
        moving = np.array([[each.support for each in row] for row in self.fits])
        standing = np.broadcast_to(self.fixed.supports, (len(moving), *self.fixed.supports.shape))
        self._supports = np.concatenate((moving, standing), axis=1)
        far = self._supports.max(axis=(0, 2)) * (1 + 2 / DIRECTIONS**2)
        around = far[self._first] + far[self._second] + gap
        # Outlines that aren't both round touch within the circles around both, or not at all.
        self._reaches = np.where(self._round, reaches, around)
        self._limits = np.array(
            [
                [each.limits - min(CONTACT_MM, max(each.spare_mm, 0.0)) for each in row]
                for row in self.fits
            ]
        )

    def overlap(self, at: Floats, rows: Rows) -> tuple[Floats, Floats]:
        """Half the sum of squared overlaps (s,) of some starts' places (s, n, 2), and its
        gradient (s, n, 2)."""
        energy, slopes = self._from_edge(at, rows)
        row, pair, lacks, pushes = self._lacking(at, rows)
        force = lacks[:, np.newaxis] * pushes
        count = at.shape[1]
        size = len(at) * count
        first = row * count + self._first[pair]
        movable = self._second[pair] < count
        second = (row * count + self._second[pair])[movable]
        for axis in (0, 1):
            push = np.bincount(first, force[:, axis], size)
            push -= np.bincount(second, force[movable, axis], size)
            slopes[..., axis] += push.reshape(len(at), count)
        return energy + np.bincount(row, lacks**2, len(at)) / 2, slopes

    def _from_edge(self, at: Floats, rows: Rows) -> tuple[Floats, Floats]:
        normals, limits = self.edge.normals, self._limits[rows]
        if self.edge.curved:
            # The tightest tangent lies near the tightest of every fifth; `sound` asks all.
            some = limits[..., ::COARSE] - _along(at, normals[::COARSE])
            near = some.argmin(axis=2)[..., np.newaxis] * COARSE + _AROUND
            near %= len(normals)
            left = np.take_along_axis(limits, near, axis=2)
            left -= (normals[near] * at[:, :, np.newaxis]).sum(axis=3)
            worst = left.argmin(axis=2)[..., np.newaxis]
            outside = np.minimum(np.take_along_axis(left, worst, axis=2), 0.0)
            inward = normals[np.take_along_axis(near, worst, axis=2)[..., 0]]
            return (outside**2).sum(axis=(1, 2)) / 2, -outside * inward
        outside = np.minimum(limits - _along(at, normals), 0.0)
        return (outside**2).sum(axis=(1, 2)) / 2, -(outside @ normals)

    def _lacking(self, at: Floats, rows: Rows) -> tuple[Rows, Places, Floats, Floats]:
        """The starts and pairs that lack some of their gap, how much (m,), ≤ 0, and the
        directions that part them (m, 2)."""
        self.pairs += A_LOOK + len(at) * len(self._first)
        standing = np.broadcast_to(self.fixed.centres, (len(at), *self.fixed.centres.shape))
        everything = np.concatenate((at, standing), axis=1)
        away = everything[:, self._first] - everything[:, self._second]
        distance = np.maximum(np.hypot(away[..., 0], away[..., 1]), CONTACT_MM)
        row, pair = np.nonzero(distance < self._reaches)
        away, distance = away[row, pair], distance[row, pair]
        lacks = distance - self._reaches[pair]
        pushes = away / distance[:, np.newaxis]
        other = np.flatnonzero(~self._round[pair])
        start, which = rows[row[other]], pair[other]
        along = _along(away[other], UNITS)
        behind = self._supports[start, self._first[which]]
        along[:, DIRECTIONS // 2 :] -= behind[:, : DIRECTIONS // 2]
        along[:, : DIRECTIONS // 2] -= behind[:, DIRECTIONS // 2 :]
        along -= self._supports[start, self._second[which]]
        best = along.argmax(axis=1)
        apart = along[np.arange(len(along)), best] - self.clearance_mm - CONTACT_MM
        lacks[other] = np.minimum(apart, 0.0)
        pushes[other] = UNITS[best]
        return row, pair, lacks, pushes

    def sound(self, at: Floats, row: int) -> bool:
        """Whether one start's places (n, 2) lack so little that every clearance is kept."""
        one, rows = at[np.newaxis], np.array([row])
        _, _, lacks, _ = self._lacking(one, rows)
        over = (self._limits[row] - at @ self.edge.normals.T).min()
        return bool(min(lacks.min(initial=0.0), over) > -CONTACT_MM / 2)


def _along(at: Floats, units: Floats) -> Floats:
    """How far places (…, 2) lie along each of some directions (…, d)."""
    return np.asarray(at[..., :1] * units[:, 0] + at[..., 1:] * units[:, 1])


@dataclass(frozen=True, eq=False)
class Settled:
    """Where descent ended: places (s, n, 2), what all gaps together lack in mm (s,) (the root of
    their squares' sum), and the start that lacks nothing."""

    at: Floats
    lacks_mm: Floats
    solved: int | None


def squeezed(crowd: Crowd, starts: Floats) -> Settled:
    """The places (s, n, 2) near each start with the least overlap; stops at the first start that
    comes to none."""
    at, energy = _settled(crowd.overlap, starts)
    best = int(energy.argmin())
    solved = energy[best] < NO_OVERLAP_MM2 and crowd.sound(at[best], best)
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
    """All starts one step on, each as far as it gains; those that gain nowhere stay."""
    at, energy, slopes = now
    way = _downhill(slopes, past)
    drop = _dots(way, slopes)
    step = np.ones(len(at))
    moved = at + way
    after_energy, after = overlap(moved, rows)
    for _ in range(MOST_HALVINGS):
        short = np.flatnonzero(after_energy > energy + LEAST_DROP * step * drop)
        if not len(short):
            return moved, after_energy, after
        step[short] /= 2
        moved[short] = at[short] + step[short, np.newaxis, np.newaxis] * way[short]
        after_energy[short], after[short] = overlap(moved[short], rows[short])
    stay = after_energy > energy
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
