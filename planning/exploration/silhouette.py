"""From a picture to the form that is drawn in it: one filled silhouette, or why there is none."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from planning.tracing.arrays import Gray
from planning.tracing.opencv import cv2

from .drawing import main_drawing
from .filling import enclosed, trimmed
from .paper import page_in, strokes_on, working_gray
from .reasons import NoForm
from .solids import is_sheet, solids_on

_LEAST_PX: Final = 48
_ROOM: Final = 0.09
_GAPS: Final = (0.0, 0.006, 0.012, 0.02, 0.03, 0.045, 0.065, 0.09)
"""How wide a gap is closed, in parts of the drawing's size, until what it encloses holds."""

_FILLED: Final = 0.5
"""Of what lies between its strokes, along rows and along columns: less has leaked out."""

_LOOSE: Final = 0.02
"""Of the strokes: ends that stick out. More bounds a part that has leaked out."""

_COST_OF_GAP: Final = 0.4
_EDGE_PX: Final = 3


@dataclass(frozen=True)
class Drawn:
    """The one drawing of a picture, (height, width) both: 255 in its filled form and on its
    strokes, 0 elsewhere."""

    form: Gray
    strokes: Gray


def form_in(photo: Gray) -> Drawn:
    """The drawing in an upright picture, gray or RGB, 8 bits, cut to it. Raises NoForm."""
    gray = working_gray(photo)
    if min(gray.shape) < _LEAST_PX:
        raise NoForm("too_small")
    solid = _solid_in(gray)
    return _drawn_in(gray) if solid is None else _outlined(solid)


def _solid_in(gray: Gray) -> Gray | None:
    """The largest form that lies in the picture or on the page in it, not drawn."""
    for page in (np.full_like(gray, 255), page_in(gray)):
        found = [form for form in solids_on(gray, page) if not is_sheet(form)]
        if found:
            return max(found, key=np.count_nonzero)
    return None


def _outlined(form: Gray) -> Drawn:
    """A form that isn't drawn, with its edge for strokes."""
    x, y, width, height = cv2.boundingRect(form)
    form = np.pad(form[y : y + height, x : x + width], _EDGE_PX + 1)
    edge = cv2.morphologyEx(form, cv2.MORPH_GRADIENT, np.ones((_EDGE_PX, _EDGE_PX), np.uint8))
    return Drawn(form, np.asarray(edge, np.uint8))


def _drawn_in(gray: Gray) -> Drawn:
    strokes = strokes_on(gray)
    drawn = main_drawing(strokes)
    size = max(drawn.shape)
    room = round(_ROOM * size) + 4
    drawn = np.pad(drawn, room)
    form = _filled(drawn, size, strokes.width_px)
    x, y, width, height = cv2.boundingRect(form | drawn)
    at = np.s_[y - 1 : y + height + 1, x - 1 : x + width + 1]
    return Drawn(form[at], drawn[at])


def _filled(drawn: Gray, size: int, width_px: float) -> Gray:
    """What the strokes enclose, with the gap closed that leaves fewest of them loose."""
    least_area = _FILLED * np.count_nonzero(_between(drawn) & _between(drawn.T).T)
    best, least = None, np.inf
    for gap in _GAPS:
        form = trimmed(enclosed(drawn, round(gap * size / 2)), width_px, size)
        if np.count_nonzero(form) < least_area:
            continue
        loose = _loose(drawn, form, width_px)
        if loose + _COST_OF_GAP * gap < least:
            best, least = form, loose + _COST_OF_GAP * gap
        if loose < _LOOSE:
            break
    if best is None:
        raise NoForm("open_line")
    return best


def _loose(drawn: Gray, form: Gray, width_px: float) -> float:
    """The part of the strokes that bounds nothing of what is filled."""
    reach = 2 * round(width_px) + 3
    near = cv2.dilate(form, np.ones((reach, reach), np.uint8))
    return float(np.count_nonzero((near == 0) & (drawn > 0)) / np.count_nonzero(drawn))


def _between(drawn: Gray) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Between the first and the last stroke of each row."""
    on = drawn > 0
    before = np.logical_or.accumulate(on, axis=1)
    return np.asarray(before & np.logical_or.accumulate(on[:, ::-1], axis=1)[:, ::-1])
