"""Ruled and squared paper: its printed lines are found and taken away, those of the hand stay."""

from typing import Final

import numpy as np

from planning.tracing.arrays import Floats, Gray, Ink
from planning.tracing.opencv import cv2

Whole = np.ndarray[tuple[int, ...], np.dtype[np.intp]]

_TURN: Final = float(np.radians(14))
"""No page is photographed more askew."""

_STEP: Final = float(np.radians(0.3))
_SPAN: Final = 0.35
_COVERED: Final = 0.55
"""A printed line runs over the page: so much of its way is seen, and as much near both ends."""

_ENDS: Final = 8

FEWEST: Final = 3
_MOST: Final = 1500
_APART_PX: Final = 4.0
_HALF_PX: Final = 2
_LIGHTER: Final = 0.75
"""A ruling is lighter than the strokes; where it isn't, nothing tells them apart."""

_CROSSING: Final = 1.7
"""Where it is so much darker than the ruling is, a stroke lies over it."""


def without_ruling(ink: Ink, page: Gray, faint: float) -> Ink:
    """The ink without straight lines that run over the page, of which there are at least three
    about level or about upright; `faint` is the lightest ink that counts, `page` 255 on the paper.
    """
    seen = ((ink > faint) & (page > 0)).astype(np.uint8)
    if not seen.any():
        return ink
    strokes = float(np.quantile(ink[page > 0], 0.995))
    left = ink.copy()
    # Hough's angles run from 0 to π, so that upright lines are looked for in the picture on its
    # side: a view of the same numbers.
    for was, on, there, paper in ((ink, left, seen, page), (ink.T, left.T, seen.T, page.T)):
        lines = [line for line in level_lines(there) if _covered(there, paper, line) > _COVERED]
        if len(lines) >= FEWEST:
            for line in lines:
                erase(on, was, line, strokes)
    return left


def level_lines(seen: Gray) -> list[Floats]:
    """About level straight lines, the clearest first: the row of each at every column."""
    found = cv2.HoughLines(
        np.ascontiguousarray(seen),
        1,
        _STEP,
        int(_SPAN * seen.shape[1]),
        min_theta=np.pi / 2 - _TURN,
        max_theta=np.pi / 2 + _TURN,
    )
    if found is None:
        return []
    rho, theta = found[:_MOST, 0].astype(float).T

    def rows(which: list[int] | slice, columns: Whole) -> Floats:
        cos, sin = np.cos(theta[which, None]), np.sin(theta[which, None])
        return np.asarray((rho[which, None] - columns * cos) / sin)

    # Lines are told apart by their rows at five columns.
    at = rows(slice(None), np.linspace(0, seen.shape[1] - 1, 5).astype(int))
    kept: list[int] = []
    for number, line in enumerate(at):
        if (np.abs(at[kept] - line).min(axis=1) > _APART_PX).all():
            kept.append(number)
    return list(rows(kept, np.arange(seen.shape[1])))


def near_line(table: Ink | Gray, line: Floats) -> tuple[Whole, Whole, Floats]:
    """Columns and rows of a line within a picture, and the largest of `table` beside each."""
    rows = np.rint(line).astype(int)
    columns: Whole = np.flatnonzero((rows >= 1) & (rows < table.shape[0] - 1))
    rows = rows[columns]
    near = np.max([table[rows + by, columns] for by in (-1, 0, 1)], axis=0)
    return columns, rows, np.asarray(near, np.float64)


def _covered(seen: Gray, page: Gray, line: Floats) -> float:
    """The part of a line's way over the page that is seen, or that near either end if less."""
    columns, rows, near = near_line(seen, line)
    along = near[page[rows, columns] > 0]
    end = len(along) // _ENDS
    parts = (along, along[:end], along[len(along) - end :])
    return min(float(part.sum()) / max(1, len(part)) for part in parts)


def erase(left: Ink, ink: Ink, line: Floats, strokes: float) -> None:
    """Take a line out of `left` where no stroke of the usual darkness crosses it in `ink`."""
    columns, rows, dark = near_line(ink, line)
    usual = float(np.median(dark))
    if usual > _LIGHTER * strokes:
        return
    weak = dark < _CROSSING * usual
    for by in range(-_HALF_PX, _HALF_PX + 1):
        at = np.clip(rows[weak] + by, 0, len(left) - 1)
        left[at, columns[weak]] = 0
