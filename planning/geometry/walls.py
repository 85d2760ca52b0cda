"""The wall level by level, for whoever lays coils along it. Heights are above the table, from 0
to the rim, in arrays (k,); lengths mm, volumes mm³; all of the wet pot, a foot ring not counted.

>>> made = form(inputs)
>>> wall_at(made, np.array([40.0, 80.0])).mid_perimeter_mm
>>> wall_between(made, np.array([10.0, 40.0]), np.array([40.0, 80.0]))
"""

from dataclasses import dataclass

import numpy as np

from .cavity import Walled, ring_inner_perimeters
from .form import Form
from .inputs import Wall
from .offset import elliptic_perimeters
from .outer import outer_perimeters, outer_points
from .profile import Floats
from .volume import body_below, slant_below


@dataclass(frozen=True)
class WallAt:
    """The wall at heights, arrays (k,).

    `front_mm`, `depth_mm`, `perimeter_mm`: of the outer surface. `mid_perimeter_mm`: of the level
    section through the surface half the wall's thickness inside, measured along the normal
    (in three dimensions, by distance like the hollow). `slant_mm`: length along the outside
    from the table, the mean all round.
    """

    height_mm: Floats
    front_mm: Floats
    depth_mm: Floats
    perimeter_mm: Floats
    mid_perimeter_mm: Floats
    slant_mm: Floats


def wall_at(made: Form, heights: Floats) -> WallAt:
    surface = made.surface
    s = surface.parameters_at(heights)
    half_front, half_depth, _ = surface.curve.at(s)
    half = Wall(made.wall.base_mm / 2, made.wall.rim_mm / 2)
    if surface.rings is None:
        middle = elliptic_perimeters(surface, half, heights)
    else:
        middle = ring_inner_perimeters(Walled(surface, surface.rings, half), heights)
    return WallAt(
        height_mm=heights,
        front_mm=2 * half_front,
        depth_mm=2 * half_depth,
        perimeter_mm=outer_perimeters(surface, s),
        mid_perimeter_mm=middle,
        slant_mm=slant_below(surface, s),
    )


def wall_between(made: Form, low: Floats, high: Floats) -> Floats:
    """Clay of the wall (k,) between heights `low` and `high` (k,): what lies there between outer
    surface and hollow above the base's thickness. From table to rim it is the whole wall."""
    floor, surface = made.base_mm, made.surface

    def up_to(heights: Floats) -> Floats:
        above = np.maximum(heights, floor)
        body = body_below(surface, surface.parameters_at(above))
        return np.asarray(body - made.volumes.hollow.volume_below(above))

    return np.asarray(up_to(high) - up_to(low))


def outer_rings(made: Form, heights: Floats) -> Floats:
    """Points (k, n, 2) of the outer sections, counter-clockwise, x to the right, y to the back,
    without a last point like the first; tips and corners are among them."""
    return outer_points(made.surface, made.surface.parameters_at(heights))
