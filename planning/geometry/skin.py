"""The pot's skin as rings of points: outside, inside, and the foot ring where there is one.

All rings of one skin have the same columns, so that rings on top of each other, the two edges of
the rim, and the edges of the base join point by point. Every point lies on the surface itself.
Inside, a column runs where the ray from the middle of the hollow towards the outside's point meets
the hollow's edge; sharp corners of the hollow are kept.
"""

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from .cavity import Walled, ring_sections
from .form import Form
from .inputs import PlanInputs
from .outer import outer_points
from .outline import radial
from .profile import Floats
from .rings import rings
from .surface import Surface
from .tolerances import LEAST_POCKET, NO_WIDTH_MM, RING_PANELS, SHARP_DEG, SPECK_MM, STATIONS

Indices = NDArray[np.intp]


@dataclass(frozen=True)
class Fineness:
    """How closely a skin follows the surface: panels round a ring, how far a chord may lie off
    the surface, and the widest angle between two columns."""

    panels: int
    within_mm: float
    apart_deg: float
    levels: int


FOR_LOOKING = Fineness(RING_PANELS, 0.2, 6.0, STATIONS)
"""On a phone a pot is drawn at about 1 px for 1 mm."""

FOR_MAKING = Fineness(2 * RING_PANELS, 0.012, 2.0, 8 * STATIONS)
"""Well below the layers of any printer; the clay between the skins is right to 0.1 %."""


@dataclass(frozen=True)
class Skin:
    """Rings (k, columns, 3), counter-clockwise seen from above, from the bottom upwards; z is 0 at
    the table. `foot` is the foot ring's inner side, one ring at the table and one under the base.
    `corners` are the columns along which the outside has an edge."""

    outside: Floats
    inside: Floats
    foot: Floats | None
    corners: Indices
    closed: bool


def skin(inputs: PlanInputs, made: Form, fineness: Fineness) -> Skin:
    """The skin of a form that was made from the inputs."""
    base, rim = radial(inputs.outline), radial(inputs.rim_outline or inputs.outline)
    fine = rings(base, rim, fineness.panels)
    surface = replace(made.surface, rings=fine)
    walled = Walled(surface, fine, made.wall)
    columns, corners = _columns(surface, fineness)
    at = surface.curve.stations(fineness.levels)
    outside = _stand(outer_points(surface, at)[:, columns], surface.curve.at(at)[2])
    outside = outside[_thinned(outside, fineness.within_mm, len(outside))]
    levels = _levels(made, replace(walled, rings=rings(base, rim)), fineness)
    inside = _inside(walled, levels, columns)
    foot = None
    if inputs.foot_ring is not None:
        edge, lift = outside[0, :, :2], inputs.foot_ring.height_mm
        whole = shapely.Polygon(edge).buffer(-inputs.foot_ring.width_mm, quad_segs=64)
        inner = max(shapely.get_parts(whole), key=shapely.area)
        foot = _stand(np.stack([_ring(inner, edge)] * 2), np.array([0.0, lift]))
        outside[..., 2] += lift
        inside[..., 2] += lift
    closed = bool(made.volumes.hollow.areas[-1] <= 0)
    return Skin(outside, inside, foot, corners, closed)


def _stand(points: Floats, heights: Floats) -> Floats:
    """Points (k, n, 2) at heights (k,): (k, n, 3)."""
    upright = np.broadcast_to(heights[:, np.newaxis, np.newaxis], (*points.shape[:2], 1))
    return np.concatenate((points, upright), axis=2)


def _columns(surface: Surface, fineness: Fineness) -> tuple[Indices, Indices]:
    """Which points of the drawn outline become columns, and which of those are corners."""
    ends = np.array([0.0, surface.curve.length])
    wide = surface.curve.at(surface.curve.stations(STATIONS))[:2].max()
    drawn = outer_points(surface, ends)
    size = np.abs(drawn).max(axis=(1, 2), keepdims=True)
    drawn = np.swapaxes(drawn / np.maximum(size, NO_WIDTH_MM) * wide, 0, 1)
    drawn = drawn[:, size[:, 0, 0] > NO_WIDTH_MM]
    single = np.linalg.norm(np.roll(drawn, -1, axis=0) - drawn, axis=2).max(axis=1) > SPECK_MM
    kept = np.flatnonzero(single)
    ring = drawn[kept]
    around = np.concatenate((ring, ring[:1]))
    towards = np.unwrap(np.arctan2(around[:, 0, 1], around[:, 0, 0]))
    far = np.searchsorted(towards, towards + np.radians(fineness.apart_deg), side="right") - 1
    sharp = _turns(ring).max(axis=1) > SHARP_DEG
    chosen = _thinned(around, fineness.within_mm, far, np.append(sharp, True))[:-1]
    return kept[chosen], np.flatnonzero(sharp[chosen])


def _turns(ring: Floats) -> Floats:
    """By how many degrees a ring (n, ..., 2) turns at each of its points, (n, ...)."""
    after = np.roll(ring, -1, axis=0) - ring
    before = np.roll(after, 1, axis=0)
    cross = before[..., 0] * after[..., 1] - before[..., 1] * after[..., 0]
    return np.asarray(np.degrees(np.abs(np.arctan2(cross, (before * after).sum(axis=-1)))))


def _thinned(
    points: Floats,
    within: float,
    far: int | Indices,
    kept: NDArray[np.bool_] | None = None,
) -> Indices:
    """Which of the points (n, lines, d), first and last included, draw every line to `within`.

    `far` (n,) is the last place that may follow each; `kept` (n,) stay whatever they are.
    """
    chosen, last = [0], len(points) - 1
    reach = np.broadcast_to(np.minimum(far, last), (last + 1,))
    stops = np.append(np.flatnonzero(kept) if kept is not None else [], last).astype(np.intp)
    while chosen[-1] < last:
        start = chosen[-1]
        most = int(min(reach[start], stops[np.searchsorted(stops, start, side="right")]))
        chosen.append(_farthest(points[start : max(most, start + 1) + 1], within) + start)
    return np.array(chosen, dtype=np.intp)


def _farthest(points: Floats, within: float) -> int:
    """The last of the points that the first may be joined to by a chord: in doubled steps, then
    halved ones."""
    good, bad = 1, len(points)
    while good + 1 < bad:
        tried = min(2 * good, len(points) - 1) if bad == len(points) else (good + bad) // 2
        if _strays(points[: tried + 1]) <= within:
            good = tried
        else:
            bad = tried
    return good


def _strays(points: Floats) -> float:
    """How far points (n, lines, d) lie off the chords from first to last at most."""
    chord = points[-1] - points[0]
    away = points[1:-1] - points[0]
    length = np.maximum((chord**2).sum(axis=-1), NO_WIDTH_MM**2)
    along = np.clip((away * chord).sum(axis=-1) / length, 0, 1)
    return float(np.sqrt(((away - along[..., np.newaxis] * chord) ** 2).sum(axis=-1).max()))


def _inside(walled: Walled, levels: Floats, columns: Indices) -> Floats:
    """Rings (k, columns, 3) of the hollow at those of the levels (m,) that have one."""
    surface, faces = walled.surface, ring_sections(walled, levels)
    # Of several faces at one level the largest stays, which comes last.
    order = np.argsort(faces.areas)
    main = dict(zip(faces.level[order].tolist(), faces.polygons[order], strict=True))
    at = np.array(sorted(main), dtype=np.intp)
    towards = outer_points(surface, surface.parameters_at(levels[at]))[:, columns]
    found = [_ring(main[level], ray) for level, ray in zip(at.tolist(), towards, strict=True)]
    return _stand(np.stack(found), levels[at])


def _levels(made: Form, walled: Walled, fineness: Fineness) -> Floats:
    """The levels of the hollow that its widths and its size need to be drawn, out of those at
    which it was measured and more between them."""
    measured = made.volumes.hollow.levels[made.volumes.hollow.areas > 0]
    more = max(fineness.levels // len(measured), 1)
    between = np.diff(measured)[:, np.newaxis] * (np.arange(more) / more)
    levels = np.append((measured[:-1, np.newaxis] + between).ravel(), measured[-1])
    faces = ring_sections(walled, levels)
    size = np.sqrt(faces.sums(faces.areas, len(levels)))
    sizes = np.stack((*faces.widths(len(levels)), size), axis=1) / 2
    lines = np.stack((sizes, np.broadcast_to(levels[:, np.newaxis], sizes.shape)), axis=-1)
    return np.asarray(levels[_thinned(lines, fineness.within_mm, len(levels))])


def _ring(polygon: shapely.Polygon, towards: Floats) -> Floats:
    """Points (n, 2) of the polygon's edge in the directions of the points `towards` (n, 2), seen
    from the pot's axis, or from the polygon's own middle where that shows more of the edge."""
    edge = shapely.get_coordinates(shapely.simplify(polygon.exterior, SPECK_MM))[:-1]
    if not polygon.exterior.is_ccw:
        edge = edge[::-1]
    middles = (np.zeros(2), shapely.get_coordinates(polygon.centroid)[0])
    views = [(middle, *_seen(edge - middle)) for middle in middles]
    sizes = [_area(seen) for _middle, seen, _angles in views]
    middle, seen, angles = views[0 if sizes[0] > (1 - LEAST_POCKET) * max(sizes) else 1]
    return np.asarray(middle + _met(seen, angles, towards))


def _seen(edge: Floats) -> tuple[Floats, Floats]:
    """The points of an edge (n, 2) that nothing hides from the origin, and their angles, rising
    within a turn. None where the origin is outside."""
    angles = np.unwrap(np.arctan2(edge[:, 1], edge[:, 0]))
    start = int((angles - np.arange(len(edge)) * (angles[-1] - angles[0]) / len(edge)).argmax())
    edge = np.roll(edge, -start, axis=0)
    angles = np.unwrap(np.arctan2(edge[:, 1], edge[:, 0]))
    shown = np.append(True, angles[1:] > np.maximum.accumulate(angles)[:-1])
    shown &= angles < angles[0] + 2 * np.pi
    return edge[shown], angles[shown]


def _area(ring: Floats) -> float:
    return float(shapely.area(shapely.polygons(ring))) if len(ring) > 2 else 0.0  # noqa: PLR2004


def _met(edge: Floats, angles: Floats, towards: Floats) -> Floats:
    """Where rays from the origin meet the edge (m, 2), whose angles (m,) rise once round."""
    rays = np.arctan2(towards[:, 1], towards[:, 0])
    rays = angles[0] + (rays - angles[0]) % (2 * np.pi)
    order = np.argsort(rays)
    rays = rays[order]
    for corner in np.flatnonzero(_turns(edge) > SHARP_DEG).tolist():
        away = np.abs((rays - angles[corner] + np.pi) % (2 * np.pi) - np.pi)
        rays[away.argmin()] = angles[corner]
    low = np.searchsorted(angles, rays, side="right") - 1
    here, following = edge[low], np.roll(edge, -1, axis=0)[low]
    cos, sin = np.cos(rays), np.sin(rays)
    cross = here[:, 0] * following[:, 1] - here[:, 1] * following[:, 0]
    reach = cross / (cos * (following[:, 1] - here[:, 1]) - sin * (following[:, 0] - here[:, 0]))
    met = np.empty_like(towards)
    met[order] = np.stack((reach * cos, reach * sin), axis=-1)
    return met
