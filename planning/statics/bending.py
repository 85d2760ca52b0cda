"""Stress within the soft wall with its bending: an elastic shell of revolution.

The membrane forces know no bending. Where the wall stands on the slab it can neither widen nor
turn, and bends over a length of about √(radius × thickness): for an upright wall that doubles
the stress at the surface. So the wall is cut into short frusta, each node having a radial and an
axial displacement and a rotation; each frustum has one point of integration, so that it doesn't
lock (Zienkiewicz & Taylor, The Finite Element Method, shells of revolution; the strains are those
of Reissner's theory, Timoshenko & Woinowsky-Krieger ch. 15–16; from memory). The lower edge is
clamped and the upper one free.

The stress of an elastic wall doesn't depend on how stiff it is, so Young's modulus is 1. Clay that
loses no water keeps its volume: Poisson's ratio is a half.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dpbsv

from planning.geometry.profile import Floats

from .midwall import SAME_PLACE_MM, MidWall

POISSON = 0.5
SHEAR_SHARE = 5 / 6
"""Of a rectangular section against shear (Reissner 1945; from memory)."""

FIRST_STEP, GROWTH, LARGEST_STEP = 0.08, 1.15, 0.25
"""Lengths of the frusta in units of the bending length: at the clamped edge, how
they grow, and at most."""

LEAST_BENDING_SHARE = 0.5
"""Of the bending length at the foot: a narrow neck or a closed top is no reason for finer frusta
than a waist of a quarter of the foot's width."""

MOST_STEPS = 150
"""Bounds the frusta of a wall that is thin for its length, whose bending is finer than that."""


@dataclass(frozen=True)
class Resultants:
    """(stages, stations): forces N/mm, moments N·mm/mm, of the wall that stands; else 0.

    `slant_mm` (stations,) begins at the clamped edge, whose values continue those above it.
    A positive moment presses the outside.
    """

    slant_mm: Floats
    thickness_mm: Floats
    meridional: Floats
    hoop: Floats
    meridional_moment: Floats
    hoop_moment: Floats

    @cached_property
    def stress_in_the_middle(self) -> Floats:
        """N/mm², the stress of simple compression that is as near to yielding (Tresca)."""
        return _tresca(self.meridional / self.thickness_mm, self.hoop / self.thickness_mm)

    @cached_property
    def stress_at_the_surface(self) -> Floats:
        """The same, the larger of inside and outside."""
        sides = []
        for side in (-6.0, 6.0):
            along = self.meridional + side * self.meridional_moment / self.thickness_mm
            around = self.hoop + side * self.hoop_moment / self.thickness_mm
            sides.append(_tresca(along / self.thickness_mm, around / self.thickness_mm))
        return np.maximum(*sides)


def _tresca(along: Floats, around: Floats) -> Floats:
    return np.maximum(np.maximum(np.abs(along), np.abs(around)), np.abs(along - around))


def bending_length(radius_mm: Floats, thickness_mm: Floats) -> Floats:
    """Over which what an edge does to a shell fades to a third, mm (Timoshenko &
    Woinowsky-Krieger, art. 114: 1/β; from memory)."""
    return np.asarray(np.sqrt(radius_mm * thickness_mm) / (3 * (1 - POISSON**2)) ** 0.25)


class SoftWall:
    """The wall from a height on, clamped there."""

    def __init__(
        self, wall: MidWall, weight_n_per_mm3: float, from_mm: float, fineness: float = 1.0
    ) -> None:
        self.nodes_mm = _nodes(wall, float(wall.slant_at(np.array(from_mm))), fineness)
        at = np.stack(wall.at(self.nodes_mm), axis=-1)
        self.heights_mm = at[:, 1]
        half = (at[1:] + at[:-1]) / 2
        self._radius, self._thickness = half[:, 0], half[:, 2]
        run = np.diff(at[:, :2], axis=0)
        run[:, 1] += np.where(
            run.any(axis=1), 0.0, SAME_PLACE_MM
        )  # where a curve that swings stands
        self._length = np.hypot(*run.T)
        strains = _strains(run / self._length[:, np.newaxis], self._length, self._radius)
        self._forces = self._elastic() @ strains
        share = np.pi * self._radius * self._length
        self._elements = strains.transpose(0, 2, 1) @ self._forces
        self._elements *= 2 * share[:, np.newaxis, np.newaxis]
        self._load = -weight_n_per_mm3 * self._thickness * share
        self._band = _banded(self._elements)

    def _elastic(self) -> Floats:
        """(frusta, 5, 5): forces and moments of the strains."""
        pair = np.array([[1, POISSON], [POISSON, 1]]) / (1 - POISSON**2)
        elastic = np.zeros((len(self._thickness), 5, 5))
        elastic[:, :2, :2] = pair
        elastic[:, 2:4, 2:4] = pair * (self._thickness**2 / 12)[:, np.newaxis, np.newaxis]
        elastic[:, 4, 4] = SHEAR_SHARE / (2 * (1 + POISSON))
        return elastic * self._thickness[:, np.newaxis, np.newaxis]

    def resultants(self, tops: list[int]) -> Resultants:
        """Of the wall as built to each of these nodes, 1 being the first above the clamp."""
        of_nodes = self._displacements(np.array(tops))
        ends = np.concatenate((of_nodes[:, :-1], of_nodes[:, 1:]), axis=-1)
        middle = (self._forces @ ends[..., np.newaxis])[..., 0]
        middle[np.arange(len(self._length)) >= np.array(tops)[:, np.newaxis]] = 0.0
        slant = (self.nodes_mm[1:] + self.nodes_mm[:-1]) / 2
        back = (slant[0] - self.nodes_mm[0]) / (slant[1] - slant[0])
        clamp = middle[:, 0] + back * (middle[:, 0] - middle[:, 1])
        values = np.concatenate((clamp[:, np.newaxis], middle), axis=1)
        thickness = np.append(self._thickness[0], self._thickness)
        along, around, along_moment, around_moment, _ = np.moveaxis(values, -1, 0)
        return Resultants(
            np.append(self.nodes_mm[0], slant),
            thickness,
            along,
            around,
            along_moment,
            around_moment,
        )

    def _displacements(self, tops: NDArray[np.intp]) -> Floats:
        """(stages, nodes, 3), of walls without the frusta above their tops, where it is 0. All are
        solved as one system, whose blocks don't touch."""
        nodes = np.arange(1, tops.sum() + 1) - np.repeat(np.cumsum(tops) - tops, tops)
        last = np.cumsum(tops) - 1
        band = self._band.reshape(6, -1, 3)[:, nodes]
        push = np.append(self._load, 0.0)
        load = np.zeros((len(nodes), 3))
        load[:, 1] = push[nodes - 1] + push[nodes]
        load[last, 1] -= push[tops]
        above = np.concatenate((self._elements, np.zeros((1, 6, 6))))[tops]
        for column in range(3):
            for row in range(column, 3):
                band[row - column, last, column] -= above[:, row, column]
            band[3 - column :, last, column] = 0.0
        found = dpbsv(band.reshape(6, -1), load.reshape(-1, 1), lower=1)[1]
        moved = np.zeros((len(tops), len(self.nodes_mm), 3))
        moved[np.repeat(np.arange(len(tops)), tops), nodes] = found.reshape(-1, 3)
        return moved


def _nodes(wall: MidWall, start: float, fineness: float) -> Floats:
    """Slants from the clamp to the rim; steps grow from fine to coarse."""
    length = wall.length_mm - start
    radius, _, thickness = wall.at(np.append(start, wall.slant_mm))
    bending = bending_length(radius, thickness)
    within = bending[1:][wall.slant_mm >= start].min(initial=bending[0])
    tightest = max(within, LEAST_BENDING_SHARE * bending[0])
    largest = max(LARGEST_STEP * tightest, length / MOST_STEPS) / fineness
    first = FIRST_STEP * bending[0] / fineness
    growing = first * (1 + (GROWTH - 1) / fineness) ** np.arange(int(40 * fineness))
    steps = np.minimum(growing, largest)
    more = max(int(np.ceil((length - steps.sum()) / largest)), 0)
    ends = np.cumsum(np.append(steps, np.full(more, largest)))
    count = max(int(np.searchsorted(ends, length)), 2) + 1
    return start + length * np.append(0.0, ends[:count] / ends[count - 1])


def _strains(forward: Floats, length: Floats, radius: Floats) -> Floats:
    """(frusta, 5, 6): stretch along and around, bending along and around, shear in the middle
    of each frustum from radial, axial displacement and rotation of both its ends."""
    cos, sin = forward.T
    of = np.zeros((len(length), 5, 6))
    for end, sign in ((0, -1), (3, 1)):
        of[:, 0, end], of[:, 0, end + 1] = sign * cos / length, sign * sin / length
        of[:, 1, end] = 0.5 / radius
        of[:, 2, end + 2] = sign / length
        of[:, 3, end + 2] = 0.5 * cos / radius
        of[:, 4, end], of[:, 4, end + 1] = sign * sin / length, -sign * cos / length
        of[:, 4, end + 2] = -0.5
    return of


def _banded(elements: Floats) -> Floats:
    """The lower band (6, 3 × nodes) of the sum of overlapping (frusta, 6, 6)."""
    band = np.zeros((6, 3 * len(elements) + 3))
    stop = 3 * len(elements)
    for column in range(6):
        for row in range(column, 6):
            band[row - column, column : stop + column : 3] += elements[:, row, column]
    return band
