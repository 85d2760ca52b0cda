"""How far the left and the right of a drawn profile differ. The plan uses their mean."""

from collections.abc import Sequence
from dataclasses import dataclass

from .inputs import Point


@dataclass(frozen=True)
class Asymmetry:
    """The largest difference of left and right, where it is, and the width there, as drawn."""

    largest_mm: float
    height_mm: float
    front_mm: float


def asymmetry(profile: Sequence[Point]) -> Asymmetry:
    worst = max(profile, key=lambda point: abs(point.left_mm - point.right_mm))
    return Asymmetry(
        largest_mm=abs(worst.left_mm - worst.right_mm),
        height_mm=worst.height_mm,
        front_mm=worst.left_mm + worst.right_mm,
    )
