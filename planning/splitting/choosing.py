"""Which parts of a page are drawings: not frames, not handwriting, not what lies in a drawing."""

from typing import Final

import numpy as np

from planning.tracing.arrays import Gray
from planning.tracing.opencv import cv2

from .parts import Part

_SQUARE: Final = 0.86
"""Of the upright box round a part: a hull that fills as much is about a rectangle."""

_HELD: Final = 0.015
"""Of a frame: what is drawn in it is at least so large."""

_BORDER: Final = 0.08
"""Of a frame's sides: its lines keep as near to its border, those of a pot with marks don't."""

_MAIN: Final = 0.15
"""Of the largest: what encloses less says nothing about how large drawings are here."""

_LEAST_AREA: Final = 0.09
_LEAST_SIDE: Final = 0.28
"""Of the usual drawing's body, and of the side of a square as large: words are smaller."""

_NARROW: Final = 0.13
_SMALLEST: Final = 0.03
"""Of the page's long side: nothing that is shorter is a drawing, be it alone."""


def drawings_among(parts: list[Part], page_px: int) -> list[Part]:
    """The parts that are drawings, of a page whose long side is so many pixels."""
    loose = [part for part in parts if not _frames(part, parts)]
    main = [p.area for p in loose if p.long > _SMALLEST * page_px]
    if not main or not max(main):
        return []
    usual = float(np.median([area for area in main if area > _MAIN * max(main)]))
    large = [
        part
        for part in loose
        if part.area > _LEAST_AREA * usual
        and min(part.width, part.height) > _LEAST_SIDE * usual**0.5
        and part.long > _SMALLEST * page_px
    ]
    return [part for part in large if not any(_lies_in(part, other) for other in large)]


def _frames(part: Part, parts: list[Part]) -> bool:
    """Whether a part is about a rectangle of lines round other parts that don't touch it."""
    hull = cv2.convexHull(np.asarray(cv2.findNonZero(part.strokes)))
    around = float(cv2.contourArea(hull))
    _, (width, height), _ = cv2.minAreaRect(hull)
    if around < _SQUARE * width * height or around < 1:
        return False
    return any(other.area > _HELD * around for other in parts if _lies_in(other, part))


def _lies_in(part: Part, other: Part) -> bool:
    """Whether the middle and most of a part lie within another's box, which is larger."""
    if part is other or part.width * part.height >= other.width * other.height:
        return False
    wide = min(part.x + part.width, other.x + other.width) - max(part.x, other.x)
    high = min(part.y + part.height, other.y + other.height) - max(part.y, other.y)
    return wide > 0 and high > 0 and wide * high > 0.8 * part.width * part.height
