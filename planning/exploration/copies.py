"""The same drawing again: photographed or scanned another time, mirrored, turned a little.

The lines of one are laid on those of the other by a homography, which undoes the view; of the same
drawing all of them then coincide, of a careful redrawing most don't. Closest points on a field of
distances: Fitzgibbon 2003, Robust registration of 2D and 3D point sets.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from planning.tracing.arrays import Floats, Gray
from planning.tracing.opencv import cv2

from .poses import Singles, Way, turned

FIELD_PX: Final = 240
_SPREAD_PX: Final = 50.0
"""Radius of gyration of a form in its field."""

_HALF: Final = (FIELD_PX - 1) / 2
_STROKE: Final = 100
_POINTS: Final = 300
_KEPT: Final = 0.85
"""So many of the lines count: a shadow hides one, an overshoot comes or goes."""

_FAR_PX: Final = 12.0
_SOFT_PX: Final = 1.5
_STILL: Final = 0.3
"""Holds every part of the view to where it is, in pixels a step."""

_AFFINE, _PROJECTIVE = 6, 8
_ROUNDS: Final = ((_AFFINE, 12), (_PROJECTIVE, 8))


@dataclass(frozen=True)
class Lines:
    """A drawing's strokes in a square field (`FIELD_PX`), its middle in the middle.

    `places` (n, 2) are pixels from there along the middles of strokes, `away` the distance to such
    a middle, `slope` (…, 2) how that grows, `soft` the strokes, blurred.
    """

    places: Floats
    away: Singles
    slope: Singles
    soft: Singles


def lines_of(form: Gray, strokes: Gray) -> Lines:
    """The lines of a drawing from its filled form and its strokes, 255 in both."""
    moments = cv2.moments(form)
    middle = np.array((moments["m10"], moments["m01"])) / moments["m00"]
    spread = np.sqrt((moments["mu20"] + moments["mu02"]) / moments["m00"])
    scale = _SPREAD_PX / spread
    place = np.column_stack((scale * np.eye(2), _HALF - scale * middle))
    fine = cv2.GaussianBlur(strokes, (0, 0), max(0.1, 0.45 / scale))
    drawn = cv2.warpAffine(fine, place, (FIELD_PX, FIELD_PX))
    deep = cv2.distanceTransform((drawn > _STROKE).astype(np.uint8), cv2.DIST_L2, 3)
    ridge = (deep > 0) & (deep >= cv2.dilate(deep, np.ones((3, 3), np.uint8)))
    away = cv2.distanceTransform((~ridge).astype(np.uint8), cv2.DIST_L2, 5)
    away = np.minimum(away, _FAR_PX)
    even = cv2.GaussianBlur(away, (0, 0), 1.0)
    slope = [cv2.Sobel(even, cv2.CV_32F, *way, scale=1 / 8) for way in ((1, 0), (0, 1))]
    rows, columns = np.nonzero(ridge)
    some = np.linspace(0, len(rows) - 1, min(_POINTS, len(rows))).astype(int)
    return Lines(
        np.column_stack((columns[some], rows[some])) - _HALF,
        np.asarray(away),
        np.dstack(slope),
        np.asarray(cv2.GaussianBlur(drawn, (0, 0), _SOFT_PX).astype(np.float32)),
    )


def coincidence(one: Lines, other: Lines, way: Way, enough: float = 0.0) -> float:
    """How far the strokes of two drawings are the same: their correlation once the one is laid on
    the other, and the other on the one, the lesser of both; 1 for the very same.

    `way` brings `other` near to `one`, as `similarity` found it. Where the first is no more than
    `enough` the second isn't tried.
    """
    near = turned(way)
    forth = _laid(one, other, near)
    if forth <= enough:
        return forth
    return min(forth, _laid(other, one, np.asarray(np.linalg.inv(near), np.float64)))


def _laid(one: Lines, other: Lines, near: Floats) -> float:
    view = _view(other.places, one, near)
    middle = np.array(((1, 0, _HALF), (0, 1, _HALF), (0, 0, 1)))
    there = middle @ view @ np.linalg.inv(middle)
    laid = cv2.warpPerspective(other.soft, there, (FIELD_PX, FIELD_PX))
    if not laid.any():
        return 0.0  # it went out of sight
    return float(np.corrcoef(laid.ravel(), one.soft.ravel())[0, 1])


def _view(places: Floats, on: Lines, start: Floats) -> Floats:
    """The homography (3, 3) of pixels from the middle that lays `places` on the lines of `on`."""
    view = np.eye(3)
    view[:2, :2] = start
    for free, rounds in _ROUNDS:
        for _ in range(rounds):
            view = view + _step(places, on, view, free)
    return view


def _step(places: Floats, on: Lines, view: Floats, free: int) -> Floats:
    flat = np.column_stack((places, np.ones(len(places)))) @ view.T
    seen = flat[:, :2] / flat[:, 2:]
    at = np.clip(seen + _HALF, 0, FIELD_PX - 1).astype(np.float32)
    away = _at(on.away, at)
    near = away <= np.quantile(away, _KEPT)
    steep = _at(on.slope, at)[near]
    x, y = places[near].T / _SPREAD_PX
    lean = -(steep * seen[near]).sum(axis=1) / _SPREAD_PX
    across, down = steep.T
    ways = (across * x, across * y, across, down * x, down * y, down, lean * x, lean * y)
    slopes = np.column_stack(ways[:free])
    square = slopes.T @ slopes + _STILL * np.eye(free)
    more = np.zeros(9)
    more[:free] = np.linalg.solve(square, -slopes.T @ away[near])
    size = _SPREAD_PX
    scaled = more.reshape(3, 3) / np.array(
        ((size, size, 1), (size, size, 1), (size**2, size**2, 1))
    )
    return np.asarray(scaled)


def _at(table: Singles, places: Singles) -> Floats:
    """The values of a field between its pixels."""
    across, down = places[:, :1], places[:, 1:]
    return np.asarray(cv2.remap(table, across, down, cv2.INTER_LINEAR)[:, 0], np.float64)
