"""Ink on paper: how dark lines are against the paper round them, whatever the light."""

from typing import Final

import numpy as np

from .arrays import Ink
from .opencv import cv2
from .view import View

_WIDEST_STROKE_MM: Final = 5.0
"""Darker patches that are wider than this are shadow."""

_NOT_PAPER: Final = 0.12
_EDGE_MM: Final = 3.5
"""Along the edges of the paper its shadow looks like a line."""


def ink_of(view: View) -> Ink:
    """The ink of a view (height, width), none outside the paper."""
    size = 2 * round(_WIDEST_STROKE_MM * view.px_per_mm / 2) + 1
    soft = cv2.GaussianBlur(view.gray, (0, 0), 0.15 * view.px_per_mm)
    paper = cv2.morphologyEx(soft, cv2.MORPH_CLOSE, np.ones((size, size), np.uint8))
    paper = cv2.blur(paper, (size, size))
    ink = 1 - soft.astype(np.float32) / np.maximum(paper, 1)
    np.clip(ink, 0, 1, out=ink)
    reach = 2 * round(_EDGE_MM * view.px_per_mm) + 1
    ink[cv2.erode(view.seen, np.ones((reach, reach), np.uint8)) == 0] = 0
    return np.asarray(ink)


def darkness(ink: Ink) -> float:
    """How dark the drawing's lines are: nine of ten of their pixels are lighter. 0: no lines."""
    lines = ink[ink > _NOT_PAPER]
    return float(np.percentile(lines, 90)) if len(lines) else 0.0
