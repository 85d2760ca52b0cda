"""Sections that aren't ellipses: an outline, or one that changes to another with height.

A change is linear in height by the radius at equal angle; the changed outline is then stretched
to the front width and the depth at its height like any other. Rings are kept as nodes round the
outline: smooth pieces in panels of Gauss-Lobatto nodes, both ends included, so that sums over
the nodes integrate and the nodes themselves draw the ring. Where two pieces meet, both have a
node; where they meet in a corner that points inward, nodes between them turn its normal evenly.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from .outline import Radial
from .profile import Floats
from .tolerances import (
    FAN_DEG,
    RING_EXTENT_ANGLES,
    RING_EXTENT_LEVELS,
    RING_PANELS,
    SAME_ANGLE,
)

# Four Gauss-Lobatto nodes on 0..1 and their weights, exact to degree 5.
_NODES = (1 + np.array([-1, -np.sqrt(0.2), np.sqrt(0.2), 1])) / 2
_WEIGHTS = np.array([1, 5, 5, 1]) / 12
_DENSE = 48
_WEIGHT, _STEP = 8, 9


@dataclass(frozen=True)
class Extent:
    """Half-width and half-depth of the changing outline: values (2, k) at shares of the height."""

    shares: Floats
    values: Floats

    def at(self, share: Floats) -> tuple[Floats, Floats]:
        """Half-width and half-depth (2, *share.shape) and how they grow with the share."""
        last = len(self.shares) - 2
        cell = np.clip((share * (last + 1)).astype(np.intp), 0, last)
        growth = np.diff(self.values, axis=1) * (last + 1)
        at = self.values[:, cell] + growth[:, cell] * (share - self.shares[cell])
        return at, growth[:, cell]


@dataclass(frozen=True)
class Rings:
    """Nodes (n,) of the outline at the table and of what it changes by up to the rim.

    `place`, `change` (2, n): x and y; `run`, `run_change` (2, n): their slopes by the angle;
    `weights` (n,) integrate over the angle, 0 for nodes that only turn a normal; `steps` (n,)
    are the angles to the next node, 0 where it stands at the same place.
    """

    place: Floats
    change: Floats
    run: Floats
    run_change: Floats
    weights: Floats
    steps: Floats
    extent: Extent

    @property
    def changes(self) -> bool:
        return bool(self.change.any())

    def at(self, share: Floats) -> tuple[Floats, Floats]:
        """Places and slopes (2, n, m), unstretched, at shares of the height, (m,) or (n, m)."""
        if not self.changes:
            return self.place[..., np.newaxis], self.run[..., np.newaxis]
        place = self.place[..., np.newaxis] + self.change[..., np.newaxis] * share
        return place, self.run[..., np.newaxis] + self.run_change[..., np.newaxis] * share

    def drawn(self, share: Floats) -> Floats:
        """Places (2, points, m) at shares of the height (m,), not yet stretched: the nodes and a
        point between any two, on the cubic through both."""
        place, run = (
            np.broadcast_to(each, (*each.shape[:2], len(share))) for each in self.at(share)
        )
        after, run_after = np.roll(place, -1, axis=1), np.roll(run, -1, axis=1)
        between = (place + after) / 2 + (run - run_after) * (self.steps / 8)[:, np.newaxis]
        both = np.stack((place, between), axis=2).reshape(2, 2 * self.place.shape[1], len(share))
        return both[:, np.repeat(self.steps > 0, 2)]

    def only(self, nodes: NDArray[np.intp]) -> "Rings":
        """Some nodes alone."""
        return Rings(
            self.place[:, nodes],
            self.change[:, nodes],
            self.run[:, nodes],
            self.run_change[:, nodes],
            self.weights[nodes],
            self.steps[nodes],
            self.extent,
        )

    def depth_ratio(self, share: Floats) -> Floats:
        """Depth ÷ width in the outlines' own proportion at shares of the height (m,)."""
        (half_front, half_depth), _ = self.extent.at(share)
        return np.asarray(half_depth / half_front)

    @cached_property
    def moments(self) -> Floats:
        """Of the ring of half-width and half-depth 1, polynomials in the share of the height.

        (3, 4): area × its extents, and ∫x dA, ∫y dA likewise; lowest power first.
        """
        share = np.linspace(0, 1, 4)
        x, y = self.place[..., np.newaxis] + self.change[..., np.newaxis] * share
        along = self.run[..., np.newaxis] + self.run_change[..., np.newaxis] * share
        swept = (x * along[1] - y * along[0]) * self.weights[:, np.newaxis]
        sums = np.stack(
            (swept.sum(axis=0) / 2, (x * swept).sum(axis=0) / 3, (y * swept).sum(axis=0) / 3)
        )
        return np.asarray(np.linalg.solve(np.vander(share, 4, increasing=True), sums.T).T)


def rings(base: Radial, rim: Radial | None = None, panels: int | None = None) -> Rings:
    """From the outline at the table and, where it changes, the one at the rim."""
    ends = (base, base if rim is None else rim)
    edges = _edges(ends)
    angles, within, weights = _nodes(ends, edges, panels or RING_PANELS)
    (place, run), (rim_place, rim_run) = (_polar(each, angles, within) for each in ends)
    steps = np.append(np.diff(angles), 0.0)
    table = _with_fans(
        np.stack((*place, *(rim_place - place), *run, *(rim_run - run), weights, steps))
    )
    return Rings(
        table[:2], table[2:4], table[4:6], table[6:8], table[8], table[9], _extent(ends, edges)
    )


def _polar(outline: Radial, angles: Floats, within: Floats) -> tuple[Floats, Floats]:
    radius, slope = outline.radii(angles, within)
    cos, sin = np.cos(angles), np.sin(angles)
    place = np.stack((radius * cos, radius * sin))
    return place, np.stack((slope * cos - radius * sin, slope * sin + radius * cos))


def _edges(ends: tuple[Radial, Radial]) -> Floats:
    """Where pieces begin, of both outlines, and once more the first a turn later."""
    joints = np.concatenate([each.joints for each in ends])
    joints = np.sort(np.where(joints > 2 * np.pi - SAME_ANGLE, 0.0, joints))
    joints = joints[np.append(True, np.diff(joints) > SAME_ANGLE)]
    return np.append(joints, joints[0] + 2 * np.pi)


def _nodes(
    ends: tuple[Radial, Radial], edges: Floats, round_it: int
) -> tuple[Floats, Floats, Floats]:
    """Angles, an angle well within the piece of each, and weights, all (n,).

    The panels `round_it` are shared out by how far the outlines run and turn, and by the angle
    itself.
    """
    inside = (np.arange(_DENSE) + 0.5) / _DENSE
    dense = edges[:-1, np.newaxis] + np.diff(edges)[:, np.newaxis] * inside
    within = np.repeat((edges[:-1] + edges[1:]) / 2, _DENSE)
    effort = np.zeros_like(dense)
    for each in ends:
        _, run = _polar(each, dense.ravel(), within)
        speed = np.hypot(*run).reshape(dense.shape)
        heading = np.unwrap(np.arctan2(run[1], run[0]).reshape(dense.shape), axis=1)
        turning = np.abs(np.gradient(heading, axis=1))
        length = speed * np.diff(edges)[:, np.newaxis] / _DENSE
        effort += length / length.sum() + turning / (2 * np.pi)
    effort += np.diff(edges)[:, np.newaxis] / (_DENSE * np.pi)
    angles, middles, weights = [], [], []
    for piece, share in enumerate(effort / effort.sum() * round_it):
        panels = int(np.ceil(share.sum()))
        steps = np.append(0.0, np.cumsum(share)) / share.sum()
        places = np.interp(np.linspace(0, 1, panels + 1), steps, np.linspace(0, 1, _DENSE + 1))
        start, width = edges[piece], edges[piece + 1] - edges[piece]
        low, step = start + width * places[:-1, np.newaxis], width * np.diff(places)[:, np.newaxis]
        inner = (low + step * _NODES)[:, :-1].ravel()
        weight = np.zeros(3 * panels + 1)
        for node in range(4):
            weight[node : node + 3 * panels - 2 : 3] += step[:, 0] * _WEIGHTS[node]
        angles.append(np.append(inner, start + width))
        weights.append(weight)
        middles.append(np.full(3 * panels + 1, start + width / 2))
    return np.concatenate(angles), np.concatenate(middles), np.concatenate(weights)


def _with_fans(table: Floats) -> Floats:
    """Columns put in that turn the normal step by step where a corner points inward."""
    fans: dict[int, int] = {}
    after = np.roll(table, -1, axis=1)
    for share in (0.0, 1.0):
        heading, next_heading = (
            np.arctan2(each[5] + share * each[7], each[4] + share * each[6])
            for each in (table, after)
        )
        turn = np.angle(np.exp(1j * (next_heading - heading)))
        inward = np.flatnonzero((table[_STEP] == 0) & (turn < -np.radians(FAN_DEG)))
        for i in inward.tolist():
            fans[i] = max(fans.get(i, 0), int(-turn[i] / np.radians(FAN_DEG)))
    for i, count in sorted(fans.items(), reverse=True):
        between = np.arange(1, count + 1) / (count + 1)
        put = table[:, [i]] + (after[:, [i]] - table[:, [i]]) * between
        put[[_WEIGHT, _STEP]] = 0.0
        table = np.insert(table, [i + 1] * count, put, axis=1)
    return table


def _extent(ends: tuple[Radial, Radial], edges: Floats) -> Extent:
    base, rim = ends
    if base is rim:
        return Extent(np.array([0.0, 1.0]), np.array([[1.0, 1.0], [base.depth, base.depth]]))
    angles = np.sort(
        np.append(edges[:-1], np.arange(RING_EXTENT_ANGLES) * 2 * np.pi / RING_EXTENT_ANGLES)
    )
    radii = np.stack([each.radii(angles, angles + SAME_ANGLE)[0] for each in ends])
    share = np.linspace(0, 1, RING_EXTENT_LEVELS)[:, np.newaxis]
    radius = (1 - share) * radii[0] + share * radii[1]
    spans = [np.ptp(radius * turn(angles), axis=1) / 2 for turn in (np.cos, np.sin)]
    return Extent(share[:, 0], np.stack(spans))
