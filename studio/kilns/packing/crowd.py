"""Pots that may be moved and turned on one shelf at once, and whether they may be laid so."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from .attempt import Laid
from .contact import Fit, Obstacles, Places, border, fit, room, support
from .inputs import Piece
from .overlap import STEP, TABLE, Tables
from .shapes import Edge, Floats, body, circle
from .tolerances import CONTACT_MM, DIRECTIONS, SAME_MM

ARM = 0.7
"""A turn of one radian is worth a move by so much of a pot's reach."""

NO_POT_MM = -1e6
"""How far an empty place reaches: never to any other."""


@dataclass(frozen=True, eq=False)
class Ware:
    """Pots that may be moved and turned, by number; number `nothing` is no pot, the numbers after
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
    def arms_mm(self) -> Floats:
        """What a turn of one radian is worth as a move; infinite where it changes nothing."""
        return np.where(np.isnan(self._radii), self._reach * ARM, np.inf)

    @cached_property
    def tables(self) -> Tables:
        reaches, edge = self._reaches, self.edge
        small = [np.roll(reaches, -n, axis=1)[:, ::STEP] for n in range(STEP)]
        rough = np.tile(np.stack(small, axis=1), 2).ravel().astype(np.float32)
        safe = edge.distances.min() - self._margin - self._reach
        return Tables(
            np.column_stack((self._radii, self._reach, self.arms_mm, self._margin, safe)),
            np.hstack((reaches, reaches)),
            rough,
            np.column_stack((edge.normals, edge.distances)),
            edge.curved,
            self.clearance_mm + CONTACT_MM,
        )

    def with_fixed(self, who: Places, at: Floats) -> tuple[Places, Floats]:
        """A crowd (n,) in its places (n, 3), and after it what may not move."""
        fixed = np.arange(len(self.fixed.centres)) + self.nothing + 1
        still = np.column_stack((self.fixed.centres, np.zeros(len(fixed))))
        return np.concatenate((who, fixed)), np.concatenate((at, still))

    def pairs(self, count: int) -> int:
        """How many pairs so many pots and what may not move are."""
        return count * (count - 1) // 2 + count * len(self.fixed.centres)

    @cached_property
    def _radii(self) -> Floats:
        """Nan where not round."""
        own = [np.nan if each.radius_mm is None else each.radius_mm for each in self.fits]
        return np.concatenate((own, [NO_POT_MM], self.fixed.radii))

    @cached_property
    def _reaches(self) -> Floats:
        """How far each reaches, unturned, in every direction of the table."""
        units = circle(TABLE)
        own = [support(body(each), 0.0, units) for each in self.pieces]
        between = np.arange(TABLE) / STEP
        fixed = [
            np.interp(between, np.arange(DIRECTIONS + 1), np.append(each, each[0]))
            for each in self.fixed.supports
        ]
        return np.array([*own, np.full(TABLE, NO_POT_MM), *fixed])

    @cached_property
    def _reach(self) -> Floats:
        """The most of it; a corner between two directions reaches a little farther than in them."""
        return np.asarray(self._reaches.max(axis=1) * (1 + 2 / DIRECTIONS**2))

    @cached_property
    def _margin(self) -> Floats:
        """What is kept from the shelf's edge."""
        spare = np.array([min(CONTACT_MM, max(each.spare_mm, 0.0)) for each in self.fits])
        on_circle = ~np.isnan(self._radii[: self.nothing]) & (self.edge.radius_mm is not None)
        # Where tangents stand for a curve, `fit` keeps as much once more.
        own = spare * np.where(on_circle | (not self.edge.curved), 1, 2)
        return np.concatenate((own, np.zeros(1 + len(self.fixed.centres))))


def stood(ware: Ware, who: Places, at: Floats) -> list[Laid] | None:
    """Pots (n,) at their places (n, 3) as they may be laid; None unless every clearance is kept,
    by all directions and tangents and without a table."""
    laid = []
    obstacles = ware.fixed
    for number, place in zip(who, at, strict=True):
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
