"""The strokes on a photographed sheet of thumbnails, at a size at which the smallest still show."""

from typing import Final

import numpy as np

from planning.exploration.paper import LEAST_RULED, Strokes, ink_on, page_in, strokes_in
from planning.tracing.arrays import Gray
from planning.tracing.opencv import cv2

from .codes import printed_with_codes
from .printed import without_printed

WORKING_PX: Final = 1400
"""The long side at which sheets are read: a pencil line on A4 is two or three pixels wide."""

_SHADOW: Final = 0.018
"""Of the long side: no stroke is wider, charcoal on a small sheet neither; fingers' shadows are."""

_EDGE: Final = 0.3
"""Of the long side: an edge of the paper is that long, a shadow's straight border seldom."""

_ASKEW: Final = 0.25
"""Of its length: so far from level or upright is no edge of a page that one reads."""


def working_gray(picture: Gray) -> tuple[Gray, float]:
    """An upright picture, gray or RGB, at the size at which sheets are read, and that in parts of
    its own."""
    if picture.shape[2:]:
        picture = np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY))
    scale = min(1.0, WORKING_PX / max(picture.shape))
    size = (max(1, round(picture.shape[1] * scale)), max(1, round(picture.shape[0] * scale)))
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA)), scale


def strokes_of_sheet(gray: Gray) -> Strokes:
    """The strokes in a picture of working size."""
    page = page_in(gray, _EDGE, _ASKEW)
    ink = ink_on(gray, page, _SHADOW)
    ink[printed_with_codes(gray) > 0] = 0
    ink = without_printed(ink, page, LEAST_RULED)
    return strokes_in(ink, page)
