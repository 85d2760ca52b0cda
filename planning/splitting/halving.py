"""A box that holds two drawings is cut in two: in the gap between them where one can be told.

By how far the strokes reach across the cut. That says more than how much ink there is: the middle
of one pot has little ink too, its rim and its base.
"""

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np

from planning.tracing.arrays import Gray

from .boxes import Box, cut_at, in_two, least_side
from .framing import unframed_parts
from .page import strokes_of_sheet, working_gray

_MIDDLE: Final = (0.2, 0.8)
"""Of what is drawn in the box: the gap of two drawings lies there; a knob, a foot or the number
beside a drawing stands off further out."""

_OPEN: Final = 0.4
"""Of how far the strokes mostly reach across: in a gap they reach less, also where a note runs
through it or the drawings touch."""


class Gap(NamedTuple):
    """Where to cut, in pixels from the mask's edge, and how far strokes reach across it, of how far
    they mostly do."""

    at: float
    reach: float


def gap_in(drawn: Gray) -> Gap | None:
    """The gap between two drawings that stand side by side in a mask of strokes: the middle of the
    widest run of columns that the strokes reach across least; None where no column stands out."""
    on = drawn > 0
    columns = np.flatnonzero(on.any(axis=0))
    if not len(columns):
        return None
    first, end = int(columns[0]), int(columns[-1]) + 1
    reach = _reach(on[:, first:end])
    start, stop = (round(part * len(reach)) for part in _MIDDLE)
    middle = reach[start:stop]
    usual = float(np.median(reach[reach > 0]))
    if not len(middle) or middle.min() > _OPEN * usual:
        return None
    open_ = np.flatnonzero(middle == middle.min())
    runs = np.split(open_, np.flatnonzero(np.diff(open_) > 1) + 1)
    half = len(reach) / 2 - start
    run = max(runs, key=lambda each: (len(each), -abs(float(each.mean()) + 0.5 - half)))
    return Gap(first + start + float(run.mean()) + 0.5, float(middle.min()) / usual)


def _reach(
    on: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
) -> np.ndarray[tuple[int, ...], np.dtype[np.intp]]:
    """By column, from the highest stroke to the lowest, in pixels."""
    high = len(on)
    top, foot = on.argmax(axis=0), high - on[::-1].argmax(axis=0)
    return np.where(on.any(axis=0), foot - top, 0)


def halves(drawn: Gray, box: Box, scale: float, least: int) -> list[Box]:
    """A box as two, side by side or one over the other, as its drawings stand; where no gap is to
    be told, along its longer side in its middle. One too small for two stays whole.

    `drawn` are the strokes of the page, of which the box's picture is 1/`scale` times as large; no
    half gets narrower than `least` pixels of that picture.
    """
    x, y, wide, high = box
    left, top, right, foot = (round(scale * k) for k in (x, y, x + wide, y + high))
    mask = drawn[top:foot, left:right]
    gaps = [(gap_in(mask), 0, left), (gap_in(np.ascontiguousarray(mask.T)), 1, top)]
    told = []
    for gap, axis, start in gaps:
        if gap is None:
            continue
        off = round((start + gap.at) / scale) - box[axis]
        if least <= off <= box[axis + 2] - least:
            told.append((gap.reach, -box[axis + 2], axis, off))
    if not told:
        return in_two(box, least)
    _, _, axis, off = min(told)
    return cut_at(box, axis, off)


def halved(picture: Gray, boxes: Sequence[Box], shrink: float) -> list[list[Box]]:
    """Each of these boxes as its halves. They are in pixels of an upright picture of which
    `picture`, gray or RGB, 8 bits, is `shrink` times as large."""
    gray, scale = working_gray(picture)
    drawn = _drawn(gray)
    high, wide = (round(side / shrink) for side in picture.shape[:2])
    least = least_side(wide, high)
    return [halves(drawn, list(box), scale * shrink, least) for box in boxes]


def _drawn(gray: Gray) -> Gray:
    """The strokes on a page but those of frames and specks."""
    drawn = np.zeros_like(gray)
    for part in unframed_parts(strokes_of_sheet(gray)):
        here = drawn[part.y : part.y + part.height, part.x : part.x + part.width]
        np.maximum(here, part.strokes, out=here)
    return drawn
