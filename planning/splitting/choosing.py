"""Which parts of a page are drawings: not frames, not handwriting, not what lies in a drawing."""

from typing import Final

import numpy as np

from planning.tracing.arrays import Gray
from planning.tracing.opencv import cv2

from .furniture import frames, lies_in, rings
from .parts import Part, open_body

_MAIN: Final = 0.15
"""Of the largest: what encloses less says nothing about how large drawings are here."""

_LOOP: Final = 0.06
"""Of the side of a square as large as the usual drawing: loops of letters are narrower than twice
that, and end where a drawing is cut clear of the words that touch it."""

_LEAST_AREA: Final = 0.09
_LEAST_SIDE: Final = 0.25
"""Of the usual drawing's body, and of the side of a square as large: words are smaller."""

_WRITTEN: Final = 0.35
"""Of the usual drawing's body: what is smaller, and wide, and has as many strokes as body, is a
word."""

_INKED: Final = 0.95
_WIDE: Final = 1.1
_CUT_OFF: Final = 0.4
"""Of the usual drawing's body: what runs off the paper and is smaller is no drawing."""

_STRIP: Final = 2.5
"""What runs off the paper and is so many times as long as wide is its edge or a shadow."""

_PIECE: Final = 0.25
"""Of the largest piece of a body: smaller ones are loops of letters that touch the drawing."""

_OPEN: Final = 0.5
"""Of the side of the usual drawing: lines as high that enclose nothing may be a pot drawn without
its rim; words are lower."""

_SMALLEST: Final = 0.033
"""Of the page's long side: nothing that is shorter is a drawing, be it alone."""


def drawings_among(parts: list[Part], page_px: int, width_px: float) -> list[Part]:
    """The parts that are drawings, cut clear of what only touches them, of a page whose long side
    is so many pixels and whose strokes are so wide."""
    loose = _without(frames(parts), parts)
    loose = _without(rings(loose, page_px), loose)
    main = [part.area for part in loose if part.long > _SMALLEST * page_px]
    if not main or not max(main):
        return []
    usual = float(np.median([area for area in main if area > _MAIN * max(main)]))
    side = usual**0.5
    loose = [open_body(p) if p.height > _OPEN * side else p for p in loose]
    large = [
        cut
        for part in loose
        if part.area > _LEAST_AREA * usual
        for cut in _cut_clear(part, round(_LOOP * side), width_px)
        if cut.long > _SMALLEST * page_px and _is_drawing(cut, usual)
    ]
    return [part for part in large if not any(lies_in(part, other) for other in large)]


def _without(some: list[Part], parts: list[Part]) -> list[Part]:
    return [part for part in parts if not any(part is each for each in some)]


def _is_drawing(part: Part, usual: float) -> bool:
    """Whether a part is one, where the usual drawing's body has this area."""
    if part.at_edge and part.long > _STRIP * min(part.strokes.shape):
        return False
    least = _CUT_OFF if part.at_edge else _LEAST_AREA
    if part.area < least * usual or min(part.strokes.shape) < _LEAST_SIDE * usual**0.5:
        return False
    inked = np.count_nonzero(part.strokes) > _INKED * part.area
    word = part.width > _WIDE * part.height and part.area < _WRITTEN * usual
    return not (inked and (word or part.at_edge))


def _cut_clear(part: Part, loop: int, width_px: float) -> list[Part]:
    """The part without what sticks out of its body where that is wider than twice `loop`."""
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * loop + 1, 2 * loop + 1))
    room = 3 * loop + round(width_px) + 1
    opened = cv2.morphologyEx(np.pad(part.body, room), cv2.MORPH_OPEN, disc)
    body = _main_pieces(np.asarray(opened, np.uint8))
    if not body.any():
        return []
    reach = 2 * (2 * loop + round(width_px)) + 1
    near = cv2.dilate(body, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach)))
    mine = cv2.bitwise_and(np.pad(part.strokes, room), near)
    x, y, width, height = cv2.boundingRect(mine)
    at = np.s_[y : y + height, x : x + width]
    place = part.x + x - room, part.y + y - room
    return [Part(*place, np.asarray(mine[at]), np.asarray(body[at]), part.at_edge)]


def _main_pieces(body: Gray) -> Gray:
    _, labels, stats, _ = cv2.connectedComponentsWithStats(body, connectivity=4)
    areas = np.asarray(stats)[:, cv2.CC_STAT_AREA].copy()
    areas[0] = 0  # what lies round it
    return np.where(areas[labels] > _PIECE * areas.max(), body, 0).astype(np.uint8)
