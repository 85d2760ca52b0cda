"""The order in which drawings on a sheet are read: row by row, each from the left."""

from typing import Final

import numpy as np

from planning.tracing.arrays import Floats

_SHARED: Final = 0.5
"""Of the lower of two drawings: side by side on so much of their height they are in one row."""


def in_reading_order(boxes: Floats) -> list[int]:
    """Numbers of boxes (n, 4), x, y, width, height, in the order of reading."""
    left = sorted(range(len(boxes)), key=lambda n: boxes[n, 1] + boxes[n, 3] / 2)
    order: list[int] = []
    while left:
        row = [left.pop(0)]
        # A page is mostly a little askew: a row goes on from the drawing beside, not from its first.
        while True:
            more = [n for n in left if any(_beside(boxes[n], boxes[m]) for m in row[-1:])]
            if not more:
                break
            row.append(more[0])
            left.remove(more[0])
        order += sorted(row, key=lambda n: float(boxes[n, 0]))
    return order


def _beside(one: Floats, other: Floats) -> bool:
    shared = min(one[1] + one[3], other[1] + other[3]) - max(one[1], other[1])
    return bool(shared > _SHARED * min(one[3], other[3]))
