"""How far what was traced is from what was drawn."""

from dataclasses import dataclass

import numpy as np

from planning.tracing.drawing import Traced

from .drawn import Drawn


@dataclass(frozen=True)
class Miss:
    rms_mm: float
    most_mm: float
    height_mm: float


def missed(traced: Traced, drawn: Drawn, *, axis: bool) -> Miss:
    """Half-widths at every height line, and the height. Without a drawn axis the halves may
    share their difference otherwise than the drawer did."""
    profile = traced.profile
    assert profile is not None, traced.reason
    heights = np.minimum(profile.heights, drawn.height_mm)
    right = profile.right - drawn.right(heights)
    left = profile.left - drawn.left(heights)
    shift = 0.0 if axis else float(np.median((right - left) / 2))
    off = np.concatenate((right - shift, left + shift))
    return Miss(
        float(np.sqrt(np.mean(off**2))),
        float(np.abs(off).max()),
        abs(float(profile.heights[-1]) - drawn.height_mm),
    )
