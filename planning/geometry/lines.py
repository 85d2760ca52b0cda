"""Height lines: levels drawn across the plan, with the wet outer sizes there."""

from dataclasses import dataclass

import numpy as np

from .outer import outer_perimeters
from .surface import Surface
from .tolerances import NO_WIDTH_MM


@dataclass(frozen=True)
class HeightLine:
    height_mm: float
    front_mm: float
    depth_mm: float
    perimeter_mm: float


def height_lines(surface: Surface, spacing_mm: float) -> tuple[HeightLine, ...]:
    """A line every `spacing_mm` from the table, and the rim. Perimeters are on the outside."""
    rim = surface.height
    levels = np.append(np.arange(0, rim * (1 - 1e-9), spacing_mm), rim)
    s = surface.parameters_at(levels)
    half_front, half_depth, _ = surface.curve.at(s)
    around = outer_perimeters(surface, s)
    sizes = np.stack((2 * half_front, 2 * half_depth, around), axis=-1)
    sizes[np.maximum(half_front, half_depth) <= NO_WIDTH_MM] = 0.0  # a closed top
    rows = np.column_stack((levels, sizes))
    return tuple(HeightLine(*row) for row in rows.tolist())
