"""Exact places on one shelf that touch two things: the corners where the next pot can stand.

Where a pot may be is what is left of the shelf, shrunk by the pot, outside of every obstacle
grown by the pot and the clearance. Each of these borders is a constraint with a value (how much
room is left, mm) and a gradient. Borders are walked in steps; where one crosses another, the
crossing is solved by Newton's method. The place with the least or greatest anything lies at such
a crossing (of a closed region with convex holes, by its definition), so none is missed but those
narrower than a step.

The room between two convex outlines is at least (c - c') · u - h'(u) - h(-u) for every direction
u, with support functions h; the largest over all directions is the distance itself. Seventy-two
of them never say too much (a separating line is one) and between circles it is exact.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from .shapes import Body, Edge, Floats, circle, turned
from .tolerances import CONTACT_MM, DIRECTIONS, NEAR_MM, SAME_MM

Places = NDArray[np.intp]

UNITS = circle(DIRECTIONS)
_BULGE = 1 / np.cos(np.pi / DIRECTIONS)
_NEWTON_STEPS = 4
_STRIDE = 2
"""Borders are walked in every second direction: crossings are solved exactly afterwards."""


@dataclass(frozen=True, eq=False)
class Fit:
    """One outline at one turn on one shelf.

    `support` (d,) in `UNITS`, `behind` the same in the opposite directions, `limits` (k,) how far
    its centre may be from the shelf's along each tangent; on a round shelf a round pot has `rim_mm`
    instead. `middle` (2,) is a place with room on all sides, `spare_mm` at least.
    """

    turn_deg: float
    radius_mm: float | None
    support: Floats
    behind: Floats
    limits: Floats
    rim_mm: float | None
    middle: Floats
    spare_mm: float


def support(body: Body, turn_deg: float, units: Floats = UNITS) -> Floats:
    """How far an outline at a turn reaches in each of the directions (d,)."""
    if body.radius_mm is not None:
        return np.full(len(units), body.radius_mm)
    return np.asarray((turned(body.points, turn_deg) @ units.T).max(axis=0))


def fit(body: Body, turn_deg: float, edge: Edge) -> Fit | None:
    """How an outline at a turn fits a shelf; None when it is too wide for it."""
    limits = edge.distances - support(body, turn_deg, edge.normals)
    middle = _middle(limits, edge)
    spare = float((limits - edge.normals @ middle).min())
    if spare < -SAME_MM:
        return None
    rim = None
    if body.radius_mm is not None and edge.radius_mm is not None:
        rim = float(limits[0])
    elif edge.curved:
        limits = limits - min(CONTACT_MM, max(spare, 0.0))
    reach = support(body, turn_deg)
    behind = np.roll(reach, DIRECTIONS // 2)
    return Fit(turn_deg, body.radius_mm, reach, behind, limits, rim, middle, spare)


def _middle(limits: Floats, edge: Edge) -> Floats:
    """The place with most room: the shelf's centre for all outlines that are alike all round."""
    if np.allclose(limits, np.roll(limits, len(limits) // 2), rtol=0, atol=SAME_MM):
        return np.zeros(2)
    sides = np.column_stack((edge.normals, np.ones(len(limits))))
    best = linprog([0, 0, -1], A_ub=sides, b_ub=limits, bounds=[(None, None)] * 3)
    return np.asarray(best.x, dtype=float)[:2]


@dataclass(frozen=True, eq=False)
class Obstacles:
    """What stands on a shelf: centres (n, 2), radii (n,), nan where not round, supports (n, d)."""

    centres: Floats
    radii: Floats
    supports: Floats

    def and_one(self, centre: Floats, radius_mm: float | None, support: Floats) -> "Obstacles":
        radius = np.nan if radius_mm is None else radius_mm
        return Obstacles(
            np.vstack((self.centres, centre)),
            np.append(self.radii, radius),
            np.vstack((self.supports, support)),
        )


NOTHING = Obstacles(np.empty((0, 2)), np.empty(0), np.empty((0, DIRECTIONS)))


@dataclass(frozen=True, eq=False)
class Border:
    """Constraints on the centre of one outline: first the shelf's edge, then the obstacles.

    `reaches` (n,) is how near its centre may come to theirs by the circles around both; where not
    both are round (`by_faces`), the support functions `faces` (n, d) let it come nearer.
    """

    edge: Edge
    fitted: Fit
    obstacles: Obstacles
    reaches: Floats
    faces: Floats
    by_faces: NDArray[np.bool_]

    @property
    def sides(self) -> int:
        """How many constraints the shelf's edge is: each straight side, or the curve as one."""
        return 1 if self.edge.curved else len(self.edge.normals)


def border(edge: Edge, fitted: Fit, obstacles: Obstacles, clearance_mm: float) -> Border:
    """The constraints on an outline among obstacles."""
    by_faces = np.isnan(obstacles.radii) | (fitted.radius_mm is None)
    faces = obstacles.supports + fitted.behind + clearance_mm
    reaches = obstacles.supports.max(axis=1) + fitted.behind.max() + clearance_mm
    # Between two of the directions an outline may reach a little farther than in them.
    reaches[by_faces] += (_BULGE - 1) * reaches[by_faces]
    return Border(edge, fitted, obstacles, reaches, faces, by_faces)


def room(at: Floats, border: Border) -> tuple[Floats, Floats]:
    """Room left (m, c) at places (m, 2) by each constraint, and its gradients (m, c, 2).

    Where even the circles around two outlines are apart, the room between those is answered.
    """
    inner, inner_slopes = _room_inside(at, border.edge, border.fitted)
    away = at[:, np.newaxis] - border.obstacles.centres
    distance = np.hypot(away[..., 0], away[..., 1])
    outer = distance - border.reaches
    slopes = away / np.maximum(distance, SAME_MM)[..., np.newaxis]
    places, near = np.nonzero((outer < 0) & border.by_faces)
    along = away[places, near] @ UNITS.T
    along -= border.faces[near]
    best = along.argmax(axis=1)
    outer[places, near] = along[np.arange(len(best)), best]
    slopes[places, near] = UNITS[best]
    return np.hstack((inner, outer)), np.concatenate((inner_slopes, slopes), axis=1)


def _room_inside(at: Floats, edge: Edge, fitted: Fit) -> tuple[Floats, Floats]:
    if fitted.rim_mm is not None:
        distance = np.hypot(at[:, 0], at[:, 1])
        slopes = -at / np.maximum(distance, SAME_MM)[:, np.newaxis]
        return (fitted.rim_mm - distance)[:, np.newaxis], slopes[:, np.newaxis]
    left = fitted.limits - at @ edge.normals.T
    if not edge.curved:
        return left, np.broadcast_to(-edge.normals, (len(at), *edge.normals.shape))
    tightest = left.argmin(axis=1)
    least = left[np.arange(len(at)), tightest]
    return least[:, np.newaxis], -edge.normals[tightest][:, np.newaxis]


def _rough_room(at: Floats, border: Border) -> Floats:
    """Room left (m, c) as `room` says it, a curved edge by every fifth of its tangents."""
    edge, fitted = border.edge, border.fitted
    if fitted.rim_mm is None and edge.curved:
        fifth = Edge(edge.normals[::5], edge.distances[::5], edge.curved, None)
        limits = fitted.limits[::5]
        border = replace(border, edge=fifth, fitted=replace(fitted, limits=limits))
    return room(at, border)[0]


def corners(border: Border) -> tuple[Floats, Floats]:
    """Places (m, 2) where the outline touches two things and overlaps none, with the room
    (m, c) that each constraint leaves there. Empty when it fits nowhere."""
    loops, own = _loops(border)
    count, steps, _ = loops.shape
    left = _rough_room(loops.reshape(-1, 2), border).reshape(count, steps, -1)
    at = _solved(*_crossings(loops, own, left), border)
    found, room_there = _free(at, border)
    if len(found):
        return found, room_there
    return _free(np.vstack((border.fitted.middle, loops[0])), border)


def _free(at: Floats, border: Border) -> tuple[Floats, Floats]:
    left = room(at, border)[0]
    free = np.all(left > -SAME_MM, axis=1)
    return at[free], left[free]


def _loops(border: Border) -> tuple[Floats, Places]:
    """Borders as closed walks (1 + obstacles, d, 2) and which constraint each step lies on."""
    obstacles, sides, units = border.obstacles, border.sides, UNITS[::_STRIDE]
    loops = np.empty((1 + len(obstacles.centres), len(units), 2))
    own = np.empty((len(loops), len(units)), dtype=np.intp)
    loops[0], own[0] = _inner_loop(border.edge, border.fitted)
    own[1:] = sides + np.arange(len(obstacles.centres))[:, np.newaxis]
    circles = border.reaches[:, np.newaxis, np.newaxis] * units
    polygons = _polygons(border.faces)[:, ::_STRIDE]
    around = np.where(border.by_faces[:, np.newaxis, np.newaxis], polygons, circles)
    loops[1:] = obstacles.centres[:, np.newaxis] + around
    return loops, own


def _inner_loop(edge: Edge, fitted: Fit) -> tuple[Floats, Places]:
    """The border of where the centre may be on the empty shelf, seen from the middle."""
    units = UNITS[::_STRIDE]
    if fitted.rim_mm is not None:
        return fitted.rim_mm * units, np.zeros(len(units), dtype=np.intp)
    left = np.maximum(fitted.limits - edge.normals @ fitted.middle, 0.0)
    facing = units @ edge.normals.T
    far = np.divide(left, facing, out=np.full_like(facing, np.inf), where=facing > SAME_MM)
    nearest = far.argmin(axis=1)
    loop = fitted.middle + far.min(axis=1)[:, np.newaxis] * units
    return loop, np.zeros_like(nearest) if edge.curved else nearest


def _polygons(faces: Floats) -> Floats:
    """Corners (n, d, 2) of polygons with the given distances (n, d) of their sides in `UNITS`."""
    following = np.roll(faces, -1, axis=1)
    across = np.sin(2 * np.pi / DIRECTIONS)
    turned_units = np.stack((-UNITS[:, 1], UNITS[:, 0]), axis=-1)
    along = (following - faces * np.cos(2 * np.pi / DIRECTIONS)) / across
    return np.asarray(faces[..., np.newaxis] * UNITS + along[..., np.newaxis] * turned_units)


def _crossings(loops: Floats, own: Places, left: Floats) -> tuple[Floats, Places, Places]:
    """Coarse places where a walk crosses another border, with the two constraints met there."""
    after, left_after = np.roll(loops, -1, axis=1), np.roll(left, -1, axis=1)
    crossed = (left > 0) != (left_after > 0)
    np.put_along_axis(crossed, own[..., np.newaxis], values=False, axis=2)
    own_after = np.roll(own, -1, axis=1)
    np.put_along_axis(crossed, own_after[..., np.newaxis], values=False, axis=2)
    loop, step, other = np.nonzero(crossed)
    begin, end = left[loop, step, other], left_after[loop, step, other]
    share = (begin / (begin - end))[:, np.newaxis]
    starts = loops[loop, step] * (1 - share) + after[loop, step] * share
    bends = np.nonzero(own[0] != own_after[0])[0]
    middles = (loops[0, bends] + after[0, bends]) / 2
    return (
        np.vstack((starts, middles)),
        np.append(own[loop, step], own[0, bends]),
        np.append(other, own_after[0, bends]),
    )


def _solved(starts: Floats, first: Places, second: Places, border: Border) -> Floats:
    """The exact crossings near coarse ones; those that are hopeless are left out."""
    at = starts
    hopeful = np.ones(len(at), dtype=bool)
    for step in range(_NEWTON_STEPS):
        left, slopes = room(at, border)
        if step == 1:
            hopeful = np.all(left > -NEAR_MM, axis=1)
            at, first, second = at[hopeful], first[hopeful], second[hopeful]
            left, slopes = left[hopeful], slopes[hopeful]
        rows = np.arange(len(at))
        a, b = left[rows, first], left[rows, second]
        u, v = slopes[rows, first], slopes[rows, second]
        turn = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
        turn = np.where(np.abs(turn) < SAME_MM, np.inf, turn)
        move = np.stack((a * v[:, 1] - b * u[:, 1], b * u[:, 0] - a * v[:, 0]), axis=-1)
        at = at - move / turn[:, np.newaxis]
    return at
