"""Pencil, pen or charcoal on a photographed page: where the strokes are, without the paper's own
lines, its edges, the table and the shadows."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from planning.tracing.arrays import Floats, Gray, Ink
from planning.tracing.opencv import cv2

from .ruling import without_ruling

WORKING_PX: Final = 720
"""The long side at which drawings are read: a pencil line is two or three pixels wide."""

_SHADOW: Final = 0.035
"""Of the long side: darker patches that are wider are no strokes."""

_FAINT: Final = 0.045
"""No stroke is less dark against its paper; grain and noise are."""

LEAST_RULED: Final = 0.6 * _FAINT
"""The lightest printed line."""

_DARK: Final = 0.33
"""Of the darkest strokes: what is darker is one for sure; half as dark where it goes on."""

_MARGIN: Final = 12
_FRAME_PX: Final = 3
_LEAST_PAGE: Final = 0.2
_SHRINK: Final = 0.25
_EDGE: Final = 0.012
"""Of the long side: so much along the edges of the paper is shadow and curl."""

_LEAST_EDGE: Final = 0.08
_ACROSS_PX: Final = 4.0
_STEP: Final = 0.12
"""How much darker the table is within a few pixels; a shadow's edge is softer."""


@dataclass(frozen=True)
class Strokes:
    """Where there is paper and where it is drawn on, 255 in both (height, width), and how wide
    the lines are."""

    page: Gray
    drawn: Gray
    width_px: float


def working_gray(photo: Gray) -> Gray:
    """An upright picture, gray or RGB, at the size at which drawings are read."""
    if photo.shape[2:]:
        photo = np.asarray(cv2.cvtColor(photo, cv2.COLOR_RGB2GRAY))
    shrink = WORKING_PX / max(photo.shape)
    if shrink >= 1:
        return photo
    size = (max(1, round(photo.shape[1] * shrink)), max(1, round(photo.shape[0] * shrink)))
    return np.asarray(cv2.resize(photo, size, interpolation=cv2.INTER_AREA))


def strokes_on(gray: Gray) -> Strokes:
    """The strokes on the page in a picture of working size; none where nothing is drawn."""
    page = page_in(gray)
    return strokes_in(without_ruling(ink_on(gray, page), page, LEAST_RULED), page)


def strokes_in(ink: Ink, page: Gray) -> Strokes:
    """The strokes among ink on a page, told from its grain by how dark most of them are."""
    # Along the edges of a picture there are those of the paper, darker than any stroke.
    high, wide = (side // _MARGIN for side in ink.shape)
    inner = np.s_[high : ink.shape[0] - high, wide : ink.shape[1] - wide]
    on_paper = ink[inner][page[inner] > 0]
    clear = max(_FAINT, _DARK * float(np.quantile(on_paper, 0.997)) if len(on_paper) else 0.0)
    sure = ink > clear
    maybe = ink > max(0.7 * _FAINT, 0.45 * clear)
    drawn = _reached(maybe.astype(np.uint8), sure)
    return Strokes(page, drawn, _width(drawn))


def page_in(gray: Gray, least_edge: float = _LEAST_EDGE, askew: float = 1.0) -> Gray:
    """255 on the sheet of paper, away from its edges; everywhere where none of them is seen.

    An edge is at least `least_edge` of the picture's long side long, and leaves level or upright by
    at most `askew` of its own length.
    """
    page = np.full_like(gray, 255)
    cv2.rectangle(page, (0, 0), (gray.shape[1] - 1, gray.shape[0] - 1), 0, _FRAME_PX)
    soft = cv2.resize(gray, None, fx=_SHRINK, fy=_SHRINK, interpolation=cv2.INTER_AREA)
    soft = np.asarray(cv2.morphologyEx(soft, cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8)))
    _, bright = cv2.threshold(soft, 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    lines, _ = cv2.findContours(bright, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    largest = max(lines, key=cv2.contourArea, default=None)
    if largest is None or cv2.contourArea(largest) < _LEAST_PAGE * soft.size:
        return page
    hull = cv2.approxPolyDP(cv2.convexHull(largest), _EDGE * max(soft.shape), closed=True)
    sides = np.asarray(hull[:, 0], np.float64)
    beyond = _beyond_edges(np.asarray(soft, np.uint8), sides, least_edge, askew)
    beyond = np.asarray(
        cv2.resize(beyond, gray.shape[::-1], interpolation=cv2.INTER_NEAREST), np.uint8
    )
    inside = np.where(beyond > 0, 0, page).astype(np.uint8)
    return inside if np.count_nonzero(inside) > _LEAST_PAGE * page.size else page


def _beyond_edges(soft: Gray, hull: Floats, least_edge: float, askew: float) -> Gray:
    """What lies beyond those sides of the bright part that are edges of a sheet."""
    beyond = np.zeros_like(soft)
    middle, far = hull.mean(axis=0), 2 * max(soft.shape)
    for start, end in zip(hull, np.roll(hull, -1, axis=0), strict=True):
        long = float(np.linalg.norm(end - start))
        along = (end - start) / long
        out = np.array((-along[1], along[0]))
        out *= np.sign(out @ (start - middle))
        if long < least_edge * max(soft.shape) or np.abs(along).min() > askew:
            continue
        if _gets_dark(soft, start, end, out):
            sides = (start - far * along, end + far * along)
            corners = [*sides, sides[1] + far * out, sides[0] + far * out]
            cv2.fillConvexPoly(beyond, np.rint(corners).astype(np.int32), 255)
    reach = 2 * round(_EDGE * max(soft.shape)) + 1
    return np.asarray(cv2.dilate(beyond, np.ones((reach, reach), np.uint8)), np.uint8)


def _gets_dark(soft: Gray, start: Floats, end: Floats, out: Floats) -> bool:
    """Whether it gets darker at once across a line, as from paper to table and not into shadow."""
    places = start + np.linspace(0.1, 0.9, 25)[:, np.newaxis] * (end - start)
    near, far = (np.rint(places + by * out).astype(int) for by in (-_ACROSS_PX, _ACROSS_PX))
    size = np.array(soft.shape[::-1])
    inside = ((far >= 0) & (far < size) & (near >= 0) & (near < size)).all(axis=1)
    if np.count_nonzero(inside) < len(places) / 2:
        return False
    light: Floats = soft[near[inside, 1], near[inside, 0]].astype(np.float64)
    dark: Floats = soft[far[inside, 1], far[inside, 0]].astype(np.float64)
    return bool(np.median(1 - dark / np.maximum(light, 1.0)) > _STEP)


def ink_on(gray: Gray, page: Gray, shadow: float = _SHADOW) -> Ink:
    """How much darker than the paper round it each place of a page is, 0 to 1.

    Patches wider than `shadow`, of the picture's long side, are none of it.
    """
    reach = 2 * round(shadow * max(gray.shape) / 2) + 1
    soft = cv2.GaussianBlur(gray, (0, 0), 0.9)
    paper = cv2.morphologyEx(soft, cv2.MORPH_CLOSE, np.ones((reach, reach), np.uint8))
    paper = cv2.blur(paper, (reach, reach))
    ink = (np.asarray(paper, np.float32) - soft) / np.maximum(paper, 1)
    np.clip(ink, 0, 1, out=ink)
    ink[page == 0] = 0
    return np.asarray(ink)


def _reached(maybe: Gray, sure: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> Gray:
    """255 in the parts of `maybe` that hold a pixel of `sure`."""
    count, labels = cv2.connectedComponents(maybe, connectivity=8)
    kept = np.zeros(count, np.uint8)
    kept[labels[sure]] = 255
    return np.asarray(kept[labels])


def _width(drawn: Gray) -> float:
    """As wide as strokes are that have this area within this rim."""
    rim = cv2.morphologyEx(drawn, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8))
    area, around = np.count_nonzero(drawn), np.count_nonzero(np.asarray(rim))
    return 2.5 * float(area) / max(1.0, float(around))
