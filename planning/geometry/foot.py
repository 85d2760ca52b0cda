"""Where the pot stands: the outline of its base at true size, its footing, the foot ring."""

from dataclasses import dataclass

import numpy as np
import shapely

from .inputs import FootRing
from .outer import outer_perimeters, outer_points
from .profile import Floats
from .refusal import FormRefused, Trouble
from .surface import Surface
from .tolerances import LEAST_ROOM


@dataclass(frozen=True)
class BaseOutline:
    """The outer edge at the table, for cutting the slab: (x, y) counter-clockwise from the right
    of the axis, x to the right and y to the back, and the length round it."""

    points: tuple[tuple[float, float], ...]
    perimeter_mm: float


def base_outline(surface: Surface) -> BaseOutline:
    foot = np.zeros(1)
    points = outer_points(surface, foot)[0]
    perimeter = float(outer_perimeters(surface, foot)[0])
    return BaseOutline(tuple((x, y) for x, y in points.tolist()), perimeter)


def footing(surface: Surface, middle: Floats) -> float:
    """How far from below the centre of mass (x, y) the nearest edge is that the pot can tip
    over: of the hull round the foot; negative where it doesn't stand at all."""
    if surface.rings is None:
        return float(surface.curve.at(np.zeros(1))[:2, 0].min())
    hull = shapely.convex_hull(shapely.polygons(outer_points(surface, np.zeros(1))[0]))
    below = shapely.points(middle)
    edge = float(shapely.distance(shapely.get_exterior_ring(hull), below))
    return edge if shapely.contains(hull, below) else -edge


def foot_volume(surface: Surface, ring: FootRing) -> float:
    """Clay of the foot ring, mm³, or `FormRefused` where it leaves no room inside."""
    base = shapely.polygons(outer_points(surface, np.zeros(1))[0])
    inner = shapely.buffer(base, -ring.width_mm, quad_segs=64)
    if shapely.area(inner) < LEAST_ROOM * shapely.area(base):
        raise FormRefused(
            [Trouble("foot_ring.width_mm", "foot_ring_fills", {"width_mm": ring.width_mm})]
        )
    return float((shapely.area(base) - shapely.area(inner)) * ring.height_mm)
