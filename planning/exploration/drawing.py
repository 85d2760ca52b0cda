"""Which strokes on a page are the one drawing: no notes, no edges of the paper, no specks."""

from typing import Final

import numpy as np

from planning.tracing.arrays import Gray
from planning.tracing.opencv import cv2

from .filling import enclosed, trimmed
from .paper import Strokes
from .reasons import NoForm

Whole = np.ndarray[tuple[int, ...], np.dtype[np.int32]]
Marked = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]

_SMALLEST: Final = 0.08
"""Of the picture's long side: a smaller drawing says nothing about its form."""

_SPECK: Final = 0.012
_EDGE_PX: Final = 3.0
_ALONG: Final = 0.04
"""Of the picture's long side: what keeps so near to the edge is the edge, and no drawing."""

_MOSTLY: Final = 0.6
_MUCH: Final = 0.3
"""Of the drawing's size: what is as wide, as high and runs off the paper is a part of it."""

_NEAR: Final = 0.035
"""Of the drawing's size: what is nearer to it belongs to it (a lid, an ear); a note is not."""

_AROUND: Final = 0.35
_GAP: Final = 0.02


def main_drawing(strokes: Strokes) -> Gray:
    """255 on the strokes of the drawing, cut to it. Raises NoForm where there is none, where it is
    small, or where it runs off the paper or the picture."""
    long_side = max(strokes.drawn.shape)
    joint = 2 * round(strokes.width_px / 2) + 1
    joined = cv2.morphologyEx(strokes.drawn, cv2.MORPH_CLOSE, np.ones((joint, joint), np.uint8))
    _, found, stats, _ = cv2.connectedComponentsWithStats(joined, connectivity=8)
    labels, boxes = np.asarray(found, np.int32), np.asarray(stats, np.int32)
    boxes[0] = 0  # the paper
    touching, runs_off = _at_edge(strokes.page, labels, boxes)
    free = boxes[:, 2:4].max(axis=1) > _SPECK * long_side
    free &= ~touching
    largest = int(np.argmax(np.where(free, boxes[:, 2] * boxes[:, 3], 0)))
    size = float(np.hypot(*boxes[largest, 2:4])) if free.any() else 0.0
    if (boxes[runs_off, 2:4].min(axis=1) > _MUCH * max(size, _SMALLEST * long_side)).any():
        raise NoForm("cut_off")
    if size < _SMALLEST * long_side:
        raise NoForm("too_small" if size > _SMALLEST * long_side / 2 else "nothing_drawn")
    others = set(np.flatnonzero(free).tolist()) - {largest}
    x, y, width, height = (int(k) for k in boxes[largest, :4])
    room = round(_AROUND * max(width, height))
    at = np.s_[max(0, y - room) : y + height + room, max(0, x - room) : x + width + room]
    mine = _belonging(labels[at], largest, others, strokes.width_px)
    kept = np.where(mine, strokes.drawn[at], 0).astype(np.uint8)
    x, y, width, height = cv2.boundingRect(kept)
    return kept[y : y + height, x : x + width]


def _at_edge(page: Gray, labels: Whole, boxes: Whole) -> tuple[Marked, Marked]:
    """Which parts touch the edge of paper or picture, and which of them don't just keep to it."""
    to_edge = cv2.distanceTransform(page, cv2.DIST_L2, 3)
    at_it = labels[(to_edge > 0) & (to_edge < _EDGE_PX)]
    near_it = labels[to_edge < _ALONG * max(page.shape)]
    touching, along = (np.bincount(each, minlength=len(boxes)) for each in (at_it, near_it))
    on_edge = touching > 0
    on_edge[0] = False
    return on_edge, on_edge & (along < _MOSTLY * boxes[:, cv2.CC_STAT_AREA])


def _belonging(labels: Whole, largest: int, parts: set[int], width_px: float) -> Marked:
    """Where the largest part is, and those of `parts` that lie in it or nearly touch it."""
    others = sorted(set(np.unique(labels).tolist()) & parts)
    mine: Marked = labels == largest
    size = max(cv2.boundingRect(mine.astype(np.uint8))[2:])
    while others:
        lines = mine.astype(np.uint8) * 255
        body = trimmed(enclosed(lines, round(_GAP * size)), width_px, size)
        away = cv2.distanceTransform(255 - body, cv2.DIST_L2, 3)
        near = [part for part in others if away[labels == part].min() < _NEAR * size]
        if not near:
            break
        mine |= np.isin(labels, near)
        others = [part for part in others if part not in near]
    return mine
