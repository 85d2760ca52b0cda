"""How much pots overlap that are let overlap, and which ways part them: places and turns alike.

Many starts are looked at side by side in the same arrays. A start may hold other pots than its
neighbour; an empty place holds no pot.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from .attempt import Laid
from .contact import UNITS, Fit, Obstacles, Places, border, fit, room
from .inputs import Piece
from .shapes import Edge, Floats, body
from .tolerances import CONTACT_MM, DIRECTIONS, SAME_MM

Rows = NDArray[np.intp]

TABLE = 720
"""Directions in which a pot's reach is tabled, half a degree apart; between them a straight line
misses a corner 100 mm away by 0.001 mm."""

_PER_DIRECTION = TABLE // DIRECTIONS
_TABLE_ANGLES = np.arange(TABLE) * (2 * np.pi / TABLE)
_TABLE_UNITS = np.stack((np.cos(_TABLE_ANGLES), np.sin(_TABLE_ANGLES)), axis=-1)

ASIDE = 9
"""Pots of which none is more than twice as long as deep are parted by a direction within so many
of `UNITS` from the one between their centres; any direction at all says too little, never too much.
"""
_WINDOW = np.arange(2 * ASIDE + 1)
_TWICE_X, _TWICE_Y = np.tile(UNITS.T.astype(np.float32), 2)

_COARSE, _FINE = np.arange(-50, 51, 5), np.arange(-3, 4)
"""Tangents of a curved edge, a degree apart, among which the tightest is looked for: around the one
that faces the pot, then around the tightest of those."""

ARM = 0.7
"""A turn of one radian is worth a move by so much of a pot's reach."""

NO_POT_MM = -1e6
"""How far an empty place reaches: never to any other."""

A_LOOK = 1500
"""Looking at all starts once costs as much as so many pairs, however few pots there are."""


@dataclass(eq=False)
class Ware:
    """Pots that may be moved and turned, as tables; number `nothing` is no pot, the numbers after
    it are what may not move.

    `fits` is how each piece stands alone at some turn. `table` (twice `TABLE` for each) is how far
    a pot reaches, unturned, in every direction, `reach` the most of it, `arms_mm` what a turn of
    one radian is worth as a move (infinite where turning changes nothing), `margin` what is kept
    from the shelf's edge, and nearer the middle than `safe_mm` a pot is on the shelf.
    """

    edge: Edge
    pieces: Sequence[Piece]
    fits: Sequence[Fit]
    fixed: Obstacles
    clearance_mm: float
    nothing: int = field(init=False)
    radii: Floats = field(init=False)
    reach: Floats = field(init=False)
    arms_mm: Floats = field(init=False)
    table: Floats = field(init=False)
    rough: NDArray[np.float32] = field(init=False)
    margin: Floats = field(init=False)
    safe_mm: Floats = field(init=False)

    def __post_init__(self) -> None:
        self.nothing = len(self.pieces)
        bodies = [body(each) for each in self.pieces]
        radii = [np.nan if each.radius_mm is None else each.radius_mm for each in bodies]
        self.radii = np.concatenate((radii, [NO_POT_MM], self.fixed.radii))
        reaches = [(each.points @ _TABLE_UNITS.T).max(axis=0) for each in bodies]
        for n, radius in enumerate(radii):
            if not np.isnan(radius):
                reaches[n] = np.full(TABLE, radius)
        between = np.arange(TABLE) / _PER_DIRECTION
        fixed = [
            np.interp(between, np.arange(DIRECTIONS + 1), np.append(each, each[0]))
            for each in self.fixed.supports
        ]
        table = np.array([*reaches, np.full(TABLE, NO_POT_MM), *fixed])
        self.reach = table.max(axis=1) * (1 + 2 / DIRECTIONS**2)
        self.arms_mm = np.where(np.isnan(self.radii), self.reach * ARM, np.inf)
        # Twice round, so that neighbouring directions lie beside each other.
        self.table = np.hstack((table, table)).ravel()
        self.rough = self.table.astype(np.float32)
        spare = np.array([min(CONTACT_MM, max(each.spare_mm, 0.0)) for each in self.fits])
        on_circle = ~np.isnan(radii) & (self.edge.radius_mm is not None)
        margin = spare * np.where(on_circle | (not self.edge.curved), 1, 2)
        self.margin = np.concatenate((margin, np.zeros(1 + len(fixed))))
        self.safe_mm = self.edge.distances.min() - self.margin - self.reach


@dataclass(eq=False)
class Crowd:
    """So many starts side by side: `who` (s, n) stands where. `pairs` counts the pairs of pots that
    were looked at: the effort spent."""

    ware: Ware
    who: Places
    pairs: int = 0
    _first: Places = field(init=False)
    _second: Places = field(init=False)
    _reaches: Floats = field(init=False)
    _round: NDArray[np.bool_] = field(init=False)
    _all: Places = field(init=False)
    _squares: Floats = field(init=False)

    def __post_init__(self) -> None:
        ware, count, still = self.ware, self.who.shape[1], len(self.ware.fixed.centres)
        first, second = np.triu_indices(count, 1)
        to_fixed = np.indices((count, still)).reshape(2, -1)
        self._first = np.append(first, to_fixed[0])
        self._second = np.append(second, to_fixed[1] + count)
        fixed = np.arange(still) + ware.nothing + 1
        self._all = np.hstack((self.who, np.broadcast_to(fixed, (len(self.who), still))))
        radii, reach = ware.radii[self._all], ware.reach[self._all]
        reaches = radii[:, self._first] + radii[:, self._second]
        self._round = ~np.isnan(reaches)
        # Outlines that aren't both round touch within the circles around both, or not at all.
        around = reach[:, self._first] + reach[:, self._second]
        self._reaches = np.where(self._round, reaches, around) + ware.clearance_mm + CONTACT_MM
        self._squares = np.where(self._reaches > 0, self._reaches, 0.0) ** 2

    def overlap(self, at: Floats, rows: Rows) -> tuple[Floats, Floats]:
        """Half the sum of squared overlaps (s,) of some starts' places (s, n, 3), and its gradient
        (s, n, 3). The third is the turn in radians times the pot's arm."""
        count = at.shape[1]
        turn = at[..., 2] / self.ware.arms_mm[self.who[rows]]
        energy, slopes = self._from_edge(at, turn, rows)
        row, pair, lacks, pushes, twists = self._lacking(at, turn, rows)
        force = lacks[:, np.newaxis] * pushes
        size = len(at) * count
        first = row * count + self._first[pair]
        movable = np.flatnonzero(self._second[pair] < count)
        second = (row * count + self._second[pair])[movable]
        for axis in (0, 1):
            push = np.bincount(first, force[:, axis], size)
            push -= np.bincount(second, force[movable, axis], size)
            slopes[..., axis] += push.reshape(len(at), count)
        twist = np.bincount(first, lacks * twists[:, 0], size)
        twist += np.bincount(second, (lacks * twists[:, 1])[movable], size)
        slopes[..., 2] += twist.reshape(len(at), count)
        slopes[..., 2] /= self.ware.arms_mm[self.who[rows]]
        return energy + np.bincount(row, lacks**2, len(at)) / 2, slopes

    def _reach(self, who: Places, turn: Floats, direction: Floats) -> tuple[Floats, Floats]:
        """How far pots reach in a direction (in steps of the table), and how much farther by a
        radian."""
        along = (direction - turn * (TABLE / (2 * np.pi))) % TABLE
        before = along.astype(np.intp)
        share = along - before
        before += who * (2 * TABLE)
        low = self.ware.table.take(before)
        more = self.ware.table.take(before + 1) - low
        return low + share * more, more * (TABLE / (2 * np.pi))

    def _from_edge(self, at: Floats, turn: Floats, rows: Rows) -> tuple[Floats, Floats]:
        """Overlap over the shelf's edge; the slope of the turn is not yet divided by its arm."""
        ware, slopes = self.ware, np.zeros_like(at)
        edge = ware.edge
        row, pot = np.nonzero(np.hypot(at[..., 0], at[..., 1]) > self.ware.safe_mm[self.who[rows]])
        place, theta, who = at[row, pot], turn[row, pot], self.who[rows[row], pot]
        sides, row_of = len(edge.normals), who[:, np.newaxis] * (2 * TABLE)
        step = TABLE // sides
        if edge.curved:
            toward = np.rint(np.arctan2(place[:, 1], place[:, 0]) * (sides / (2 * np.pi)))
            side = toward.astype(np.intp)[:, np.newaxis]
            base = np.rint(-theta * (TABLE / (2 * np.pi))).astype(np.intp)[:, np.newaxis]
            for around in (_COARSE, _FINE):
                near = (side + around) % sides
                left = edge.distances[near] - ware.table.take(row_of + (near * step + base) % TABLE)
                left -= place[:, :1] * edge.normals[near, 0] + place[:, 1:2] * edge.normals[near, 1]
                side = near[np.arange(len(near)), left.argmin(axis=1)][:, np.newaxis]
        else:
            side = np.broadcast_to(np.arange(sides), (len(place), sides))
        reach, more = self._reach(
            who[:, np.newaxis], theta[:, np.newaxis], side.astype(float) * step
        )
        left = edge.distances[side] - self.ware.margin[who][:, np.newaxis] - reach
        left -= place[:, :1] * edge.normals[side, 0] + place[:, 1:2] * edge.normals[side, 1]
        outside = np.minimum(left, 0.0)
        slopes[row, pot, 0] = -(outside * edge.normals[side, 0]).sum(axis=1)
        slopes[row, pot, 1] = -(outside * edge.normals[side, 1]).sum(axis=1)
        slopes[row, pot, 2] = (outside * more).sum(axis=1)
        return np.bincount(row, (outside**2).sum(axis=1), len(at)) / 2, slopes

    def _lacking(
        self, at: Floats, turn: Floats, rows: Rows
    ) -> tuple[Rows, Places, Floats, Floats, Floats]:
        """The starts and pairs that lack some of their gap, how much (m,), ≤ 0, the directions
        that part them (m, 2), and what turning either by a radian gains (m, 2)."""
        ware, count, pairs = self.ware, at.shape[1], len(self._first)
        self.pairs += A_LOOK + len(at) * pairs
        still = len(ware.fixed.centres)
        x, y = np.empty((2, len(at), count + still))
        x[:, :count], x[:, count:] = at[..., 0], ware.fixed.centres[:, 0]
        y[:, :count], y[:, count:] = at[..., 1], ware.fixed.centres[:, 1]
        x = x.take(self._first, axis=1) - x.take(self._second, axis=1)
        y = y.take(self._first, axis=1) - y.take(self._second, axis=1)
        near = np.flatnonzero(x * x + y * y < self._squares.take(rows, axis=0))
        row, pair = np.divmod(near, pairs)
        kind = rows.take(row) * pairs + pair
        away = np.empty((len(near), 2))
        away[:, 0], away[:, 1] = x.ravel().take(near), y.ravel().take(near)
        distance = np.maximum(np.sqrt((away * away).sum(axis=1)), CONTACT_MM)
        lacks = distance - self._reaches.take(kind)
        pushes, twists = away / distance[:, np.newaxis], np.zeros_like(away)
        other = np.flatnonzero(~self._round.take(kind))
        if not len(other):
            return row, pair, lacks, pushes, twists
        row_of, pair_of, apart = row.take(other), pair.take(other), away.take(other, axis=0)
        first, second = self._first.take(pair_of), self._second.take(pair_of)
        everyone = rows.take(row_of) * (count + still)
        one, two = self._all.take(everyone + first), self._all.take(everyone + second)
        turns = np.zeros((len(at), count + still))
        turns[:, :count] = turn
        turn_one = turns.take(row_of * (count + still) + first)
        turn_two = turns.take(row_of * (count + still) + second)
        toward = np.arctan2(apart[:, 1], apart[:, 0]) * (DIRECTIONS / (2 * np.pi))
        base = (np.rint(toward).astype(np.intp) - ASIDE) % DIRECTIONS
        gap = _TWICE_X.take(base[:, np.newaxis] + _WINDOW)
        gap *= apart[:, :1].astype(np.float32)
        gap += _TWICE_Y.take(base[:, np.newaxis] + _WINDOW) * apart[:, 1:].astype(np.float32)
        begin = base * _PER_DIRECTION
        steps = TABLE / (2 * np.pi)
        for who, theta, facing in ((one, turn_one, TABLE // 2), (two, turn_two, 0)):
            seen = (begin + facing - np.rint(theta * steps).astype(np.intp)) % TABLE
            seen += who * (2 * TABLE)
            gap -= ware.rough.take(seen[:, np.newaxis] + _WINDOW * _PER_DIRECTION)
        best = (base + gap.argmax(axis=1)) % DIRECTIONS
        reach_one, more_one = self._reach(one, turn_one, best * float(_PER_DIRECTION) + TABLE // 2)
        reach_two, more_two = self._reach(two, turn_two, best * float(_PER_DIRECTION))
        short = (apart * UNITS[best]).sum(axis=1) - reach_one - reach_two
        lacks[other] = np.minimum(short - ware.clearance_mm - CONTACT_MM, 0.0)
        pushes[other] = UNITS[best]
        twists[other, 0], twists[other, 1] = more_one, more_two
        return row, pair, lacks, pushes, twists


def stood(ware: Ware, who: Places, at: Floats) -> list[Laid] | None:
    """Pots (n,) at their places (n, 3) as they may be laid; None unless every clearance is kept,
    by all directions and tangents and without a table."""
    laid = []
    obstacles = ware.fixed
    for number, place in zip(who, at, strict=True):
        if number == ware.nothing:
            continue
        piece = ware.pieces[number]
        turn = float(np.degrees(place[2] / ware.arms_mm[number])) % 360
        fitted = fit(body(piece), turn, ware.edge)
        if fitted is None:
            return None
        bounds = border(ware.edge, fitted, obstacles, ware.clearance_mm)
        if room(place[np.newaxis, :2], bounds)[0].min() < -SAME_MM:
            return None
        obstacles = obstacles.and_one(place[:2], fitted.radius_mm, fitted.support)
        laid.append(Laid(piece, fitted, place[:2]))
    return laid
