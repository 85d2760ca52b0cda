"""What says how large things are in a photo: the printed card, or points that were tapped."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from .arrays import Floats, Gray
from .finding import Card, card_in
from .plane import Plane, plane_through
from .reasons import Untrusted
from .refining import Scale
from .scale_card import HEIGHT_MM, WIDTH_MM

_CARD_MM: Final = 0.04
_TAP_MM: Final = 0.6
_LEAST_MARKERS: Final = 3
_LEAST_PX_PER_MM: Final = 2.0
_MOST_STRETCH: Final = 1.22
"""Of px per mm along and across: a tilt of about 30°."""

_LEAST_SHOWN_MM: Final = 20.0
"""No drawing of a pot is so small that this fills a picture: then the measures are wrong."""

_MOST_BLUR_MM: Final = 0.55
_ROOM_MM: Final = 2.0
_TWO, _FOUR = 2, 4
FOCAL: Final = 0.72
"""Focal length ÷ long side of the picture: 26 mm for a 36 mm wide frame, the main camera of most
phones (common practice, no source)."""


@dataclass(frozen=True)
class Taps:
    """Two or four points in the upright photo, in pixels, and on paper in mm: (n, 2) each."""

    image: Floats
    paper_mm: Floats


@dataclass(frozen=True)
class Start:
    """A first plane, what it rests on, and the corners in the photo of what covers the paper.
    `rough`: from two points only."""

    plane: Plane
    scale: Scale
    covered: Floats | None
    rough: bool


def start_from_card(photo: Gray) -> Start:
    """Raises Untrusted where the card isn't seen well."""
    card = card_in(photo)
    if card is None:
        raise Untrusted("no_card")
    if len(card.markers) < _LEAST_MARKERS:
        raise Untrusted("card_partly_seen")
    plane = plane_through(card.paper, card.photo, (photo.shape[1], photo.shape[0]))
    _seen_well(plane, np.array((WIDTH_MM / 2, HEIGHT_MM / 2)))
    if card.blur_px > _MOST_BLUR_MM * _px_per_mm(card):
        raise Untrusted("blurred")
    scale = Scale(card.paper, card.photo, _CARD_MM)
    return Start(upright(plane), scale, _covered(plane), rough=False)


def _covered(card: Plane) -> Floats:
    """The corners of the card in the photo, with some room."""
    outline = np.array(((0.0, 0.0), (WIDTH_MM, 0.0), (WIDTH_MM, HEIGHT_MM), (0.0, HEIGHT_MM)))
    outline += np.sign(outline - (WIDTH_MM / 2, HEIGHT_MM / 2)) * _ROOM_MM
    return card.to_photo(outline)


def _px_per_mm(card: Card) -> float:
    side_mm = float(np.hypot(*(card.paper[1] - card.paper[0])))
    return card.marker_px / side_mm


def start_from_taps(photo: Gray, taps: Taps, focal_35mm: float | None) -> Start:
    """Four points span the paper; with two the picture is first taken as seen from straight above.

    Raises Untrusted where the points can't be where they are said to be.
    """
    size = (photo.shape[1], photo.shape[0])
    plane = plane_of(taps, size)
    _seen_well(plane, taps.paper_mm.mean(axis=0))
    focal = max(size) * (FOCAL if focal_35mm is None else focal_35mm / 36)
    scale = Scale(taps.paper_mm, taps.image, _TAP_MM, focal)
    card = card_in(photo)
    covered = None if card is None else _covered(plane_through(card.paper, card.photo, size))
    return Start(upright(plane), scale, covered, rough=len(taps.image) == _TWO)


def plane_of(taps: Taps, size: tuple[int, int]) -> Plane:
    """The plane that the points alone give. Raises Untrusted where they give none."""
    try:
        if len(taps.image) == _TWO:
            plane = _two(taps, size)
        else:
            plane = plane_through(taps.paper_mm, taps.image, size)
        in_front = _all_in_front(plane, taps.paper_mm)
    except (ValueError, np.linalg.LinAlgError):
        raise Untrusted("points_dont_fit") from None
    if not in_front:
        raise Untrusted("points_dont_fit")
    return plane


def _all_in_front(plane: Plane, paper: Floats) -> bool:
    """Whether no horizon runs between these places, as it does where two were swapped, nor through
    the picture."""
    width, height = plane.size
    corners = np.array(((0, 0), (width, 0), (width, height), (0, height)), dtype=np.float64)
    back = np.linalg.inv(plane.homography)
    sides = [
        np.sign(places @ to[2, :2] + to[2, 2])
        for places, to in ((paper, plane.homography), (corners, back))
    ]
    return all(bool((each == each[0]).all()) and each[0] != 0 for each in sides)


def _two(taps: Taps, size: tuple[int, int]) -> Plane:
    """Turned and scaled only, y on paper upwards or downwards: whichever turns less."""
    there = complex(*(taps.image[1] - taps.image[0]))
    planes = []
    for flip in (1.0, -1.0):
        here = complex(*((taps.paper_mm[1] - taps.paper_mm[0]) * (1, flip)))
        if not abs(here) or not abs(there):
            raise ValueError("the points are the same")
        by = there / here
        turn = np.array(
            ((by.real, -by.imag * flip, 0.0), (by.imag, by.real * flip, 0.0), (0, 0, 1))
        )
        turn[:2, 2] = taps.image[0] - turn[:2, :2] @ taps.paper_mm[0]
        planes.append((abs(np.angle(by)), flip, Plane(turn, size)))
    return min(planes, key=lambda each: each[:2])[2]


def _seen_well(plane: Plane, at: Floats) -> None:
    most, least = plane.stretches(at)
    if not np.isfinite(most) or most > _MOST_STRETCH * least:
        raise Untrusted("too_tilted")
    if most * _LEAST_SHOWN_MM > max(plane.size):
        raise Untrusted("points_dont_fit")
    if least < _LEAST_PX_PER_MM:
        raise Untrusted("too_small")


def upright(plane: Plane) -> Plane:
    """The plane in a frame whose x runs to the photo's right and y downwards in its middle."""
    width, height = plane.size
    middle = (np.array((width, height)) - 1) / 2
    steps = np.array(((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)))
    zero, right, down = plane.to_paper(middle + steps)
    x, y = right - zero, down - zero
    flip = -1.0 if x[0] * y[1] - x[1] * y[0] < 0 else 1.0
    angle = np.arctan2(x[1], x[0])
    cos, sin = np.cos(angle), np.sin(angle)
    return plane.turned(np.array(((cos, -sin * flip, 0), (sin, cos * flip, 0), (0, 0, 1))))
