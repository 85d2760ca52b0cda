"""One plan: a drawn profile and its choices in, all figures out."""

from dataclasses import dataclass

import numpy as np

from .asymmetry import Asymmetry, asymmetry
from .checks import FINGERS_MM, HAND_MM, HAND_THICK_MM
from .clay import Masses, masses
from .foot import BaseOutline, base_outline
from .form import Form, form
from .hollow import Hollow
from .inputs import PlanInputs
from .lines import HeightLine, height_lines
from .silhouette import Silhouette, silhouette
from .surface import DEPTH, FRONT, HEIGHT
from .tolerances import NO_WIDTH_MM, STATIONS

COMPUTATION_VERSION = "form-3"
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
    """What a plan comes to but for its rows.

    Sizes and volumes are of the wet pot unless a name says otherwise; `outer_area_cm2` is
    the wall's outside without the underside; `asymmetry` is as drawn. Sizes and `tip_deg` count
    a foot ring; height lines, `base_outline` and `silhouette` are of what is drawn, above it.
    `added_g` is in the masses and in no volume or size.
    """

    version: str
    wall_cm3: float
    base_cm3: float
    corner_cm3: float
    foot_ring_cm3: float
    added_g: float
    capacity_cm3: float
    outer_area_cm2: float
    clay: Masses
    wet: Size
    dry: Size
    fired: Size
    height_lines: tuple[HeightLine, ...]
    base_outline: BaseOutline
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
        return self.wall_cm3 + self.base_cm3 + self.corner_cm3 + self.foot_ring_cm3


def plan(inputs: PlanInputs) -> Figures:
    """All figures of one plan, or `FormRefused` with every reason.

    Clay volumes are exact for the smooth curve through the points but for the quadrature:
    against independent routes the clay of random pots is off by at most 0.006 % (round),
    0.02 % (oval) and 0.03 % (other outlines), see the tests.
    """
    return figures(inputs, form(inputs))


def figures(inputs: PlanInputs, made: Form) -> Figures:
    """All figures of a plan whose form is made already."""
    surface, built = made.surface, made.volumes
    stations = surface.curve.at(surface.curve.stations(STATIONS))
    lift = 0.0 if inputs.foot_ring is None else inputs.foot_ring.height_mm
    wet = Size(surface.height + lift, *(2 * stations[[FRONT, DEPTH]].max(axis=1)).tolist())
    body, hollow = inputs.body, built.hollow
    open_at = np.flatnonzero(hollow.areas > 0)
    return Figures(
        version=COMPUTATION_VERSION,
        wall_cm3=built.wall / 1000,
        base_cm3=built.base / 1000,
        corner_cm3=built.corner / 1000,
        foot_ring_cm3=built.foot / 1000,
        added_g=inputs.added_g,
        capacity_cm3=hollow.volume / 1000,
        outer_area_cm2=built.outer_area / 100,
        clay=masses(
            built.total,
            body,
            inputs.working_allowance_pct,
            inputs.added_g,
            inputs.allowance_range_pct,
        ),
        wet=wet,
        dry=wet.scaled(1 - body.drying_shrinkage_pct / 100),
        fired=wet.scaled(1 - body.total_shrinkage_pct / 100),
        height_lines=height_lines(surface, inputs.line_spacing_mm),
        base_outline=base_outline(surface),
        silhouette=silhouette(made.front, _rim_depth_ratio(stations)),
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
    wide = np.maximum(hollow.fronts, hollow.depths)
    narrow = np.minimum(hollow.fronts, hollow.depths)
    tight = (wide < HAND_MM) | (narrow < HAND_THICK_MM)
    tight &= hollow.levels > hollow.levels[0] + FINGERS_MM
    if not tight.any():
        return None
    at = int(np.where(tight, wide, np.inf).argmin())
    return Neck(float(hollow.levels[at]), float(wide[at]))
