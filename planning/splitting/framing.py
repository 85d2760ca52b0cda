"""Frames drawn round the drawings of a sheet, one each or as a grid: they are recognised by their
empty corners and taken away line by line, so that what touches or crosses them comes free."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from planning.exploration.paper import Strokes
from planning.tracing.arrays import Gray
from planning.tracing.opencv import cv2

from .furniture import lies_in
from .parts import Part, parts_on

_SQUARE: Final = 0.85
"""Of the box round a hole, turned with it: what fills as much is about a rectangle."""

_LEAST: Final = 0.06
"""Of the page's long side: a frame is at least so wide and high."""

_HELD: Final = 0.02
"""Of a frame: what is drawn in it is at least so large."""

_FEWEST: Final = 2
_SIDE: Final = 0.6
"""Of the usual frame's side: so long a straight line is one of them."""

_WHOLE: Final = 0.85
"""Of the usual frame's side: what is less wide and less high holds none of its sides whole."""

_ASKEW: Final = 0.2
_BREAK_PX: Final = 12


@dataclass(frozen=True)
class _Cell:
    """The box of what a frame leaves free within."""

    x: int
    y: int
    width: int
    height: int


def unframed_parts(strokes: Strokes) -> list[Part]:
    """The parts of a page, those of its frames left out."""
    parts = parts_on(strokes)
    unframed = without_frames(strokes, parts)
    return parts if unframed is strokes else parts_on(unframed)


def without_frames(strokes: Strokes, parts: list[Part]) -> Strokes:
    """The strokes of a page without the lines of its frames, of which there are several about
    rectangular ones with something drawn in them; else the same."""
    least = round(_LEAST * max(strokes.drawn.shape))
    cells = {id(part): _cells(part, parts, least) for part in parts if part.long > least}
    every = [cell for some in cells.values() for cell in some]
    if len(every) < _FEWEST:
        return strokes
    wide, high = (
        float(np.median([getattr(cell, side) for cell in every])) for side in ("width", "height")
    )
    drawn = strokes.drawn.copy()
    for part in parts:
        large = part.width > _WHOLE * wide or part.height > _WHOLE * high
        drawn_in = any(lies_in(part, other) for other in parts)
        if large and not drawn_in and not any(_within(part, cell) for cell in every):
            at = np.s_[part.y : part.y + part.height, part.x : part.x + part.width]
            drawn[at][_sides(part.strokes, wide, high, strokes.width_px) > 0] = 0
    return replace(strokes, drawn=drawn)


def _cells(part: Part, parts: list[Part], least: int) -> list[_Cell]:
    """The about rectangular holes of a part with something large enough in them."""
    lines, kin = cv2.findContours(part.strokes, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_SIMPLE)
    found = []
    for line, (_, _, _, parent) in zip(lines, [] if kin is None else kin[0], strict=True):
        x, y, width, height = cv2.boundingRect(line)
        if parent < 0 or min(width, height) < least:
            continue
        area, (_, turned, _) = float(cv2.contourArea(line)), cv2.minAreaRect(line)
        cell = _Cell(part.x + x, part.y + y, width, height)
        held = [p for p in parts if p is not part and p.area > _HELD * area and _within(p, cell)]
        if area > _SQUARE * turned[0] * turned[1] and held:
            found.append(cell)
    return found


def _within(part: Part, cell: _Cell) -> bool:
    return (
        cell.x <= part.x
        and cell.y <= part.y
        and part.x + part.width <= cell.x + cell.width
        and part.y + part.height <= cell.y + cell.height
    )


def _sides(strokes: Gray, wide: float, high: float, width_px: float) -> Gray:
    """255 on the straight lines of a part, level or upright, that are as long as sides of frames
    as wide and high."""
    sides = np.zeros_like(strokes)
    for on, marked, length in ((strokes, sides, wide), (strokes.T, sides.T, high)):
        found = cv2.HoughLinesP(
            np.ascontiguousarray(on),
            1,
            np.pi / 720,
            round(0.5 * _SIDE * length),
            minLineLength=_SIDE * length,
            maxLineGap=_BREAK_PX,
        )
        line = np.zeros(on.shape, np.uint8)
        for x, y, to_x, to_y in [] if found is None else found[:, 0].tolist():
            if abs(to_y - y) < _ASKEW * abs(to_x - x):
                cv2.line(line, (x, y), (to_x, to_y), 255, round(width_px) + 2)
        np.maximum(marked, line, out=marked)
    return sides
