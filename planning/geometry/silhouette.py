"""The wet outer form as a smooth outline for drawing, left and right kept apart."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .inputs import Point
from .profile import smooth_curve

SAMPLES = 48


@dataclass(frozen=True)
class Silhouette:
    """`points` are (height_mm, left_mm, right_mm) from base to rim, evenly along the curve."""

    points: tuple[tuple[float, float, float], ...]
    rim_depth_ratio: float


def silhouette(profile: Sequence[Point], rim_depth_ratio: float) -> Silhouette:
    """From the wet profile; `rim_depth_ratio` is depth ÷ width of the rim seen from above."""
    points = np.array([(each.height_mm, each.left_mm, each.right_mm) for each in profile])
    curve = smooth_curve(points)
    samples = curve.at(np.linspace(0, curve.length, SAMPLES)).T
    return Silhouette(
        tuple((h, left, right) for h, left, right in samples.tolist()), rim_depth_ratio
    )
