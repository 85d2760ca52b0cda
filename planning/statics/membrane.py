"""Membrane forces of a shell of revolution under its own weight.

A ring of the wall at radius r, at slope φ to the level, carries what stands above it: with W
the weight above,

    N_φ · 2π r sin φ + W = 0,        N_θ = d(r N_φ cos φ) / ds,

the second being the balance across the axis. Written out, with q the weight per area and φ' the
turning of the meridian by slant, N_θ = q r cot φ + W φ' / (2π sin²φ). (Flügge, Stresses in
Shells, 2nd ed. 1973, ch. 2; Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells,
2nd ed. 1959, ch. 14; both from memory, derived anew.)
"""

from dataclasses import dataclass

import numpy as np

from planning.geometry.profile import Floats

from .bending import bending_length
from .midwall import MidWall

LEAST_RISE = 0.05
"""Sine of the slope below which the wall lies flat and carries by bending alone: 3°."""


@dataclass(frozen=True)
class Forces:
    """N/mm, (stages, stations); 0 above the stage's top, NaN where the wall lies flat or turns
    within its bending length: there it carries by bending and has no membrane forces."""

    meridional: Floats
    hoop: Floats


def membrane_forces(wall: MidWall, weight_n_per_mm3: float, built_to_mm: Floats) -> Forces:
    """Of the wall as built to each of the heights `built_to_mm` (stages,)."""
    at = wall.curve(wall.slant_mm)
    slope, turn = wall.curve(wall.slant_mm, 1), wall.curve(wall.slant_mm, 2)
    radius, _, thickness = at.T
    across, rise = slope[:, 0], slope[:, 1]
    speed = np.hypot(across, rise)
    turning = (across * turn[:, 1] - rise * turn[:, 0]) / speed**3
    cos, sin = across / speed, rise / speed
    membrane = (sin > LEAST_RISE) & (np.abs(turning) * bending_length(radius, thickness) < 1)
    top = wall.slant_at(built_to_mm)[:, np.newaxis]
    above = weight_n_per_mm3 * (wall.volume(top) - wall.volume(wall.slant_mm))
    lift = np.where(membrane, sin, np.nan)
    meridional = -above / (2 * np.pi * radius * lift)
    own = weight_n_per_mm3 * thickness * radius * cos / lift
    hoop = own + above * turning / (2 * np.pi * lift**2)
    inside = wall.slant_mm <= top
    return Forces(np.where(inside, meridional, 0.0), np.where(inside, hoop, 0.0))
