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


@dataclass(frozen=True)
class Outline:
    """The shape seen from above. `depth_ratio` is depth ÷ width of an oval."""

    shape: Literal["round", "oval"]
    depth_ratio: float = 1.0


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
    wall, base and corner coil are always as built."""

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
