"""A form standing on the table as a still picture, seen from a little above.

Pure. The eye is so far away that nothing shrinks with distance. It looks down, so that along any
line of sight what is higher comes first: a piece of the outside is hidden where a higher piece is
drawn over it, and the floor is seen through every ring of the hollow. A millimetre is one unit of
the picture, y runs downwards, the middle of the base is at the origin.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from planning.geometry.form import Form
from planning.geometry.profile import Floats
from planning.geometry.skin import Skin

from .outline import polyline
from .turned import height_lines, ring_at

LOOKING_DOWN_DEG = 17.0
TURNED_DEG = 24.0
"""So that an outline that isn't round shows what it is."""

MARGIN = 0.09
"""Of the larger side, round the pot."""

HIDES_FROM_MM = 2.0
"""What lies so far above a line hides it; what is nearer is the wall that the line runs on."""

SHADOW = (0.18, 0.05)
"""To the right and to the back, as seen, for each millimetre of height: the light comes from the
upper left."""

LEAST_FACE = 1e-6
"""mm²: what is smaller is seen edge on."""

LEAST_AREA_MM2 = 4.0
LEAST_LINE_MM = 2.0
"""Smaller specks are rounding, where faces meet."""

Upper = list[shapely.Geometry]
"""What is seen of the pot from each of its rings upwards."""


@dataclass(frozen=True)
class Still:
    """`box` is (left, top, width, height); the rest are texts of `d` attributes, "" for nothing."""

    box: tuple[float, float, float, float]
    shadow: str
    body: str
    rim: str
    mouth: str
    floor: str
    lines: str
    turned_deg: float = TURNED_DEG
    looking_down_deg: float = LOOKING_DOWN_DEG

    @property
    def view_box(self) -> str:
        return " ".join(f"{each:.1f}" for each in self.box)


def still(drawn: Skin, made: Form) -> Still:
    """The picture of a form from its skin."""
    rings = drawn.outside
    if drawn.foot is not None:
        rings = np.concatenate((rings[:1] * (1, 1, 0), rings))
    flat = _seen(rings)
    top = shapely.Polygon(flat[-1])
    upper: Upper = [top]
    for low, high in zip(flat[-2::-1], flat[:0:-1], strict=True):
        upper.append(shapely.union(upper[-1], _side(low, high)))
    upper.reverse()
    inside = [] if drawn.closed else [shapely.Polygon(each) for each in _seen(drawn.inside)]
    return Still(
        box=_box(drawn),
        shadow=_area(_shadow(rings)),
        body=_area(upper[0]),
        rim=_area(top),
        mouth=_area(inside[-1]) if inside else "",
        floor=_area(shapely.intersection_all(inside)) if inside else "",
        lines=_inked(rings, ring_at(rings, height_lines(drawn, made)), drawn.corners, upper),
    )


def _seen(points: Floats) -> Floats:
    """Points (..., 3) on the picture, (..., 2)."""
    turn, down = np.radians(TURNED_DEG), np.radians(LOOKING_DOWN_DEG)
    x, y, z = np.moveaxis(points, -1, 0)
    across = x * np.cos(turn) - y * np.sin(turn)
    back = x * np.sin(turn) + y * np.cos(turn)
    return np.stack((across, -z * np.cos(down) - back * np.sin(down)), axis=-1)


def _box(drawn: Skin) -> tuple[float, float, float, float]:
    """Room for the pot however it is turned."""
    down = np.radians(LOOKING_DOWN_DEG)
    reach = np.linalg.norm(drawn.outside[..., :2], axis=2).max(axis=1)
    up, swing = drawn.outside[:, 0, 2] * np.cos(down), reach * np.sin(down)
    high, low = float((up + swing).max()), float(min((up - swing).min(), -swing[0]))
    half = float(reach.max())
    edge = MARGIN * max(2 * half, high - low)
    return -half - edge, -high - edge, 2 * (half + edge), high - low + 2 * edge


def _shadow(rings: Floats) -> shapely.Geometry:
    """Where the pot keeps the light off the table, from ring to ring as if both were convex."""
    height = rings[..., 2:]
    turn = np.radians(TURNED_DEG)
    to_picture = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    fall = np.array(SHADOW) @ to_picture.T
    flat = _seen(np.concatenate((rings[..., :2] + height * fall, 0 * height), axis=2))
    both = np.concatenate((flat[:-1], flat[1:]), axis=1)
    return shapely.union_all([shapely.MultiPoint(each).convex_hull for each in both])


def _side(low: Floats, high: Floats) -> shapely.Geometry:
    """What is seen of the side between two rings (n, 2) where nothing hides it."""
    low_after, high_after = np.roll(low, -1, axis=0), np.roll(high, -1, axis=0)
    halves = ((low, low_after, high_after), (low, high_after, high))
    faces = np.concatenate([np.stack(each, axis=1) for each in halves])
    return shapely.union_all(shapely.polygons(faces[_towards(*np.moveaxis(faces, 1, 0))]))


def _towards(one: Floats, two: Floats, three: Floats) -> NDArray[np.bool_]:
    """Which triangles (n, 2) look at the eye: from outside their corners run counter-clockwise,
    in the picture, whose y runs downwards, the other way."""
    along, up = two - one, three - one
    return np.asarray(along[:, 0] * up[:, 1] - along[:, 1] * up[:, 0] < -LEAST_FACE)


def _inked(rings: Floats, lines: Floats, corners: NDArray[np.intp], upper: Upper) -> str:
    """The parts of the height lines, and of the edges that run up the corners, that look at the
    eye and that nothing higher hides."""
    heights, flat, found = rings[:, 0, 2], _seen(rings), []
    for line in lines:
        place = int(np.searchsorted(heights, line[0, 2]))
        run = _seen(line)
        sides = np.stack((run, np.roll(run, -1, axis=0)), axis=1)
        found.append((float(line[0, 2]), sides[_facing(flat[place - 1], flat[place])]))
    for place in range(len(rings) - 1 if len(corners) else 0):
        facing = _facing(flat[place], flat[place + 1])
        bare = corners[facing[corners] | facing[corners - 1]]
        edges = np.stack((flat[place, bare], flat[place + 1, bare]), axis=1)
        found.append((float(heights[place + 1]), edges))
    shown: list[shapely.Geometry] = []
    for height, sides in found:
        over = min(int(np.searchsorted(heights, height + HIDES_FROM_MM)), len(upper) - 1)
        shown.append(shapely.MultiLineString(list(sides)).difference(upper[over]))
    return "".join(
        _run(shapely.get_coordinates(each))
        for each in shapely.get_parts(shapely.line_merge(shapely.union_all(shown)))
        if each.length > LEAST_LINE_MM
    )


def _facing(low: Floats, high: Floats) -> NDArray[np.bool_]:
    """Which sides between two rings (n, 2) look at the eye."""
    return _towards(low, np.roll(low, -1, axis=0), high)


def _area(shape: shapely.Geometry) -> str:
    """Every edge of the polygons of a shape but for specks."""
    edges = [
        ring
        for each in shapely.get_parts(shape)
        if each.geom_type == "Polygon"
        for ring in (each.exterior, *each.interiors)
    ]
    return "".join(
        _run(shapely.get_coordinates(each)) + "Z"
        for each in edges
        if shapely.area(shapely.polygons(each)) > LEAST_AREA_MM2
    )


def _run(points: Floats) -> str:
    return polyline((x, y) for x, y in points.tolist())
