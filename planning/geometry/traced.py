"""A traced outline: a smooth closed curve through the points, without repairing them.

Between two points the curve is the cubic that is nearest to a circular arc for its tangents
(handles of 4/3·tan(turn/4) radii, the usual approximation of an arc; from memory). The tangent
at a point is that of the circle through it and its two neighbours, so that points on a circle
give that circle. Where the line through the points turns by more than `CORNER_DEG` it stays a
corner, and between two corners it stays straight.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from .profile import Curve, Floats
from .refusal import Trouble
from .tolerances import (
    CORNER_DEG,
    LEAST_DEPTH_RATIO,
    LEAST_OUTLINE_POINTS,
    LEAST_OUTLOOK,
    MOST_DEPTH_RATIO,
    MOST_OUTLINE_CORNERS,
    MOST_OUTLINE_POINTS,
    OUTLINE_DECIMALS,
    SAME_OUTLINE_PLACE,
    SAMPLES_PER_PIECE,
)

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, eq=False)
class Traced:
    """`curve` goes once round, counter-clockwise, about the middle of its width and depth.

    Its parameter counts the points, beginning at a corner where there is one. `corners` are
    the parameters of the corners, `seen` the angles (k,) of the samples of the curve.
    """

    curve: Curve
    corners: Floats
    seen: Floats

    @property
    def joints(self) -> Floats:
        return np.sort(np.interp(self.corners, self._samples, self.seen) % (2 * np.pi))

    @property
    def depth(self) -> float:
        return float(extremes(self.curve)[1, 1])

    @property
    def _samples(self) -> Floats:
        return np.linspace(0, self.curve.length, len(self.seen))

    def radii(self, angles: Floats, within: Floats) -> tuple[Floats, Floats]:
        """Radius and dR/dθ at `angles` (n,), each on the piece that `within` lies on."""
        turns = 2 * np.pi * np.floor((within - self.seen[0]) / (2 * np.pi))
        ends = np.append(self.corners, self.curve.length)
        run = np.searchsorted(ends, np.interp(within - turns, self.seen, self._samples)) - 1
        low, high = ends[run] + SAME_OUTLINE_PLACE, ends[run + 1] - SAME_OUTLINE_PLACE
        s = np.clip(np.interp(angles - turns, self.seen, self._samples), low, high)
        cos, sin = np.cos(angles), np.sin(angles)
        for _ in range(3):
            (x, y), (x_slope, y_slope) = self.curve.at(s), self.curve.slopes_at(s)
            off = y * cos - x * sin
            s = np.clip(s - off / (y_slope * cos - x_slope * sin), low, high)
        (x, y), (x_slope, y_slope) = self.curve.at(s), self.curve.slopes_at(s)
        along, across = x_slope * cos + y_slope * sin, y_slope * cos - x_slope * sin
        radius = x * cos + y * sin
        return radius, radius * along / across


@lru_cache(maxsize=32)
def traced_outline(points: Points) -> Traced:
    """The outline through points that `traced_troubles` found nothing wrong with."""
    curve, corners, _ = _round_the_middle(_ring(points))
    return Traced(curve, corners, _seen(curve))


def traced_troubles(path: str, points: Points) -> Iterator[Trouble]:
    """What keeps the points from being an outline, each at the point that it is found at."""
    wrong = [
        Trouble(f"{path}.{i}", "not_a_number")
        for i, point in enumerate(points)
        if not np.isfinite(point).all()
    ]
    if wrong:
        yield from wrong
        return
    if len(points) > MOST_OUTLINE_POINTS:
        yield Trouble(path, "outline_many_points", {"most": str(MOST_OUTLINE_POINTS)})
        return
    ring = _ring(points)
    if len(ring) < LEAST_OUTLINE_POINTS:
        yield Trouble(path, "outline_few_points")
        return
    steps = np.linalg.norm(np.roll(ring, -1, axis=0) - ring, axis=1)
    same = np.flatnonzero(steps == 0)
    if len(same):
        at = (int(same[0]) + 1) % len(ring)
        yield Trouble(f"{path}.{at}", "outline_same_point", {"point": str(at + 1)})
        return
    crossing = _crossing(ring)
    if crossing is not None:
        yield Trouble(f"{path}.{crossing}", "outline_crosses", {"point": str(crossing + 1)})
        return
    width, depth = np.ptp(ring, axis=0)
    if not LEAST_DEPTH_RATIO * width <= depth <= MOST_DEPTH_RATIO * width:
        yield Trouble(path, "outline_too_flat")
        return
    yield from _curve_troubles(path, ring)


def _curve_troubles(path: str, ring: Floats) -> Iterator[Trouble]:
    """What is wrong with the curve through points that are no trouble themselves."""
    curve, corners, order = _round_the_middle(ring)
    hidden = _hidden_from_the_middle(curve)
    if len(corners) > MOST_OUTLINE_CORNERS:
        yield Trouble(path, "outline_many_corners", {"most": str(MOST_OUTLINE_CORNERS)})
    elif hidden is not None:
        at = int(order[hidden])
        yield Trouble(f"{path}.{at}", "outline_turns_back", {"point": str(at + 1)})


def _ring(points: Points) -> Floats:
    """The points (n, 2), none farther out than 1, without a first one again at the end."""
    ring = np.array(points, dtype=np.float64).reshape(-1, 2)
    size = float(np.abs(ring).max(initial=0)) or 1.0
    ring = np.round(ring / size, OUTLINE_DECIMALS)
    closed = len(ring) > 1 and bool((ring[0] == ring[-1]).all())
    return ring[:-1] if closed else ring


def _crossing(ring: Floats) -> int | None:
    """The first point after which the ring meets itself."""
    if shapely.is_simple(shapely.linearrings(ring)):
        return None
    sides = np.asarray(shapely.linestrings(np.stack((ring, np.roll(ring, -1, axis=0)), axis=1)))
    first, second = np.triu_indices(len(ring), 1)
    apart = (second - first > 1) & (second - first < len(ring) - 1)
    met = shapely.intersects(sides[first], sides[second]) & apart
    return int(second[met.argmax()]) if met.any() else int(_folded_back(ring))


def _folded_back(ring: Floats) -> int:
    """The point where the ring runs back on its own last side."""
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    return int((before * after).sum(axis=1).argmin())


def _round_the_middle(
    ring: Floats,
) -> tuple[Curve, Floats, "np.ndarray[tuple[int, ...], np.dtype[np.intp]]"]:
    """The curve with half-width 1 about its middle, its corners, and which point each knot is."""
    order = np.arange(len(ring))
    if shapely.area(shapely.polygons(ring)) and not shapely.is_ccw(shapely.linearrings(ring)):
        order = order[::-1]
    sharp = _turns(ring[order]) > np.radians(CORNER_DEG)
    order = np.roll(order, -int(sharp.argmax()))
    sharp = np.roll(sharp, -int(sharp.argmax()))
    curve = _through(ring[order], sharp)
    low, high = extremes(curve)
    middle, half = (low + high) / 2, (high[0] - low[0]) / 2
    powers = curve.coefficients / half
    powers[3] -= (middle / half)[:, np.newaxis]
    corners = np.flatnonzero(sharp).astype(np.float64) if sharp.any() else np.zeros(1)
    return Curve(curve.knots, powers), corners, order


def _turns(ring: Floats) -> Floats:
    """How far the line through the points turns at each of them (n,), in radians, unsigned."""
    after = np.roll(ring, -1, axis=0) - ring
    before = np.roll(after, 1, axis=0)
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return np.asarray(np.abs(np.arctan2(cross, (before * after).sum(axis=1))))


def _through(ring: Floats, sharp: NDArray[np.bool_]) -> Curve:
    side = np.roll(ring, -1, axis=0) - ring
    length = np.linalg.norm(side, axis=1, keepdims=True)
    towards = side / length
    mean = towards / length + np.roll(towards / length, 1, axis=0)
    tangent = mean / np.linalg.norm(mean, axis=1, keepdims=True)
    leaving, arriving = tangent, np.roll(tangent, -1, axis=0)
    ends_sharp = np.roll(sharp, -1)[:, np.newaxis]
    starts_sharp = sharp[:, np.newaxis]
    # A side with one corner is an arc: its tangent there mirrors the one at its other end.
    mirror = 2 * towards * (towards * np.where(starts_sharp, arriving, leaving)).sum(
        axis=1, keepdims=True
    ) - np.where(starts_sharp, arriving, leaving)
    straight = starts_sharp & ends_sharp
    leaving = np.where(straight, towards, np.where(starts_sharp, mirror, leaving))
    arriving = np.where(straight, towards, np.where(ends_sharp, mirror, arriving))
    bends = [
        np.arccos(np.clip((towards * each).sum(axis=1, keepdims=True), -1, 1))
        for each in (leaving, arriving)
    ]
    turn = np.maximum(bends[0] + bends[1], 1e-6)
    speed = length * 2 * np.tan(turn / 4) / np.sin(turn / 2)
    start, end = leaving * speed, arriving * speed
    powers = (start + end - 2 * side, 3 * side - 2 * start - end, start, ring)
    return Curve(np.arange(len(ring) + 1.0), np.stack([power.T for power in powers]))


def extremes(curve: Curve) -> Floats:
    """The least and the greatest of each coordinate: (2, coordinates)."""
    c3, c2, c1, c0 = curve.coefficients
    step = np.diff(curve.knots)
    room = np.sqrt(np.maximum(c2**2 - 3 * c3 * c1, 0))
    # Both zeros of the slope, by the form that stays finite when the cubic is straight.
    lead = -(c2 + np.where(c2 < 0, -room, room))
    with np.errstate(divide="ignore", invalid="ignore"):
        zeros = np.stack((lead / (3 * c3), c1 / lead))
    zeros = np.clip(np.where(np.isfinite(zeros), zeros, 0), 0, step)
    values = np.concatenate([((c3 * u + c2) * u + c1) * u + c0 for u in (0 * c0, *zeros)], axis=1)
    return np.stack((values.min(axis=1), values.max(axis=1)))


def _seen(curve: Curve) -> Floats:
    """Angles of the samples from the middle, rising."""
    count = SAMPLES_PER_PIECE * (len(curve.knots) - 1) + 1
    x, y = curve.at(np.linspace(0, curve.length, count))
    return np.unwrap(np.arctan2(y, x))


def _hidden_from_the_middle(curve: Curve) -> int | None:
    """The first knot after which the curve doesn't run on round the middle."""
    count = len(curve.knots) - 1
    s = (np.arange(SAMPLES_PER_PIECE * count) + 0.5) / SAMPLES_PER_PIECE
    (x, y), (x_slope, y_slope) = curve.at(s), curve.slopes_at(s)
    outlook = (x * y_slope - y * x_slope) / (np.hypot(x, y) * np.hypot(x_slope, y_slope))
    back = np.flatnonzero(outlook < LEAST_OUTLOOK)
    return int(back[0] // SAMPLES_PER_PIECE) if len(back) else None
