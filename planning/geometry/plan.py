"""One plan: a drawn profile and its choices in, all figures out."""

from dataclasses import dataclass

import numpy as np

from .asymmetry import Asymmetry, asymmetry
from .checks import FINGERS_MM, HAND_MM, HAND_THICK_MM
from .clay import Masses, masses
from .inputs import PlanInputs, Point, Wall
from .lines import HeightLine, height_lines
from .offset import Hollow
from .refusal import FormRefused, Trouble
from .silhouette import Silhouette, silhouette
from .soundness import enlargement_of, troubles
from .surface import DEPTH, FRONT, HEIGHT, Surface, surface_in_proportion, surface_with_side
from .tolerances import LEAST_DEPTH_RATIO, MOST_SLANT_PER_WALL, NO_WIDTH_MM, STATIONS
from .volume import Volumes, volumes

COMPUTATION_VERSION = "form-1"
"""Changes whenever the same inputs may give other figures; stored with a sent plan."""


@dataclass(frozen=True)
class Size:
    height_mm: float
    front_mm: float
    depth_mm: float

    def scaled(self, by: float) -> "Size":
        return Size(self.height_mm * by, self.front_mm * by, self.depth_mm * by)


@dataclass(frozen=True)
class Neck:
    """The first place, seen from above, where a hand no longer fits through."""

    height_mm: float
    width_mm: float


@dataclass(frozen=True)
class Figures:
    """What a plan comes to. Rows and rests are not part of it yet.

    Sizes and volumes are of the wet pot unless a name says otherwise; `outer_area_cm2` is
    the wall's outside without the underside; `asymmetry` is as drawn.
    """

    version: str
    wall_cm3: float
    base_cm3: float
    corner_cm3: float
    capacity_cm3: float
    outer_area_cm2: float
    clay: Masses
    wet: Size
    dry: Size
    fired: Size
    height_lines: tuple[HeightLine, ...]
    silhouette: Silhouette
    asymmetry: Asymmetry
    wall_base_mm: float
    wall_rim_mm: float
    foot_mm: float
    belly_mm: float
    tip_deg: float
    solid_to_mm: float | None
    is_closed: bool
    neck: Neck | None

    @property
    def total_cm3(self) -> float:
        return self.wall_cm3 + self.base_cm3 + self.corner_cm3


def plan(inputs: PlanInputs) -> Figures:
    """All figures of one plan, or `FormRefused` with every reason.

    Clay volumes are exact for the smooth curve through the points but for the quadrature:
    against independent routes the clay of random pots is off by at most 0.006 % (round) and
    0.02 % (oval), see the tests.
    """
    found = troubles(inputs)
    if found:
        raise FormRefused(found)
    by = enlargement_of(inputs)
    front = _enlarged(inputs.profile, by)
    side = None if inputs.side_profile is None else _enlarged(inputs.side_profile, by)
    surface = _surface(front, side, inputs.outline.depth_ratio)
    _refuse_thin(surface, inputs.wall)
    built = volumes(surface, inputs.wall, inputs.base_mm, inputs.corner_coil_mm)
    _refuse_hollow(surface, built.hollow, inputs.wall)
    return _figures(inputs, surface, built, front)


def _enlarged(points: tuple[Point, ...], by: float) -> tuple[Point, ...]:
    return tuple(
        Point(each.height_mm * by, each.left_mm * by, each.right_mm * by) for each in points
    )


def _surface(
    front: tuple[Point, ...], side: tuple[Point, ...] | None, depth_ratio: float
) -> Surface:
    points = _meridian(front)
    if side is None:
        return surface_in_proportion(points, depth_ratio)
    surface = surface_with_side(points, _meridian(side))
    _refuse_flat(surface)
    return surface


def _meridian(points: tuple[Point, ...]) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
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
    open_at = np.flatnonzero(hollow.areas > 0)
    if not len(open_at) or hollow.volume <= 0:
        values = {"wall_mm": max(wall.base_mm, wall.rim_mm)}
        raise FormRefused([Trouble("wall_mm", "no_hollow", values)])
    gap = np.flatnonzero(np.diff(open_at) > 1)
    if len(gap):
        height = float(hollow.levels[open_at[gap[0]] + 1])
        width = 2 * surface.curve.at(surface.parameters_at(np.array([height])))[FRONT, 0]
        values = {"height_mm": height, "front_mm": float(width)}
        raise FormRefused([Trouble("profile", "hollow_splits", values)])


def _figures(
    inputs: PlanInputs, surface: Surface, built: Volumes, front: tuple[Point, ...]
) -> Figures:
    stations = surface.curve.at(surface.curve.stations(STATIONS))
    wet = Size(surface.height, *(2 * stations[[FRONT, DEPTH]].max(axis=1)).tolist())
    body, hollow = inputs.body, built.hollow
    open_at = np.flatnonzero(hollow.areas > 0)
    return Figures(
        version=COMPUTATION_VERSION,
        wall_cm3=built.wall / 1000,
        base_cm3=built.base / 1000,
        corner_cm3=built.corner / 1000,
        capacity_cm3=hollow.volume / 1000,
        outer_area_cm2=built.outer_area / 100,
        clay=masses(built.total, body, inputs.working_allowance_pct),
        wet=wet,
        dry=wet.scaled(1 - body.drying_shrinkage_pct / 100),
        fired=wet.scaled(1 - body.total_shrinkage_pct / 100),
        height_lines=height_lines(surface, inputs.line_spacing_mm),
        silhouette=silhouette(front, _rim_depth_ratio(stations)),
        asymmetry=asymmetry(inputs.profile),
        wall_base_mm=inputs.wall.base_mm,
        wall_rim_mm=inputs.wall.rim_mm,
        foot_mm=2 * float(stations[:HEIGHT, 0].min()),
        belly_mm=min(wet.front_mm, wet.depth_mm),
        tip_deg=built.tip_deg,
        solid_to_mm=float(hollow.levels[open_at[0]]) if open_at[0] > 0 else None,
        is_closed=bool(hollow.areas[-1] <= 0),
        neck=_neck(hollow),
    )


def _rim_depth_ratio(stations: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    """Depth ÷ width at the rim; of a closed form, just below its top."""
    wide = stations[FRONT] > NO_WIDTH_MM
    last = int(np.flatnonzero(wide)[-1])
    return float(stations[DEPTH, last] / stations[FRONT, last])


def _neck(hollow: Hollow) -> Neck | None:
    """None where a hand reaches as deep as fingers do, or the pot is no deeper."""
    first, second = hollow.inner_widths
    wide, narrow = np.maximum(first, second), np.minimum(first, second)
    tight = (wide < HAND_MM) | (narrow < HAND_THICK_MM)
    tight &= hollow.levels > hollow.levels[0] + FINGERS_MM
    if not tight.any():
        return None
    at = int(np.where(tight, wide, np.inf).argmin())
    return Neck(float(hollow.levels[at]), float(wide[at]))
