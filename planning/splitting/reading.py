"""The order in which drawings on a sheet are read: row by row, each from the left."""

from itertools import pairwise
from typing import Final

import numpy as np

from planning.tracing.arrays import Floats

_SHARED: Final = 0.2
"""Of the lower of two drawings: side by side on so much of their height they are in one row."""

_TURNS: Final = np.tan(np.radians(np.linspace(-10, 10, 41)))
"""How far rows climb: no page is photographed more askew."""


def in_reading_order(boxes: Floats) -> list[int]:
    """Numbers of boxes (n, 4), x, y, width, height, in the order of reading.

    Between rows there is mostly a level or somewhat leaning strip that is empty all across the
    page. Where there is none, a row goes on to either side from the drawing next to it.
    """
    if not len(boxes):
        return []
    order: list[int] = []
    for band in _bands(boxes):
        one_row = all(_beside(boxes[n], boxes[m]) for n, m in pairwise(band))
        order += band if one_row else [band[n] for n in _by_rows(boxes[band])]
    return order


def _bands(boxes: Floats) -> list[list[int]]:
    """Boxes between empty strips, from above, each band from the left; the strips lean as leaves
    them widest."""
    return min((_cut(boxes, climb) for climb in _TURNS), key=lambda cut: cut[0])[1]


def _cut(boxes: Floats, climb: float) -> tuple[float, list[list[int]]]:
    """How much of the page is not empty across, and the bands of boxes that it is cut into."""
    tops = boxes[:, 1] + climb * (boxes[:, 0] + boxes[:, 2] / 2)
    ends = tops + boxes[:, 3]
    bands: list[list[int]] = []
    taken, end = 0.0, -np.inf
    for number in np.argsort(tops).tolist():
        if tops[number] > end:
            bands.append([])
        bands[-1].append(number)
        taken += max(0.0, float(ends[number] - max(end, tops[number])))
        end = max(end, float(ends[number]))
    return taken, [sorted(band, key=lambda n: float(boxes[n, 0])) for band in bands]


def _beside(box: Floats, other: Floats) -> bool:
    """Whether neither of two boxes is above the other."""
    return bool(max(box[0], other[0]) >= min(box[0] + box[2], other[0] + other[2]))


def _by_rows(boxes: Floats) -> list[int]:
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
    return bool(beside and all(_beside(box, boxes[n]) for n in row))


def _apart(row: list[int], boxes: Floats, number: int) -> Floats:
    """How far, from middle to middle, each box of a row is to the side of another."""
    middles = boxes[:, 0] + boxes[:, 2] / 2
    return np.asarray(np.abs(middles[row] - middles[number]))
