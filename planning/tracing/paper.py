"""Where in a photograph the paper is: the largest bright piece within one sharp edge, less the
scale card. Shadows have soft edges and don't end it."""

from typing import Final

import numpy as np

from .arrays import Floats, Gray
from .opencv import cv2

_LONG_PX: Final = 600
_DESK: Final = 0.72
"""A table top is told from the paper when it is darker than this part of it."""

_STEP: Final = 14
"""Of 255, from one pixel of the small picture to the next: a shadow's edge is softer."""


def paper_in(photo: Gray, covered: Floats | None) -> Gray:
    """A small mask of the photo: 255 on paper, else 0.

    `covered` (n, 2) are the corners in the photo of what lies on the paper. A table top as bright
    as the paper counts as paper: its edge is a line then, and is seen to run past the pot.
    """
    shrink = min(1.0, _LONG_PX / max(photo.shape))
    small = cv2.resize(photo, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    closed = cv2.morphologyEx(small, cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8))
    bright = cv2.blur(closed, (3, 3))
    edges = cv2.morphologyEx(bright, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8))
    count, pieces, stats, _ = cv2.connectedComponentsWithStats((edges < _STEP).astype(np.uint8))
    level = _DESK * float(np.percentile(bright, 90))
    sizes = [
        int(stats[piece, cv2.CC_STAT_AREA]) * (float(bright[pieces == piece].mean()) > level)
        for piece in range(1, count)
    ]
    piece = (pieces == 1 + int(np.argmax(sizes))).astype(np.uint8)
    outlines, _ = cv2.findContours(piece, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    whole = np.zeros(small.shape, np.uint8)
    cv2.drawContours(whole, [max(outlines, key=cv2.contourArea)], -1, 255, cv2.FILLED)
    whole = np.asarray(cv2.dilate(whole, np.ones((3, 3), np.uint8)), dtype=np.uint8)
    if covered is not None:
        scale = np.array(small.shape[::-1]) / np.array(photo.shape[::-1])
        corners = np.round((covered + 0.5) * scale - 0.5).astype(np.int32)
        cv2.fillConvexPoly(whole, corners, 0)
    return whole
