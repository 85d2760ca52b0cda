"""Level lines taken out of the ink: height lines, ruling, rim and foot."""

from typing import Final

import numpy as np

from .arrays import Ink
from .opencv import cv2

_RUN_MM: Final = 15.0
"""A line is level over this much at least; a shoulder bends away sooner."""

_HALF_MM: Final = 1.25
_PRESSED: Final = 1.6
"""Pencil is darker in places than a line's mean by this factor."""


def level_ink(ink: Ink, px_per_mm: float) -> Ink:
    """How dark the level line is that each pixel lies on, 0 beside lines (height, width).

    The mean of what lies to the left or of what lies to the right of a pixel, the darker of the
    two, so that a line counts up to its end; less what stands just above or below it.
    """
    run = round(_RUN_MM * px_per_mm)
    kernel = np.full((1, run), 1 / run, np.float32)
    sides = [
        cv2.filter2D(ink, -1, kernel, anchor=(at, 0), borderType=cv2.BORDER_CONSTANT)
        for at in (0, run - 1)
    ]
    mean = np.maximum(*sides)
    off = round(_HALF_MM * px_per_mm)
    above, below = (
        cv2.warpAffine(
            mean, np.array(((1.0, 0, 0), (0, 1, by))), mean.shape[::-1], flags=cv2.INTER_NEAREST,
            borderMode=cv2.BORDER_REPLICATE,
        )
        for by in (-off, off)
    )  # fmt: skip
    return np.asarray(np.maximum(mean - np.maximum(above, below), 0), dtype=np.float32)


def without_level(ink: Ink, level: Ink) -> Ink:
    """The ink less its level lines, each at its own darkness, so that what crosses one stays."""
    return np.asarray(np.maximum(ink - np.float32(_PRESSED) * level, 0), dtype=np.float32)
