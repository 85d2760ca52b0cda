"""Outlines seen from above, of half-width 1, by their radius at each angle about the middle.

An outline consists of smooth pieces between `joints`, angles at which it turns a corner or its
curvature jumps. Every outline answers `radii`, radius and its slope by angle on one piece each:
at a corner the two pieces that meet there give the same radius and different slopes.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from .inputs import Outline
from .profile import Floats
from .traced import traced_outline


class Radial(Protocol):
    """An outline of half-width 1. `depth` is its half-depth."""

    @property
    def joints(self) -> Floats:
        """Angles (k,), k ≥ 1, rising within [0, 2π)."""

    @property
    def depth(self) -> float: ...

    def radii(self, angles: Floats, within: Floats) -> tuple[Floats, Floats]:
        """Radius and dR/dθ at `angles` (n,), each on the piece that the angle `within` lies on."""


@dataclass(frozen=True)
class Ellipse:
    """Round and oval."""

    depth: float

    @property
    def joints(self) -> Floats:
        return np.linspace(0, 2 * np.pi, 4, endpoint=False)

    def radii(self, angles: Floats, within: Floats) -> tuple[Floats, Floats]:
        cos, sin = np.cos(angles), np.sin(angles)
        radius = 1 / np.hypot(cos, sin / self.depth)
        return radius, radius**3 * cos * sin * (1 - self.depth**-2)


@dataclass(frozen=True)
class Leaf:
    """The lens of two equal arcs with its tips at angles 0 and π; depth at most 1."""

    depth: float

    @property
    def joints(self) -> Floats:
        return np.array([0.0, np.pi])

    def radii(self, angles: Floats, within: Floats) -> tuple[Floats, Floats]:
        # The back arc's middle lies `off` in front of the outline's, the front arc's behind it.
        off = (1 / self.depth - self.depth) / 2 * np.where(within % (2 * np.pi) < np.pi, 1, -1)
        cos, sin = np.cos(angles), np.sin(angles)
        to_arc = np.sqrt(1 + (off * sin) ** 2)
        radius = to_arc - off * sin
        return radius, -radius * off * cos / to_arc


@dataclass(frozen=True)
class RoundedSquare:
    """A square of half side 1 with corners of radius `corner`, stretched to its depth."""

    depth: float
    corner: float

    @property
    def joints(self) -> Floats:
        flat = 1 - self.corner
        ends = np.sort(np.arctan2([self.depth * flat, self.depth], [1.0, flat]))
        return np.unique(
            np.concatenate([(ends + k * np.pi, -ends + k * np.pi) for k in (0, 1)]) % (2 * np.pi)
        )

    def radii(self, angles: Floats, within: Floats) -> tuple[Floats, Floats]:
        # In the unstretched square: the first quarter stands for all, by |x| and |y|.
        side = np.stack((np.cos(within), np.sin(within) / self.depth))
        x, y = np.cos(angles), np.sin(angles) / self.depth
        right, back = np.where(side < 0, -1.0, 1.0)
        x, y = x * right, y * back
        flat = 1 - self.corner
        # Where the piece's own ray leaves the uncut square, as a share of the half side.
        wide, deep = np.abs(side)
        steep = np.minimum(wide, deep) / np.maximum(wide, deep)
        on_side, on_back = (steep <= flat) & (wide >= deep), (steep <= flat) & (wide < deep)
        towards = flat * (x + y)
        size = x**2 + y**2
        room = np.maximum(towards**2 - size * (2 * flat**2 - self.corner**2), 0)
        radius = (towards + np.sqrt(room)) / size
        radius = np.where(on_side, 1 / np.where(on_side, x, 1), radius)
        radius = np.where(on_back, 1 / np.where(on_back, y, 1), radius)
        # The normal in the unstretched square, brought back; the curve runs across it.
        normal_x = np.where(on_side, 1.0, np.where(on_back, 0.0, radius * x - flat)) * right
        normal_y = np.where(on_side, 0.0, np.where(on_back, 1.0, radius * y - flat)) * back
        normal_y = normal_y / self.depth
        cos, sin = np.cos(angles), np.sin(angles)
        return radius, radius * (normal_x * sin - normal_y * cos) / (
            normal_x * cos + normal_y * sin
        )


def radial(outline: Outline) -> Radial:
    """The outline with half-width 1; what is wrong with it has been told before."""
    match outline.shape:
        case "leaf":
            return Leaf(outline.depth_ratio)
        case "rounded_square":
            return RoundedSquare(outline.depth_ratio, outline.corner_ratio)
        case "traced":
            return traced_outline(outline.points)
        case "round":
            return Ellipse(1.0)
    return Ellipse(outline.depth_ratio)
