"""The scale card in a photograph: the corners of its markers, to a small part of a pixel."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.ndimage import gaussian_filter1d

from .arrays import Floats, Gray
from .opencv import cv2
from .sampling import across, sampled
from .scale_card import CELL_MM, MARKER_MM, PLACES, corners_mm

_SEARCHED_PX: Final = 2000
"""The long side in which markers are looked for: those of a usable card are 60 pixels there."""

_NORMALS: Final = 40
_STEP_PX: Final = 0.25
_SOFT: Final = 4.0  # steps: a pixel
_FOOT: Final = 0.25  # slower rises are grain of the paper and noise
_LEFT_OF_BLUR: Final = 0.66  # of a Gaussian's deviation, once its feet below that are cut off


@dataclass(frozen=True)
class Card:
    """A card that was found: its corners on paper in mm and in the photo in pixels, (n, 2) each,
    four for each marker. `blur_px` is how far its edges are smeared (standard deviation)."""

    paper: Floats
    photo: Floats
    markers: tuple[int, ...]
    blur_px: float

    @property
    def marker_px(self) -> float:
        """The mean side of a marker in the photo."""
        around = self.photo.reshape(-1, 4, 2)
        return float(np.linalg.norm(around - np.roll(around, 1, axis=1), axis=2).mean())


def card_in(photo: Gray) -> Card | None:
    """The card in a photo (height, width), None when none of its markers is seen.

    Markers of the dictionary that aren't the card's, and such as stand there twice, are passed by.
    """
    rough = _markers(photo)
    if not rough:
        return None
    edged = {marker: _sharpened(photo, corners) for marker, corners in sorted(rough.items())}
    return Card(
        paper=np.concatenate([np.array(corners_mm(marker)) for marker in edged]),
        photo=np.concatenate([corners for corners, _ in edged.values()]),
        markers=tuple(edged),
        blur_px=float(np.median([blur for _, blur in edged.values()])),
    )


def _markers(photo: Gray) -> dict[int, Floats]:
    """Corners (4, 2) of each marker, clockwise from its own upper left, to about a pixel."""
    shrink = max(1.0, max(photo.shape) / _SEARCHED_PX)
    small = cv2.resize(photo, None, fx=1 / shrink, fy=1 / shrink, interpolation=cv2.INTER_AREA)
    detector = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50))
    corners, ids, _ = detector.detectMarkers(small)
    numbers = [] if ids is None else [int(each) for each in ids.ravel()]
    scale = np.array(photo.shape[::-1]) / np.array(small.shape[::-1])
    return {
        number: (np.asarray(each, dtype=np.float64).reshape(4, 2) + 0.5) * scale - 0.5
        for number, each in zip(numbers, corners, strict=True)
        if number in PLACES and numbers.count(number) == 1
    }


def _sharpened(photo: Gray, corners: Floats) -> tuple[Floats, float]:
    """Corners where straight lines through the marker's four edges meet, and the edges' blur.

    The middle of the rise from black to white is where the edge is, however blurred: a corner
    of a blurred square would be found inside it.
    """
    for _ in range(2):
        ends = np.roll(corners, -1, axis=0)
        edges, blurs = zip(*map(_edge, [photo] * 4, corners, ends), strict=True)
        corners = np.stack([_meeting(edges[i - 1], edges[i]) for i in range(4)])
    return corners, float(np.mean(blurs))


def _edge(photo: Gray, start: Floats, end: Floats) -> tuple[tuple[Floats, Floats], float]:
    """A point and the direction of the straight edge, and its blur in pixels."""
    half = 0.75 * CELL_MM / MARKER_MM * float(np.hypot(*(end - start)))
    offsets = np.arange(-half, half + _STEP_PX, _STEP_PX)
    places = across(start, end, _NORMALS, offsets)
    values = sampled(photo, places)
    between = (offsets[1:] + offsets[:-1]) / 2
    rise = np.diff(gaussian_filter1d(values, _SOFT, axis=1), axis=1)
    middle = _moments(rise, between)[0]
    # The corners are known to a pixel by now, so that the mean of all edges is hardly blurred.
    blur = _moments(np.diff(values.mean(axis=0))[np.newaxis], between)[1]
    feet = places[:, 0] - offsets[0] * (places[:, 1] - places[:, 0]) / _STEP_PX
    points = feet + middle[:, np.newaxis] * (places[:, 1] - places[:, 0]) / _STEP_PX
    vx, vy, x, y = cv2.fitLine(points.astype(np.float32), cv2.DIST_HUBER, 0, 0.01, 0.01).ravel()
    line = np.array((x, y), dtype=np.float64), np.array((vx, vy), dtype=np.float64)
    return line, float(blur[0])


def _moments(rise: Floats, at: Floats) -> tuple[Floats, Floats]:
    """Mean and deviation (n,) of where each row of `rise` (n, m) rises, `at` (m,)."""
    rise = np.maximum(rise - _FOOT * rise.max(axis=1, keepdims=True), 0) + 1e-9
    share = rise / rise.sum(axis=1, keepdims=True)
    mean = share @ at
    spread = np.sqrt((share * (at - mean[:, np.newaxis]) ** 2).sum(axis=1))
    return mean, np.asarray(spread / _LEFT_OF_BLUR)


def _meeting(one: tuple[Floats, Floats], other: tuple[Floats, Floats]) -> Floats:
    """Where two lines meet, each a point and a direction. They are sides of a square seen askew."""
    (p, u), (q, v) = one, other
    along = np.linalg.solve(np.stack((u, -v), axis=1), q - p)
    return np.asarray(p + along[0] * u)
