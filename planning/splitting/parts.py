"""The connected strokes of a page, one by one, with what each of them encloses."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from planning.exploration.filling import enclosed
from planning.exploration.paper import Strokes
from planning.tracing.arrays import Gray
from planning.tracing.opencv import cv2

Whole = np.ndarray[tuple[int, ...], np.dtype[np.int32]]

_SPECK: Final = 0.009
"""Of the page's long side: what is smaller is a dot, a crumb or a comma."""

_GAPS: Final = (0.0, 0.05, 0.12)
"""Of a part's shorter side: so wide a gap in its line is closed before it is filled."""

_FULL: Final = 0.45
"""Of the hull: what is filled that far has not leaked out."""

_THIN: Final = 0.02
"""Of a part's size: what is thinner than twice that, or than a stroke, is a line and no body."""

_LEAKED: Final = 0.7
"""Of the body: where as much of it is strokes, it is but the strokes."""

_SPACE: Final = 0.35
"""Of a part's shorter side: between letters there is less."""

_JOINT_PX: Final = 5
"""Where a printed line was taken away a stroke has so wide a gap."""

_EDGE_PX: Final = 3.0
_ALONG: Final = 0.015
"""Of the page's long side: what keeps so near to the edge is the edge."""

_MOSTLY: Final = 0.5


@dataclass(frozen=True)
class Part:
    """Connected strokes: their box in the picture, and in it, 255 each, the strokes themselves
    and the body that they enclose; and whether it touches the edge of paper or picture."""

    x: int
    y: int
    strokes: Gray
    body: Gray
    at_edge: bool = False

    @property
    def width(self) -> int:
        return self.strokes.shape[1]

    @property
    def height(self) -> int:
        return self.strokes.shape[0]

    @property
    def long(self) -> int:
        return max(self.strokes.shape)

    @property
    def area(self) -> int:
        """Of the body, in pixels."""
        return int(np.count_nonzero(self.body))


def body_of(strokes: Gray, width_px: float) -> Gray:
    """What strokes enclose without lines that stick out, 255; nothing where they are but lines."""
    size, short = max(strokes.shape), min(strokes.shape)
    room = round(max(_GAPS) * short) + 2
    wide = np.pad(strokes, room)
    hull = cv2.convexHull(np.asarray(cv2.findNonZero(strokes)))
    full = _FULL * float(cv2.contourArea(hull))
    best = np.zeros_like(wide)
    thin = max(2, round(0.8 * width_px), round(_THIN * size))
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * thin + 1, 2 * thin + 1))
    for gap in _GAPS:
        filled = enclosed(wide, round(gap * short / 2))
        body = np.asarray(cv2.morphologyEx(filled, cv2.MORPH_OPEN, disc), np.uint8)
        if np.count_nonzero(body) > 1.2 * np.count_nonzero(best):
            best = body
        if np.count_nonzero(best) > full:
            break
    return best[room:-room, room:-room]


def open_body(part: Part) -> Part:
    """The part; if it encloses next to nothing, but there is a wide space between its strokes along
    rows and above the lowest of each column, with that as its body: a pot drawn without its rim."""
    on = part.strokes > 0
    if np.count_nonzero(on) < _LEAKED * part.area:
        return part
    between = np.logical_or.accumulate(on, axis=1)
    between &= np.logical_or.accumulate(on[:, ::-1], axis=1)[:, ::-1]
    between &= np.logical_or.accumulate(on[::-1], axis=0)[::-1]
    space = np.pad(between & ~on, 1).astype(np.uint8)
    wide = 2 * float(cv2.distanceTransform(space, cv2.DIST_L2, 3).max())
    if wide < _SPACE * min(part.strokes.shape):
        return part
    return replace(part, body=np.where(between, 255, 0).astype(np.uint8))


def parts_on(strokes: Strokes) -> list[Part]:
    """The parts on a page that are no specks and no edges of the paper."""
    joint = max(_JOINT_PX, 2 * round(strokes.width_px / 2) + 1)
    joined = cv2.morphologyEx(strokes.drawn, cv2.MORPH_CLOSE, np.ones((joint, joint), np.uint8))
    _, found, stats, _ = cv2.connectedComponentsWithStats(joined, connectivity=8)
    labels, boxes = np.asarray(found, np.int32), np.asarray(stats, np.int32)
    to_edge = cv2.distanceTransform(strokes.page, cv2.DIST_L2, 3)
    at_edge = np.bincount(labels[(to_edge > 0) & (to_edge < _EDGE_PX)], minlength=len(boxes)) > 0
    along = np.bincount(labels[to_edge < _ALONG * max(labels.shape)], minlength=len(boxes))
    kept = boxes[:, 2:4].max(axis=1) > _SPECK * max(labels.shape)
    kept &= ~at_edge | (along < _MOSTLY * boxes[:, cv2.CC_STAT_AREA])
    kept[0] = False  # the paper
    parts = []
    for label in np.flatnonzero(kept):
        x, y, width, height = (int(k) for k in boxes[label, :4])
        at = np.s_[y : y + height, x : x + width]
        mine = np.where(labels[at] == label, 255, 0).astype(np.uint8)
        body = body_of(mine, strokes.width_px)
        parts.append(Part(x, y, mine, body, bool(at_edge[label])))
    return parts
