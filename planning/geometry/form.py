"""The form of one pot: its outer surface and its volumes, or every reason why it has none."""

from dataclasses import dataclass

import numpy as np

from .hollow import Hollow
from .inputs import Outline, PlanInputs, Point, Wall
from .outline import radial
from .profile import Floats
from .refusal import FormRefused, Trouble
from .rings import rings
from .soundness import enlargement_of, troubles
from .surface import (
    FRONT,
    Surface,
    surface_in_proportion,
    surface_of_rings,
    surface_with_side,
)
from .tolerances import LEAST_DEPTH_RATIO, LEAST_POCKET, MOST_SLANT_PER_WALL, NO_WIDTH_MM, STATIONS
from .volume import Volumes, volumes


@dataclass(frozen=True)
class Form:
    """A form that can be built, wet. `front` is the profile as large as it is built."""

    surface: Surface
    wall: Wall
    base_mm: float
    volumes: Volumes
    front: tuple[Point, ...]


def form(inputs: PlanInputs) -> Form:
    """The form of one plan, or `FormRefused` with every reason."""
    found = troubles(inputs)
    if found:
        raise FormRefused(found)
    by = enlargement_of(inputs)
    front = _enlarged(inputs.profile, by)
    side = None if inputs.side_profile is None else _enlarged(inputs.side_profile, by)
    surface = _surface(front, side, inputs.outline, inputs.rim_outline)
    _refuse_thin(surface, inputs.wall)
    built = volumes(surface, inputs.wall, inputs.base_mm, inputs.corner_coil_mm, inputs.foot_ring)
    _refuse_hollow(surface, built.hollow, inputs.wall)
    return Form(surface, inputs.wall, inputs.base_mm, built, front)


def _enlarged(points: tuple[Point, ...], by: float) -> tuple[Point, ...]:
    return tuple(
        Point(each.height_mm * by, each.left_mm * by, each.right_mm * by) for each in points
    )


def _surface(
    front: tuple[Point, ...],
    side: tuple[Point, ...] | None,
    outline: Outline,
    rim_outline: Outline | None,
) -> Surface:
    changes = rim_outline is not None and radial(rim_outline) != radial(outline)
    elliptic = outline.shape in ("round", "oval") and not changes
    ring = None
    if not elliptic:
        ring = rings(radial(outline), radial(rim_outline) if changes and rim_outline else None)
    points = _meridian(front)
    if side is not None:
        surface = surface_with_side(points, _meridian(side), ring)
        _refuse_flat(surface)
        return surface
    if ring is None:
        return surface_in_proportion(points, radial(outline).depth)
    return surface_of_rings(points, ring)


def _meridian(points: tuple[Point, ...]) -> Floats:
    return np.array([(each.half_mm, each.height_mm) for each in points])


def _refuse_flat(surface: Surface) -> None:
    front, depth, height = surface.curve.at(surface.curve.stations(STATIONS))
    flat = np.minimum(front, depth) < LEAST_DEPTH_RATIO * np.maximum(front, depth)
    flat &= np.maximum(front, depth) > NO_WIDTH_MM
    if flat.any():
        i = int(flat.argmax())
        values = {
            "height_mm": float(height[i]),
            "front_mm": 2 * float(front[i]),
            "depth_mm": 2 * float(depth[i]),
        }
        raise FormRefused([Trouble("side_profile", "section_too_flat", values)])


def _refuse_thin(surface: Surface, wall: Wall) -> None:
    name, thinnest = min(("base", wall.base_mm), ("rim", wall.rim_mm), key=lambda each: each[1])
    least = surface.curve.length / MOST_SLANT_PER_WALL
    if thinnest < least:
        values = {"wall_mm": thinnest, "least_mm": least}
        raise FormRefused([Trouble(f"wall_mm.{name}", "wall_too_thin", values)])


def _refuse_hollow(surface: Surface, hollow: Hollow, wall: Wall) -> None:
    """A hollow that vanishes, or is cut in two, is no pot."""
    if hollow.volume <= 0:
        values = {"wall_mm": max(wall.base_mm, wall.rim_mm)}
        raise FormRefused([Trouble("wall_mm", "no_hollow", values)])
    edges = np.flatnonzero(np.diff(hollow.areas > 0, prepend=False, append=False))
    sizes = np.add.reduceat(np.append(hollow.weights * hollow.areas, 0.0), edges)[::2]
    parts = np.flatnonzero(sizes > LEAST_POCKET * hollow.volume)
    if len(parts) > 1:
        height = float(hollow.levels[edges[2 * parts[0] + 1]])
        raise FormRefused([Trouble("profile", "hollow_splits", _place(surface, height))])
    if hollow.parted_at is not None:
        place = _place(surface, hollow.parted_at)
        raise FormRefused([Trouble("outline", "hollow_parts", place)])


def _place(surface: Surface, height: float) -> dict[str, float]:
    width = 2 * surface.curve.at(surface.parameters_at(np.array([height])))[FRONT, 0]
    return {"height_mm": height, "front_mm": float(width)}
