"""A photographed outline of a base, drawn at full size → a closed ring of points."""

from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely

from .arrays import Floats, Gray, Ink
from .corners import sharpened
from .drawing import gray_of, started
from .ink import darkness, ink_of
from .opencv import cv2
from .paper import paper_in
from .reasons import Reason, Untrusted
from .scales import Taps
from .strokes import evenly, middle_of_line
from .view import View, photo_on_paper, viewed

_LINE: Final = 0.42
"""Of the darkest: what is lighter is ruling of the paper."""

_BRIDGES_MM: Final = (0.6, 1.5, 3.0)
"""Gaps of a line that are closed, the smallest first."""

_WHISKER_MM: Final = 0.7
"""Lines that cross the outline stand out from it by their own width."""

_LEAST_MM2: Final = 600.0
_FULL: Final = 0.5
"""Of its upright box that a base fills; an open line fills less."""

_BESIDE_MM: Final = 2.0
_MOST_BESIDE_MM2: Final = 6.0
"""A line ten to twenty millimetres long."""

_RIVAL: Final = 0.3
_LEAST_INKED: Final = 0.85
_EDGE_MM: Final = 7.0
_APART_MM: Final = 2.5
_MOST_POINTS: Final = 300
_CORNER_DEG: Final = 30.0
_LEAST_DARK: Final = 0.1


@dataclass(frozen=True)
class TracedOutline:
    """`points` (n, 2) in mm go round the outline once, x to the right and y to the back (upwards in
    the photo) from its middle; or the reason why there are none.

    `homography` (3, 3) takes them to pixels of the photo.
    """

    points: Floats | None
    reason: Reason | None
    homography: Floats | None = None
    rough: bool = False
    bend: float = 0.0

    @property
    def trusted(self) -> bool:
        return self.points is not None


def traced_outline(
    photo: Gray, taps: Taps | None = None, *, focal_35mm: float | None = None
) -> TracedOutline:
    """The closed line drawn on the paper in an upright photo, RGB or gray, 8 bits.

    Without `taps` the scale card is looked for. From two points alone a tilt of the camera can't
    be known: the answer is rough then.
    """
    gray = gray_of(photo)
    try:
        start = started(gray, taps, focal_35mm)
        paper = paper_in(gray, start.covered)
        view = viewed(gray, paper, start.plane, photo_on_paper(start.plane))
        ring = _ring(view)
    except Untrusted as untrusted:
        return TracedOutline(None, untrusted.reason)
    low, high = ring.min(axis=0), ring.max(axis=0)
    middle = (low + high) / 2
    place = np.array(((1, 0, middle[0]), (0, -1, middle[1]), (0, 0, 1)))
    return TracedOutline(
        (ring - middle) * (1, -1),
        None,
        start.plane.turned(place).homography,
        start.rough,
    )


def _ring(view: View) -> Floats:
    ink = ink_of(view)
    dark = max(darkness(ink), _LEAST_DARK)
    around = _enclosed(ink, dark, view)
    no_other = np.zeros_like(ink)
    stroke = middle_of_line(ink, no_other, around, dark=dark, px_per_mm=view.px_per_mm, closed=True)
    ring = view.paper(sharpened(stroke.places))
    line = shapely.LinearRing(ring)
    if stroke.ink.mean() < _LEAST_INKED or not line.is_simple:
        raise Untrusted("gaps")
    return _thinned(ring, line.length)


def _enclosed(ink: Ink, dark: float, view: View) -> Floats:
    """The outer edge (n, 2), in pixels, of what the largest closed line holds."""
    lines = (ink > _LINE * dark).astype(np.uint8)
    for bridge in _BRIDGES_MM:
        # Widened, filled and narrowed again: that closes gaps of thin lines.
        wide = cv2.dilate(lines, _round(bridge / 2, view))
        outlines, _ = cv2.findContours(wide, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
        filled = np.zeros(ink.shape, np.uint8)
        cv2.drawContours(filled, list(outlines), -1, 1, cv2.FILLED)
        filled = np.asarray(cv2.erode(filled, _round(bridge / 2, view)), dtype=np.uint8)
        bodies = cv2.morphologyEx(filled, cv2.MORPH_OPEN, _round(_WHISKER_MM, view))
        edges, _ = cv2.findContours(bodies, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
        sized = sorted(((cv2.contourArea(edge), edge) for edge in edges), key=lambda each: -each[0])
        if sized and _is_base(*sized[0], view):
            if len(sized) > 1 and sized[1][0] > _RIVAL * sized[0][0]:
                raise Untrusted("several_lines")
            _nothing_beside(lines, sized[0][1], view)
            return _whole(np.asarray(sized[0][1], dtype=np.float64).reshape(-1, 2), view)
    raise Untrusted("no_closed_line")


def _is_base(area: float, edge: "cv2.typing.MatLike", view: View) -> bool:
    _, (width, height), _ = cv2.minAreaRect(edge)
    return area > max(_LEAST_MM2 * view.px_per_mm**2, _FULL * width * height)


def _nothing_beside(lines: Gray, edge: "cv2.typing.MatLike", view: View) -> None:
    """Raises Untrusted where lines run beside what was found, within its upright box: another part
    of the base, cut off by a middle line. Ends of middle lines stand out of the box."""
    x, y, width, height = cv2.boundingRect(edge)
    body = np.zeros(lines.shape, np.uint8)
    cv2.drawContours(body, [edge], -1, 1, cv2.FILLED)
    body = np.asarray(cv2.dilate(body, _round(_BESIDE_MM, view)), dtype=np.uint8)
    beside = (lines > body)[y : y + height, x : x + width]
    if beside.sum() > _MOST_BESIDE_MM2 * view.px_per_mm**2:
        raise Untrusted("several_lines")


def _whole(edge: Floats, view: View) -> Floats:
    """Raises Untrusted where the line comes near the edge of what is seen."""
    reach = round(_EDGE_MM * view.px_per_mm)
    free = cv2.erode(view.seen, np.ones((2 * reach + 1,) * 2, np.uint8), borderValue=0)
    x, y = edge.astype(int).T
    if (free[y, x] == 0).any():
        raise Untrusted("cut_off")
    return edge


def _thinned(ring: Floats, length_mm: float) -> Floats:
    """Fewer points, no corner among those left out."""
    apart = max(_APART_MM, length_mm / _MOST_POINTS)
    even = evenly(ring, apart, closed=True)
    turn = _turns(ring)
    kept = ring[turn > np.radians(_CORNER_DEG)]
    if not len(kept):
        return even
    distance = np.linalg.norm(even[:, np.newaxis] - kept, axis=2)
    line = shapely.LinearRing(ring)
    both = np.concatenate((even[distance.min(axis=1) > 0.6 * apart], kept))
    order = np.argsort([line.project(shapely.Point(place)) for place in both])
    return np.asarray(both[order])


def _turns(ring: Floats) -> Floats:
    """How far the ring turns at each point (n,), in radians, unsigned."""
    after = np.roll(ring, -1, axis=0) - ring
    before = np.roll(after, 1, axis=0)
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return np.asarray(np.abs(np.arctan2(cross, (before * after).sum(axis=1))))


def _round(radius_mm: float, view: View) -> "cv2.typing.MatLike":
    size = 2 * round(radius_mm * view.px_per_mm) + 1
    return cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
