"""What a plan is computed from, as it was drawn and chosen. Nothing physical has a default."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Point:
    """Half-widths at one height. In a side profile left is the front and right the back."""

    height_mm: float
    left_mm: float
    right_mm: float

    @property
    def half_mm(self) -> float:
        return (self.left_mm + self.right_mm) / 2


Shape = Literal["round", "oval", "leaf", "rounded_square", "traced"]


@dataclass(frozen=True)
class Outline:
    """The shape seen from above, without its size: x to the right, y to the back.

    `depth_ratio` is depth ÷ width of an oval, leaf or rounded square; a side profile overrides
    it. A leaf is the lens of two equal arcs whose tips are left and right. `corner_ratio` is
    corner radius ÷ half side of a rounded square before it is stretched to its depth. `points`
    (x, y) go once around a traced outline, either way round and in any unit; the first may stand
    again at the end. It keeps its own proportion, and the pot's axis goes through the middle of
    its width and depth.
    """

    shape: Shape
    depth_ratio: float = 1.0
    corner_ratio: float = 0.0
    points: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class FootRing:
    """A ring of clay under the base: its outer side flush with the edge of the base, upright,
    `width_mm` wide all round. It comes on top of the drawing and lifts the pot by `height_mm`."""

    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class Wall:
    """Wall thickness, linear in height from the table to the rim."""

    base_mm: float
    rim_mm: float


@dataclass(frozen=True)
class Body:
    """A clay body as its test bars say. Shrinkages are linear, from the wet length."""

    wet_density_g_per_cm3: float
    water_pct_wet_basis: float
    drying_shrinkage_pct: float
    total_shrinkage_pct: float
    loss_on_ignition_pct: float


@dataclass(frozen=True)
class PlanInputs:
    """One plan. The profile is the outer surface, base edge to rim, as `drawn_as` says;
    wall, base, corner coil, foot ring and added parts are always as built.

    The outline changes evenly with height from `outline` at the table to `rim_outline`, where
    there is one. `added_g` is the wet clay of handles and other added parts.
    `allowance_range_pct` is the spread of the studio's own pots, where it was learned.
    """

    profile: tuple[Point, ...]
    outline: Outline
    drawn_as: Literal["wet", "fired"]
    wall: Wall
    base_mm: float
    corner_coil_mm: float
    working_allowance_pct: float
    body: Body
    side_profile: tuple[Point, ...] | None = None
    line_spacing_mm: float = 20.0
    rim_outline: Outline | None = None
    foot_ring: FootRing | None = None
    added_g: float = 0.0
    allowance_range_pct: tuple[float, float] | None = None
