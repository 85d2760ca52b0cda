"""How much stress soft clay stands, as a range."""

from dataclasses import dataclass

import numpy as np

from planning.geometry.profile import Floats


@dataclass(frozen=True)
class YieldRange:
    """Stress of simple compression under which clay gives way over hours, kPa.

    `low_kpa` < `middle_kpa` < `high_kpa`, all above 0.
    """

    low_kpa: float
    middle_kpa: float
    high_kpa: float

    @property
    def n_per_mm2(self) -> Floats:
        """(3,), low first."""
        return np.array([self.low_kpa, self.middle_kpa, self.high_kpa]) / 1000


SOFT_CLAY = YieldRange(10.0, 22.0, 50.0)
"""Clay as soft as it is coiled has a shear strength of roughly 10 to 50 kPa (from memory, low
confidence: no measured value for a potter's clay at a stated water content was found); the middle
is the geometric mean. Simple compression breaks clay at twice its shear strength, and clay creeps
to failure from about half of what breaks it at once (Mitchell & Soga, Fundamentals of Soil
Behavior, ch. 12; from memory), so that the same figures stand for the compression that a wall
bears for hours."""


@dataclass(frozen=True)
class Pause:
    """Heights of building at which clay of low, middle and high strength gives way; None where
    the pot is finished before."""

    early_mm: float
    about_mm: float | None
    late_mm: float | None


def pause_at(heights_mm: Floats) -> Pause | None:
    """From heights (3,), infinite where nothing gives way; None where nothing does at all."""
    early, about, late = (float(each) if np.isfinite(each) else None for each in heights_mm)
    return None if early is None else Pause(early, about, late)
