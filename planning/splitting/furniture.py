"""What stands on a sheet beside its drawings and looks like one: frames and ringed numbers."""

from typing import Final

import numpy as np

from planning.tracing.opencv import cv2

from .parts import Part

_SQUARE: Final = 0.85
"""Of the box round a hull, turned with it: what fills as much is about a rectangle."""

_HELD: Final = 0.02
"""Of a frame: what is drawn in it is at least so large."""

_INSIDE: Final = 0.8
_SMALL: Final = 0.065
"""Of the page's long side: a ring round a number is smaller."""

_ROUND: Final = 0.85
_LONG: Final = 1.5
_WITHIN: Final = 0.03
"""Of a ring: what is written in it covers as much at least."""

_ALIKE: Final = 1.7
_FEWEST: Final = 2
_FOR_EACH: Final = 0.4
"""Of the larger parts: there are about as many rings as drawings."""


def lies_in(part: Part, other: Part) -> bool:
    """Whether most of a part's box lies within another's, which is larger."""
    if part is other or part.width * part.height >= other.width * other.height:
        return False
    wide = min(part.x + part.width, other.x + other.width) - max(part.x, other.x)
    high = min(part.y + part.height, other.y + other.height) - max(part.y, other.y)
    return wide > 0 and high > 0 and wide * high > _INSIDE * part.width * part.height


def frames(parts: list[Part]) -> list[Part]:
    """Parts that are about a rectangle of lines round others that don't touch it."""
    return [part for part in parts if _frames(part, parts)]


def _frames(part: Part, parts: list[Part]) -> bool:
    held = [other for other in parts if lies_in(other, part)]
    if not held:
        return False
    hull = cv2.convexHull(np.asarray(cv2.findNonZero(part.strokes)))
    around = float(cv2.contourArea(hull))
    _, (width, height), _ = cv2.minAreaRect(hull)
    if around < _SQUARE * width * height:
        return False
    return any(other.area > _HELD * around for other in held)


def rings(parts: list[Part], page_px: int) -> list[Part]:
    """Small round parts with something written in them, of which there are about as many of about
    the same size as there are drawings, of a page whose long side is so many pixels."""
    small = [part for part in parts if part.long < _SMALL * page_px and _is_ring(part, parts)]
    larger = sum(part.long > _SMALL * page_px for part in parts)
    fewest = max(_FEWEST, _FOR_EACH * larger)
    return [
        part
        for part in small
        if sum(part.area / _ALIKE < each.area < part.area * _ALIKE for each in small) >= fewest
    ]


def _is_ring(part: Part, parts: list[Part]) -> bool:
    disc = np.pi / 4 * part.width * part.height
    if part.area < _ROUND * disc or part.long > _LONG * min(part.width, part.height):
        return False
    if any(lies_in(other, part) for other in parts):
        return True
    inner = 2 * (part.long // 5) + 1
    within = cv2.erode(np.pad(part.body, 1), np.ones((inner, inner), np.uint8))[1:-1, 1:-1]
    written = np.count_nonzero(cv2.bitwise_and(np.asarray(within, np.uint8), part.strokes))
    return bool(written > _WITHIN * part.area)
