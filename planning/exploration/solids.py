"""Forms that aren't drawn: cut from paper or modelled in clay, lying on a table or a sheet.

Such a form is all over lighter, or all over darker, than what it lies on, and its edge is sharp,
which that of a shadow isn't.
"""

from collections.abc import Mapping
from typing import Final, Literal

import numpy as np

from planning.tracing.arrays import Floats, Gray, Ink
from planning.tracing.opencv import cv2

Way = Literal["darker", "lighter"]

_GROUND_PX: Final = 120
_RING: Final = 0.1
"""Of the shorter side: along the edge of a picture there is mostly the table."""

_ROUNDS: Final = 5
_LEVEL: Final = 0.08
"""The ground's own grain and shadows leave its light by less."""

_LEAST: Final = 0.14
"""Of the ground's light: nothing that differs by less is told from it."""

_SHARES: Final[Mapping[Way, float]] = {"darker": 0.5, "lighter": 0.2}
"""Of how much a form differs: so much does its edge. Half is more than a shadow mostly comes to;
lighter than the ground none is, but a rounded form's own dark side may be hardly."""

_STROKE: Final = 0.013
"""Of the long side, half the width of the thickest stroke: what is nowhere wider is drawn."""

_BLUR_PX: Final = 1.0
_ACROSS_PX: Final[Mapping[Way, int]] = {"darker": 2, "lighter": 8}
_STEP: Final[Mapping[Way, float]] = {"darker": 0.5, "lighter": 0.3}
"""Within so many pixels to either side of its edge a form comes to so much of how it differs: one
that is darker at once, since shadows are soft, one that is lighter a little further in, since a
rounded form has a dark side. The light on a sheet changes more slowly than either."""

_MOSTLY: Final = 0.6
"""Of the edge's way."""

_MASSIVE: Final = 0.7
"""Of a form: what is left without all that isn't wider than strokes; of a shadow over a drawing
less is, and what is left isn't sharp."""

_SMALLEST: Final = 0.05
"""Of the long side."""

_LARGE: Final = 0.25
"""Of the picture: most sheets are larger, few forms that are cut square."""

_SQUARE: Final = 0.8
"""Of the box round it, turned with it: round forms fill less."""


def solids_on(gray: Gray, page: Gray) -> list[Gray]:
    """Each form that lies on a page, 255 where there is one in a picture of working size, 255 on
    the page; those that run off it are none."""
    apart = _apart(gray, page)
    darker, lighter = np.maximum(apart, 0), np.maximum(-apart, 0)
    return [*_forms(darker, page, "darker"), *_forms(lighter, page, "lighter")]


def is_sheet(form: Gray) -> bool:
    """Whether a form may as well be a sheet of paper: it is large and about a rectangle."""
    hull = cv2.convexHull(np.asarray(cv2.findNonZero(form)))
    area, (_, (width, height), _) = np.count_nonzero(form), cv2.minAreaRect(hull)
    return bool(area > _LARGE * form.size and area > _SQUARE * width * height)


def _apart(gray: Gray, page: Gray) -> Ink:
    """How much darker than the ground each place is, in parts of the ground's light; lighter is
    less than 0. The ground is a slow change of light (of second order) that fits most of what is
    along the edges of the page."""
    shrink = min(1.0, _GROUND_PX / max(gray.shape))
    small = cv2.resize(gray, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    paper = cv2.resize(page, small.shape[::-1], interpolation=cv2.INTER_NEAREST) > 0
    reach = max(1, round(_RING * min(small.shape)))
    inner = _eroded(paper.astype(np.uint8), reach)
    ways = _ways(small.shape)
    light = np.asarray(small, np.float64) + 1
    used = paper & (inner == 0)
    used &= np.abs(light / np.median(light[used]) - 1) < 3 * _LEVEL if used.any() else used
    ground = light
    for _ in range(_ROUNDS):
        if np.count_nonzero(used) < ways.shape[2]:
            break
        fit = np.linalg.lstsq(ways[used], light[used], rcond=None)[0]
        ground = np.maximum(ways @ fit, 1)
        used = paper & (np.abs(light / ground - 1) < _LEVEL)
    wide = cv2.resize(ground.astype(np.float32), gray.shape[::-1], interpolation=cv2.INTER_LINEAR)
    soft = cv2.GaussianBlur(gray, (0, 0), _BLUR_PX).astype(np.float32) + 1
    return np.asarray(1 - soft / wide, np.float32)


def _eroded(there: Gray, by: int) -> Gray:
    """By so many pixels, along the edges of the picture too."""
    square = np.ones((2 * by + 1, 2 * by + 1), np.uint8)
    wide = cv2.copyMakeBorder(there, by, by, by, by, cv2.BORDER_CONSTANT, value=0)
    return np.asarray(cv2.erode(wide, square)[by:-by, by:-by], np.uint8)


def _ways(shape: tuple[int, ...]) -> Floats:
    y, x = np.meshgrid(*(np.linspace(-1, 1, side) for side in shape), indexing="ij")
    return np.dstack((np.ones_like(x), x, y, x * x, x * y, y * y))


def _forms(apart: Ink, page: Gray, way: Way) -> list[Gray]:
    """The forms that differ from the ground in one way, by `apart`."""
    clear = np.where(apart > _LEAST, 255, 0).astype(np.uint8)
    long = max(page.shape)
    even = _without_strokes(apart, round(_STROKE * long), way)
    forms = []
    for part in _wide_parts(clear, page, long):
        usual = float(np.median(apart[part > 0]))
        edge = np.where((part > 0) & (apart > _SHARES[way] * usual), 255, 0).astype(np.uint8)
        for form in _wide_parts(edge, page, long):
            whole = _without_holes(form)
            body = np.where(even > _SHARES[way] * usual, whole, 0).astype(np.uint8)
            massive = np.count_nonzero(body) > _MASSIVE * np.count_nonzero(whole)
            if massive and _steep(body, even, usual, way) > _MOSTLY:
                forms.append(whole)
    return forms


def _without_strokes(apart: Ink, half: int, way: Way) -> Ink:
    """The same without lines that are nowhere wider than twice so many pixels."""
    square = np.ones((2 * half + 1, 2 * half + 1), np.uint8)
    how = cv2.MORPH_OPEN if way == "darker" else cv2.MORPH_CLOSE
    return np.asarray(cv2.morphologyEx(apart, how, square), np.float32)


def _wide_parts(there: Gray, page: Gray, long: int) -> list[Gray]:
    """The connected parts that are somewhere wider than strokes, don't touch the edge of the page
    and aren't small."""
    there = _opened(there, 2)
    core = cv2.distanceTransform(there, cv2.DIST_L2, 3) > _STROKE * long
    _, found, stats, _ = cv2.connectedComponentsWithStats(there, connectivity=4)
    labels, boxes = np.asarray(found, np.int32), np.asarray(stats, np.int32)
    off = _eroded(page, 2) == 0
    kept = np.zeros(len(boxes), bool)
    kept[labels[core]] = True
    kept[labels[off]] = False
    kept &= boxes[:, 2:4].max(axis=1) > _SMALLEST * long
    kept[0] = False  # the ground
    return [np.where(labels == label, 255, 0).astype(np.uint8) for label in np.flatnonzero(kept)]


def _without_holes(form: Gray) -> Gray:
    lines, _ = cv2.findContours(form, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return np.asarray(cv2.drawContours(np.zeros_like(form), lines, -1, 255, cv2.FILLED), np.uint8)


def _opened(there: Gray, by: int) -> Gray:
    """Without what is nowhere wider than twice so many pixels."""
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * by + 1, 2 * by + 1))
    return np.asarray(cv2.morphologyEx(there, cv2.MORPH_OPEN, disc), np.uint8)


def _steep(form: Gray, apart: Ink, usual: float, way: Way) -> float:
    """The part of a form's edge at which it begins at once."""
    side = 2 * _ACROSS_PX[way] + 1
    step = cv2.morphologyEx(apart, cv2.MORPH_GRADIENT, np.ones((side, side), np.uint8))
    rim = cv2.morphologyEx(form, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)) > 0
    return float(np.mean(np.asarray(step)[rim] > _STEP[way] * usual))
