"""A silhouette in a frame of its own, blind to size and place, with its mirror and some tilts."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from planning.tracing.arrays import Floats, Gray
from planning.tracing.opencv import cv2

FRAME_PX: Final = 64
_SPREAD_PX: Final = 14.5
"""The form's radius of gyration in the frame: two and a fifth of it reach the frame's edge."""

_DRAWN_PX: Final = 96
"""The long side from which forms are drawn into their frame; finer says nothing there."""

_TILTS_DEG: Final = (0.0, -15.0, -10.0, -5.0, 5.0, 10.0, 15.0)
_TREMBLE_PX: Final = 1.0
_DIRECTIONS: Final = 12
_CELL_PX: Final = 8
_HALF_CELL_PX: Final = _CELL_PX // 2
_CELLS: Final = FRAME_PX // _CELL_PX
_FAR_PX: Final = 10.0


@dataclass(frozen=True)
class Way:
    """How a form is laid into its frame: mirrored or not, then tilted clockwise."""

    mirrored: bool
    tilt_deg: float


WAYS: Final = tuple(Way(mirrored, tilt) for mirrored in (False, True) for tilt in _TILTS_DEG)
"""The first is the form as it is."""

Singles = np.ndarray[tuple[int, ...], np.dtype[np.float32]]


@dataclass(frozen=True)
class Poses:
    """One form in each of `WAYS`, a row each.

    `directions`: those of its edges, place by place, of length 1 (histograms of oriented
    gradients, Dalal and Triggs 2005); `depth`: pixels to its edge, more than 0 within, at most
    `_FAR_PX`; `edge`: where its edge is, its sum 1.
    """

    directions: Singles
    depth: Singles
    edge: Singles


def poses_of(form: Gray) -> Poses:
    """The poses of a filled silhouette (height, width), 255 in the form."""
    shrink = _DRAWN_PX / max(form.shape)
    if shrink < 1:
        form = np.asarray(
            cv2.resize(form, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
        )
    moments = cv2.moments(form)
    middle = np.array((moments["m10"], moments["m01"])) / moments["m00"]
    spread = np.sqrt((moments["mu20"] + moments["mu02"]) / moments["m00"])
    rows = [_pose(_framed(form, middle, _SPREAD_PX / spread, way)) for way in WAYS]
    directions, depth, edge = (np.array(each, np.float32) for each in zip(*rows, strict=True))
    return Poses(directions, depth, edge)


def turned(way: Way) -> Floats:
    """(2, 2): takes a place beside a form's middle to where it is in that pose."""
    turn = np.radians(way.tilt_deg)
    across = -1.0 if way.mirrored else 1.0
    return np.array(((across * np.cos(turn), -np.sin(turn)), (across * np.sin(turn), np.cos(turn))))


def _framed(form: Gray, middle: Floats, scale: float, way: Way) -> Singles:
    there = scale * turned(way)
    half = (FRAME_PX - 1) / 2
    place = np.column_stack((there, half - there @ middle))
    drawn = cv2.warpAffine(form, place, (FRAME_PX, FRAME_PX), flags=cv2.INTER_LINEAR)
    # A hand that trembles draws the same form.
    return np.asarray(cv2.GaussianBlur(drawn.astype(np.float32) / 255, (0, 0), _TREMBLE_PX))


def _pose(drawn: Singles) -> tuple[Singles, Singles, Singles]:
    inside = (drawn > 1 / 2).astype(np.uint8)
    within, beyond = (cv2.distanceTransform(part, cv2.DIST_L2, 5) for part in (inside, 1 - inside))
    depth = np.asarray(within - beyond, np.float32)
    edge = (np.abs(depth) <= 1).astype(np.float32)
    return (
        _directions(drawn),
        np.clip(depth, -_FAR_PX, _FAR_PX).ravel(),
        np.asarray(edge / edge.sum(), np.float32).ravel(),
    )


def _directions(drawn: Singles) -> Singles:
    soft = cv2.GaussianBlur(drawn, (0, 0), 1.5)
    across, down = cv2.Sobel(soft, cv2.CV_32F, 1, 0), cv2.Sobel(soft, cv2.CV_32F, 0, 1)
    size = np.hypot(across, down).ravel()
    at = (np.arctan2(down, across) / (2 * np.pi) % 1).ravel() * _DIRECTIONS
    low = at.astype(int) % _DIRECTIONS
    part = at - np.floor(at)
    # Every edge counts for the two directions and the cells that are nearest to it.
    pixels = np.arange(len(size))
    layers = np.zeros((len(size), _DIRECTIONS), np.float32)
    layers[pixels, low] = size * (1 - part)
    layers[pixels, (low + 1) % _DIRECTIONS] = size * part
    fine = 2 * _CELLS
    halves = layers.reshape(fine, _HALF_CELL_PX, fine, _HALF_CELL_PX, -1).mean(axis=(1, 3))
    halves = np.asarray(cv2.GaussianBlur(halves, (0, 0), 1.0))
    told = np.sqrt(halves.reshape(_CELLS, 2, _CELLS, 2, -1).mean(axis=(1, 3)).ravel())
    return np.asarray(told / np.linalg.norm(told), np.float32)
