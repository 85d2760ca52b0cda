"""The order in which drawings on a sheet are read: row by row, each from the left."""

from typing import Final

import numpy as np

from planning.tracing.arrays import Floats

_SHARED: Final = 0.2
"""Of the lower of two drawings: side by side on so much of their height they are in one row."""


def in_reading_order(boxes: Floats) -> list[int]:
    """Numbers of boxes (n, 4), x, y, width, height, in the order of reading.

    A page is mostly a little askew, and drawings aren't level: a row goes on to either side from
    the drawing next to it, not from the first that was found.
    """
    left = sorted(range(len(boxes)), key=lambda n: float(boxes[n, 1] + boxes[n, 3] / 2))
    order: list[int] = []
    while left:
        row = [left.pop(0)]
        while more := [n for n in left if _goes_on(row, boxes, n)]:
            nearest = min(more, key=lambda n: float(_apart(row, boxes, n).min()))
            row.append(nearest)
            left.remove(nearest)
        order += sorted(row, key=lambda n: float(boxes[n, 0]))
    return order


def _goes_on(row: list[int], boxes: Floats, number: int) -> bool:
    """Whether a box is beside the nearest of a row, and above or below none of it."""
    box = boxes[number]
    nearest = boxes[row][int(_apart(row, boxes, number).argmin())]
    shared = min(box[1] + box[3], nearest[1] + nearest[3]) - max(box[1], nearest[1])
    beside = shared > _SHARED * min(box[3], nearest[3])
    to_end = np.minimum(boxes[row, 0] + boxes[row, 2], box[0] + box[2])
    return bool(beside and (to_end - np.maximum(boxes[row, 0], box[0]) < 0).all())


def _apart(row: list[int], boxes: Floats, number: int) -> Floats:
    """How far, from middle to middle, each box of a row is to the side of another."""
    middles = boxes[:, 0] + boxes[:, 2] / 2
    return np.asarray(np.abs(middles[row] - middles[number]))
