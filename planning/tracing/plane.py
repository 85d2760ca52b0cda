"""Where a place on flat paper is in a photograph, and back.

A homography, after which the lens moves each pixel along its ray from the middle of the picture
by 1 + k·r², r being 1 in the corners (the first term of the usual radial model: D. C. Brown,
"Close-range camera calibration", Photogrammetric Engineering 37, 1971).
"""

from dataclasses import dataclass, replace

import numpy as np

from .arrays import Floats
from .opencv import cv2

_ROUNDS = 6  # k is a few hundredths: each round gains more than a digit


@dataclass(frozen=True)
class Plane:
    """`homography` (3, 3) takes paper in mm to pixels before the lens bends them.

    `size` is the picture's (width, height) in pixels, `bend` the k above.
    """

    homography: Floats
    size: tuple[int, int]
    bend: float = 0.0

    def to_photo(self, paper: Floats) -> Floats:
        """Pixels (…, 2) of places on paper (…, 2) in mm."""
        middle, reach = _middle(self.size)
        off = moved(self.homography, paper) - middle
        bent = off * (1 + self.bend * (off**2).sum(axis=-1, keepdims=True) / reach**2)
        return np.asarray(middle + bent)

    def to_paper(self, photo: Floats) -> Floats:
        """Places on paper (…, 2) in mm of pixels (…, 2)."""
        back = np.asarray(np.linalg.inv(self.homography), dtype=np.float64)
        return moved(back, straightened(photo, self.size, self.bend))

    def turned(self, turn: Floats) -> "Plane":
        """The same plane in a frame that `turn` (3, 3) takes to the one here."""
        homography = self.homography @ turn
        return replace(self, homography=homography / homography[2, 2])

    def stretches(self, paper: Floats) -> Floats:
        """Pixels per mm at a place (2,): in the direction where they are most, and least."""
        steps = np.array(((0.5, 0.0), (-0.5, 0.0), (0.0, 0.5), (0.0, -0.5)))
        right, left, down, up = self.to_photo(paper + steps)
        return np.linalg.svd(np.stack((right - left, down - up)), compute_uv=False)


def moved(homography: Floats, places: Floats) -> Floats:
    """Places (…, 2) taken through a homography (3, 3)."""
    flat = places @ homography[:, :2].T + homography[:, 2]
    return np.asarray(flat[..., :2] / flat[..., 2:])


def straightened(photo: Floats, size: tuple[int, int], bend: float) -> Floats:
    """Where pixels (…, 2) would be, had the lens not bent them."""
    middle, reach = _middle(size)
    off = (photo - middle) / reach
    straight = off
    for _ in range(_ROUNDS):
        straight = off / (1 + bend * (straight**2).sum(axis=-1, keepdims=True))
    return np.asarray(middle + straight * reach)


def plane_through(paper: Floats, photo: Floats, size: tuple[int, int]) -> Plane:
    """The plane in which places (n ≥ 4, 2) on paper are at pixels (n, 2), by least squares.

    Raises ValueError when they don't span a plane.
    """
    homography, _ = cv2.findHomography(paper.astype(np.float64), photo.astype(np.float64), 0)
    if homography is None or not np.isfinite(homography).all():
        raise ValueError("three of the places are in one line")
    return Plane(np.asarray(homography, dtype=np.float64), size)


def _middle(size: tuple[int, int]) -> tuple[Floats, float]:
    middle = (np.array(size, dtype=np.float64) - 1) / 2
    return middle, float(np.hypot(*middle))
