"""How much pots overlap that are let overlap, and which ways part them: places and turns alike.

Many starts are looked at side by side in the same arrays. A start may hold other pots than its
neighbour; an empty place holds no pot.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from .attempt import Laid
from .contact import UNITS, Fit, Obstacles, Places, border, fit, room, support
from .inputs import Piece
from .shapes import Edge, Floats, body, circle
from .tolerances import CONTACT_MM, DIRECTIONS, SAME_MM

Rows = NDArray[np.intp]

TABLE = 720
"""Directions in which a pot's reach is tabled, half a degree apart; between them a straight line
misses a corner 100 mm away by 0.001 mm."""

_PER_DIRECTION = TABLE // DIRECTIONS
_PER_RADIAN = TABLE / (2 * np.pi)
_TABLE_UNITS = circle(TABLE)

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


@dataclass(frozen=True, eq=False)
class Ware:
    """Pots that may be moved and turned, as tables; number `nothing` is no pot, the numbers after
    it are what may not move. `fits` is how each piece stands alone at some turn."""

    edge: Edge
    pieces: Sequence[Piece]
    fits: Sequence[Fit]
    fixed: Obstacles
    clearance_mm: float

    @property
    def nothing(self) -> int:
        return len(self.pieces)

    @cached_property
    def radii(self) -> Floats:
        """By number, nan where not round."""
        own = [np.nan if each.radius_mm is None else each.radius_mm for each in self.fits]
        return np.concatenate((own, [NO_POT_MM], self.fixed.radii))

    @cached_property
    def _reaches(self) -> Floats:
        """How far each reaches, unturned, in every direction of the table."""
        own = [support(body(each), 0.0, _TABLE_UNITS) for each in self.pieces]
        between = np.arange(TABLE) / _PER_DIRECTION
        fixed = [
            np.interp(between, np.arange(DIRECTIONS + 1), np.append(each, each[0]))
            for each in self.fixed.supports
        ]
        return np.array([*own, np.full(TABLE, NO_POT_MM), *fixed])

    @cached_property
    def table(self) -> Floats:
        """Those of all, one after the other, each twice round: neighbouring directions lie beside
        each other."""
        return np.hstack((self._reaches, self._reaches)).ravel()

    @cached_property
    def rough(self) -> NDArray[np.float32]:
        return self.table.astype(np.float32)

    @cached_property
    def reach(self) -> Floats:
        """The most of it; a corner between two directions reaches a little farther than in them."""
        return np.asarray(self._reaches.max(axis=1) * (1 + 2 / DIRECTIONS**2))

    @cached_property
    def arms_mm(self) -> Floats:
        """What a turn of one radian is worth as a move; infinite where it changes nothing."""
        return np.where(np.isnan(self.radii), self.reach * ARM, np.inf)

    @cached_property
    def margin(self) -> Floats:
        """What is kept from the shelf's edge."""
        spare = np.array([min(CONTACT_MM, max(each.spare_mm, 0.0)) for each in self.fits])
        on_circle = ~np.isnan(self.radii[: self.nothing]) & (self.edge.radius_mm is not None)
        # Where tangents stand for a curve, `fit` keeps as much once more.
        own = spare * np.where(on_circle | (not self.edge.curved), 1, 2)
        return np.concatenate((own, np.zeros(1 + len(self.fixed.centres))))

    @cached_property
    def safe_mm(self) -> Floats:
        """Nearer the middle than this a pot is on the shelf."""
        return np.asarray(self.edge.distances.min() - self.margin - self.reach)


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
        along = (direction - turn * _PER_RADIAN) % TABLE
        before = along.astype(np.intp)
        share = along - before
        before += who * (2 * TABLE)
        low = self.ware.table.take(before)
        more = self.ware.table.take(before + 1) - low
        return low + share * more, more * _PER_RADIAN

    def _from_edge(self, at: Floats, turn: Floats, rows: Rows) -> tuple[Floats, Floats]:
        """Overlap over the shelf's edge; the slope of the turn is not yet divided by its arm."""
        ware, slopes = self.ware, np.zeros_like(at)
        edge = ware.edge
        row, pot = np.nonzero(np.hypot(at[..., 0], at[..., 1]) > ware.safe_mm[self.who[rows]])
        place, theta, who = at[row, pot], turn[row, pot], self.who[rows[row], pot]
        sides, row_of = len(edge.normals), who[:, np.newaxis] * (2 * TABLE)
        step = TABLE // sides
        if edge.curved:
            toward = np.rint(np.arctan2(place[:, 1], place[:, 0]) * (sides / (2 * np.pi)))
            side = toward.astype(np.intp)[:, np.newaxis]
            base = np.rint(-theta * _PER_RADIAN).astype(np.intp)[:, np.newaxis]
            for around in (_COARSE, _FINE):
                near = (side + around) % sides
                left = edge.distances[near] - ware.table.take(row_of + (near * step + base) % TABLE)
                left -= _along(place, edge.normals[near])
                side = near[np.arange(len(near)), left.argmin(axis=1)][:, np.newaxis]
        else:
            side = np.broadcast_to(np.arange(sides), (len(place), sides))
        reach, more = self._reach(
            who[:, np.newaxis], theta[:, np.newaxis], side.astype(float) * step
        )
        left = edge.distances[side] - ware.margin[who][:, np.newaxis] - reach
        left -= _along(place, edge.normals[side])
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
        count, pairs, still = at.shape[1], len(self._first), self.ware.fixed.centres
        self.pairs += A_LOOK + len(at) * pairs
        x, y = np.empty((2, len(at), self._all.shape[1]))
        x[:, :count], x[:, count:] = at[..., 0], still[:, 0]
        y[:, :count], y[:, count:] = at[..., 1], still[:, 1]
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
        if len(other):
            lacks[other], pushes[other], twists[other] = self._outlines_lack(
                row.take(other), pair.take(other), away.take(other, axis=0), turn, rows
            )
        return row, pair, lacks, pushes, twists

    def _outlines_lack(
        self, row: Rows, pair: Places, away: Floats, turn: Floats, rows: Rows
    ) -> tuple[Floats, Floats, Floats]:
        """The same of pairs that aren't both round, so far from each other (m, 2)."""
        ware, width = self.ware, self._all.shape[1]
        first, second = self._first.take(pair), self._second.take(pair)
        everyone = rows.take(row) * width
        one, two = self._all.take(everyone + first), self._all.take(everyone + second)
        turns = np.zeros((len(turn), width))
        turns[:, : turn.shape[1]] = turn
        turn_one, turn_two = turns.take(row * width + first), turns.take(row * width + second)
        toward = np.arctan2(away[:, 1], away[:, 0]) * (DIRECTIONS / (2 * np.pi))
        base = (np.rint(toward).astype(np.intp) - ASIDE) % DIRECTIONS
        window = base[:, np.newaxis] + _WINDOW
        gap = _TWICE_X.take(window) * away[:, :1].astype(np.float32)
        gap += _TWICE_Y.take(window) * away[:, 1:].astype(np.float32)
        for who, theta, facing in ((one, turn_one, TABLE // 2), (two, turn_two, 0)):
            turned = np.rint(theta * _PER_RADIAN).astype(np.intp)
            seen = (base * _PER_DIRECTION + facing - turned) % TABLE + who * (2 * TABLE)
            gap -= ware.rough.take(seen[:, np.newaxis] + _WINDOW * _PER_DIRECTION)
        best = (base + gap.argmax(axis=1)) % DIRECTIONS
        along = best * float(_PER_DIRECTION)
        reach_one, more_one = self._reach(one, turn_one, along + TABLE // 2)
        reach_two, more_two = self._reach(two, turn_two, along)
        short = (away * UNITS[best]).sum(axis=1) - reach_one - reach_two
        lacks = np.minimum(short - ware.clearance_mm - CONTACT_MM, 0.0)
        return lacks, UNITS[best], np.stack((more_one, more_two), axis=-1)


def _along(place: Floats, normals: Floats) -> Floats:
    """How far places (m, 2) lie in the direction of each of their normals (m, k, 2)."""
    return np.asarray(place[:, :1] * normals[..., 0] + place[:, 1:2] * normals[..., 1])


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
