"""The middle of the wet wall as a surface of revolution, sampled along its meridian."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import Akima1DInterpolator, CubicSpline, PPoly

from planning.geometry.profile import Floats

STATIONS = 128
"""Stations along the meridian: the membrane forces of handbook shells come out to 0.1 %."""

LEAST_STATIONS = 4
"""So many make a curve with turns."""

THIN_SHELL = 1.5
"""Radius of the middle ÷ thickness: below that everywhere it is a lump with a hole."""

LEVEL_TILT = 1e-9
"""Slope given to level stretches, so that a height has one place; at most 2e-6 mm in all."""

SAME_PLACE_MM = 1e-6
"""Stations nearer than this are one."""

STANDARD_GRAVITY = 9.80665
"""m/s², exact by definition (3rd General Conference on Weights and Measures, 1901)."""


@dataclass(frozen=True)
class MidWall:
    """Arrays (n,) from the lowest free point of the wall to the rim.

    n ≥ 4; `slant_mm` rises strictly from 0; `radius_mm` is half a wall or more (a closed form has a
    pinhole);
    `thickness_mm` is across the wall. Where the pot `is_round` the radius is its own, otherwise
    that of the circle as long as the wall's middle is around: the round equivalent.
    """

    slant_mm: Floats
    radius_mm: Floats
    height_mm: Floats
    thickness_mm: Floats
    is_round: bool = True

    @property
    def length_mm(self) -> float:
        return float(self.slant_mm[-1])

    @cached_property
    def curve(self) -> CubicSpline:
        """Radius, height and thickness (3,) over the slant."""
        columns = np.stack((self.radius_mm, self.height_mm, self.thickness_mm), axis=-1)
        return CubicSpline(self.slant_mm, columns)

    @cached_property
    def volume(self) -> PPoly:
        """Clay below a slant, mm³."""
        return CubicSpline(
            self.slant_mm, 2 * np.pi * self.radius_mm * self.thickness_mm
        ).antiderivative()

    def at(self, slant_mm: Floats) -> tuple[Floats, Floats, Floats]:
        """Radius, height and thickness between the stations: where the curve swings, the radius is
        half a wall at the least, as at the stations."""
        radius, height, thickness = np.moveaxis(self.curve(slant_mm), -1, 0)
        return np.maximum(radius, thickness / 2), height, thickness

    def slant_at(self, height_mm: Floats) -> Floats:
        """The slant at which the wall first stands so high, the rim's where the whole one does."""
        levels = np.maximum.accumulate(self.height_mm)
        slant = np.interp(height_mm, levels + LEVEL_TILT * self.slant_mm, self.slant_mm)
        below_rim = (height_mm < levels[-1]) | (height_mm <= levels[0])
        return np.where(below_rim, slant, self.length_mm)


def mid_wall(
    slant_mm: Floats,
    perimeter_mm: Floats,
    height_mm: Floats,
    thickness_mm: Floats,
    *,
    is_round: bool,
) -> MidWall:
    """From stations (m,) along the middle of the wall from the top of the base to the rim.

    `slant_mm` never falls and `perimeter_mm` is the way round the middle; the clay within half a
    wall of the axis, at the top of a closed form, is left out. There must be four stations outside
    it, see `is_shell`. Akima's interpolation (J. ACM
    17(4), 1970) sets even stations: it doesn't swing where the drawing bends sharply.
    """
    keep = _outside(slant_mm, perimeter_mm, thickness_mm)
    columns = np.stack((perimeter_mm / (2 * np.pi), height_mm, thickness_mm), axis=-1)[keep]
    slant = slant_mm[keep] - slant_mm[keep][0]
    even = np.linspace(0.0, slant[-1], STATIONS)
    radius, height, thickness = Akima1DInterpolator(slant, columns)(even).T
    return MidWall(even, np.maximum(radius, thickness / 2), height, thickness, is_round)


def is_shell(slant_mm: Floats, perimeter_mm: Floats, thickness_mm: Floats) -> bool:
    """Whether enough of a wall lies outside half its thickness round the axis, and it is somewhere
    thin enough for a shell."""
    wide = bool((perimeter_mm / (2 * np.pi) > THIN_SHELL * thickness_mm).any())
    return wide and int(_outside(slant_mm, perimeter_mm, thickness_mm).sum()) >= LEAST_STATIONS


def _outside(slant_mm: Floats, perimeter_mm: Floats, thickness_mm: Floats) -> NDArray[np.bool_]:
    onwards = np.append(True, np.diff(slant_mm) > SAME_PLACE_MM)
    return np.asarray(onwards & (perimeter_mm / (2 * np.pi) > thickness_mm / 2))


def specific_weight(wet_density_g_per_cm3: float) -> float:
    """N/mm³."""
    return wet_density_g_per_cm3 * 1e-6 * STANDARD_GRAVITY
