"""Boxes around the drawings of a sheet, as they are proposed and as somebody put them right.

A box is [x, y, width, height] in whole pixels of the picture.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from .reading import in_reading_order

Box = list[int]

ROOM: Final = 0.03
"""Of a box's longer side: so far from the strokes a box is proposed, so that none touches it."""

INSET: Final = 0.15
"""Of a box's width, on either side: so far neighbours in a row may reach into each other."""

LEAST: Final = 0.02
"""Of the picture's longer side: no side of a box is shorter."""


def with_room(box: Sequence[int], width: int, height: int) -> Box:
    """A box around strokes, widened by a little on every side, inside its picture."""
    x, y, wide, high = box
    room = round(ROOM * max(wide, high))
    left, top = max(0, x - room), max(0, y - room)
    right, foot = min(width, x + wide + room), min(height, y + high + room)
    return [left, top, right - left, foot - top]


def least_side(width: int, height: int) -> int:
    """How short a side of a box in such a picture may be."""
    return max(1, round(LEAST * max(width, height)))


def within(box: Sequence[float], width: int, height: int) -> Box:
    """The part of a box that lies in its picture; not smaller than a finger can hold."""
    x, y, wide, high = box
    least = least_side(width, height)
    left, to_right = _side(x, x + wide, width, least)
    top, to_foot = _side(y, y + high, height, least)
    return [left, top, to_right - left, to_foot - top]


def _side(start: float, end: float, most: int, least: int) -> tuple[int, int]:
    start, end = sorted((start, end))
    least = min(least, most)
    low = round(min(max(start, 0), most - least))
    return low, max(low + least, round(min(max(end, 0), most)))


def in_two(box: Box, least: int) -> list[Box]:
    """Its halves along its longer side; itself where they would be shorter than `least`."""
    axis = 0 if box[2] >= box[3] else 1
    off = box[axis + 2] // 2
    return cut_at(box, axis, off) if off >= least else [list(box)]


def cut_at(box: Box, axis: int, off: int) -> list[Box]:
    """A box as two, cut so far from its left side (axis 0) or its top (axis 1)."""
    near, far = list(box), list(box)
    near[axis + 2] = off
    far[axis] += off
    far[axis + 2] -= off
    return [near, far]


def ordered(boxes: Sequence[Box]) -> list[Box]:
    """The same boxes in the order of reading, also where neighbours overlap by a little."""
    rows = np.array(boxes, float).reshape(-1, 4)
    rows[:, 0] += INSET * rows[:, 2]
    rows[:, 2] *= 1 - 2 * INSET
    return [list(boxes[n]) for n in in_reading_order(rows)]
