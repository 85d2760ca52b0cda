"""The outer section at any place along the meridian: its points and its perimeter."""

import numpy as np

from .profile import Floats
from .section import ellipse_perimeter
from .shell import shell
from .surface import Surface
from .tolerances import SECTION_POINTS


def outer_points(surface: Surface, s: Floats) -> Floats:
    """Points (m, n, 2) of the outer sections at parameters `s` (m,), counter-clockwise, x to the
    right and y to the back, without a last point like the first; tips and corners among them."""
    front, depth, height = surface.curve.at(s)
    if surface.rings is None:
        turn = np.arange(SECTION_POINTS) * (2 * np.pi / SECTION_POINTS)
        rows = (np.outer(front, np.cos(turn)), np.outer(depth, np.sin(turn)))
        return np.stack(rows, axis=-1)
    share = height / surface.height
    extent, _ = surface.rings.extent.at(share)
    scale = np.stack((front, depth)) / extent
    return np.asarray((surface.rings.drawn(share) * scale[:, np.newaxis]).T)


def outer_perimeters(surface: Surface, s: Floats) -> Floats:
    """Perimeters (m,) of the outer sections at parameters `s` (m,)."""
    if surface.rings is None:
        front, depth, _ = surface.curve.at(s)
        return ellipse_perimeter(front, depth)
    return np.asarray(surface.rings.weights @ shell(surface, surface.rings, s).run)
