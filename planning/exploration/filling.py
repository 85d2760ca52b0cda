"""What strokes enclose: gaps of a line closed, ends that stick out trimmed."""

from typing import Final

import numpy as np

from planning.tracing.arrays import Gray
from planning.tracing.opencv import cv2

_OUTSIDE: Final = 128
_THIN: Final = 0.012
"""Of the drawing's size: what is thinner than twice that is a line and no part of the form."""


def enclosed(drawn: Gray, reach: int) -> Gray:
    """255 in what strokes enclose once gaps of twice `reach` pixels are closed, and on them."""
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * reach + 1, 2 * reach + 1))
    room = reach + 1
    wide = cv2.copyMakeBorder(drawn, room, room, room, room, cv2.BORDER_CONSTANT, value=0)
    wide = cv2.dilate(wide, disc)
    cv2.floodFill(wide, None, (0, 0), _OUTSIDE)
    inside = cv2.erode(np.where(wide == _OUTSIDE, 0, 255).astype(np.uint8), disc)
    return np.asarray(cv2.bitwise_or(inside[room:-room, room:-room], drawn), np.uint8)


def trimmed(filled: Gray, width_px: float, size: int) -> Gray:
    """The largest part of a filled form, without lines that stick out and half a stroke smaller,
    so that it ends in the middle of its line; nothing where all of it is lines."""
    thin = max(3, round(width_px / 2), round(_THIN * size))
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * thin + 1, 2 * thin + 1))
    form = cv2.morphologyEx(filled, cv2.MORPH_OPEN, disc)
    width = 2 * round(width_px / 2) + 1
    form = cv2.erode(form, np.ones((width, width), np.uint8))
    _, labels, stats, _ = cv2.connectedComponentsWithStats(form, connectivity=4)
    areas = np.asarray(stats)[:, cv2.CC_STAT_AREA].copy()
    areas[0] = 0  # the paper
    return np.where((labels == areas.argmax()) & (form > 0), 255, 0).astype(np.uint8)
