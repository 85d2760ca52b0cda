"""Soft walls whose answers are known, and walls of drawn pots."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from planning.geometry.profile import smooth_curve
from planning.statics.midwall import STATIONS, MidWall, mid_wall, specific_weight

Floats = NDArray[np.float64]
Curve = Callable[[Floats], tuple[Floats, Floats]]

DENSITY = 1.95  # plastic clay at about 21 % water: derived from grain density 2.6 and no air
WEIGHT = specific_weight(DENSITY)


def wall_along(curve: Curve, length: float, thickness: float, count: int = STATIONS) -> MidWall:
    """A wall of even thickness whose middle is `curve` over its arc length."""
    slant = np.linspace(0, length, count)
    return MidWall(slant, *curve(slant), np.full(count, thickness))


def cylinder(radius: float, height: float, thickness: float) -> MidWall:
    return wall_along(lambda s: (np.full_like(s, radius), s), height, thickness)


def cone(start: float, length: float, half_angle: float, thickness: float) -> MidWall:
    """From the radius `start` on; a positive half angle flares, a negative one closes."""
    sin, cos = np.sin(half_angle), np.cos(half_angle)
    return wall_along(lambda s: (start + s * sin, s * cos), length, thickness)


def dome(radius: float, from_crown: float, to_crown: float, thickness: float) -> MidWall:
    """A zone of a sphere between two angles from its crown, from below."""

    def curve(s: Floats) -> tuple[Floats, Floats]:
        angle = from_crown - s / radius
        return radius * np.sin(angle), radius * (np.cos(angle) - np.cos(from_crown))

    return wall_along(curve, radius * (from_crown - to_crown), thickness)


def drawn(*rows: tuple[float, float], base: float = 8.0, rim: float = 8.0) -> MidWall:
    """From (height, half-width) rows of the middle of a round wall."""
    curve = smooth_curve(np.array([(half, height) for height, half in rows], dtype=float))
    radius, height = curve.at(curve.stations(STATIONS))
    slant = np.append(0.0, np.cumsum(np.hypot(np.diff(radius), np.diff(height))))
    thickness = base + (rim - base) * height / height[-1]
    return mid_wall(slant, 2 * np.pi * radius, height, thickness, is_round=True)


BELLIED = ((0, 45), (60, 90), (130, 110), (200, 60), (260, 47), (290, 63))
SHOULDERED = ((0, 60), (150, 100), (220, 110), (240, 80), (245, 50), (300, 40))
WAISTED = ((0, 90), (80, 50), (100, 40), (130, 60), (250, 140), (330, 120))
FLAT_BOWL = ((0, 40), (15, 100), (30, 170), (60, 200))
CLOSED = ((0, 60), (80, 120), (160, 100), (200, 50), (210, 0))
CHEST = ((0, 70), (100, 70), (200, 70))
