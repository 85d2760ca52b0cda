"""The printed code on a thumbnail sheet: what it says, which way is up, and what is printed beside
it."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from planning.tracing.arrays import Floats, Gray
from planning.tracing.opencv import cv2

ANCHOR: Final = "#sketch"
"""Ends the address in the code of a thumbnail sheet: on such a page, and on no other, everything
above the foot of the code is printed."""

QUIET_CELLS: Final = 4
"""White round a code, ISO/IEC 18004 (7.3.8 in the edition of 2015, from memory)."""

_FEWEST_CELLS: Final = 21
"""Along the side of the smallest code, the same standard."""

_COARSE_PX: Final = 1400
"""The long side at which a code on a page is looked for first: sooner found, and less hidden by
grain; in the fine where that doesn't do."""

_ENLARGED: Final = (2, 3)
"""Times as large a code is read whose cells are two or three pixels wide."""

_ROUND: Final = 0.75
"""Of a code's size: so far round its middle it is cut out to be read enlarged."""


@dataclass(frozen=True)
class Code:
    """`text` is empty where it was seen but not read; `corners` (4, 2) in pixels from its own upper
    left on, clockwise."""

    text: str
    corners: Floats

    @property
    def turns(self) -> int:
        """Quarter turns counter-clockwise that set its page upright, 0 to 3."""
        along = self.corners[1] - self.corners[0] + self.corners[2] - self.corners[3]
        return round(float(np.degrees(np.arctan2(along[1], along[0]))) / 90) % 4


def codes_on(gray: Gray) -> list[Code]:
    """The QR codes on a picture that may lie on any side; those that were read, if any were."""
    seen: list[Code] = []
    for shrink in sorted({min(1.0, _COARSE_PX / max(gray.shape)), 1.0}):
        small = gray if shrink == 1 else _resized(gray, shrink, cv2.INTER_AREA)
        found = [_enlarged(small, code) for code in _codes(small)]
        placed = [Code(code.text, code.corners / shrink) for code in found]
        if read := [code for code in placed if code.text]:
            return read
        seen = seen or placed
    return seen


def _resized(gray: Gray, times: float, how: int) -> Gray:
    return np.asarray(cv2.resize(gray, None, fx=times, fy=times, interpolation=how), np.uint8)


def _enlarged(gray: Gray, code: Code) -> Code:
    """The code as it is read larger, where it could not be read as it is."""
    if code.text:
        return code
    middle = code.corners.mean(axis=0)
    reach = _ROUND * float(np.ptp(code.corners, axis=0).max())
    left, top = (max(0, int(each - reach)) for each in middle)
    right, foot = (int(each + reach) + 1 for each in middle)
    for times in _ENLARGED:
        large = _resized(gray[top:foot, left:right], times, cv2.INTER_CUBIC)
        for read in _codes(large):
            if read.text:
                return Code(read.text, read.corners / times + (left, top))
    return code


def _codes(gray: Gray) -> list[Code]:
    if min(gray.shape) <= _FEWEST_CELLS:
        return []
    there, texts, corners, _ = cv2.QRCodeDetectorAruco().detectAndDecodeMulti(gray)
    if not there:
        return []
    places = np.asarray(corners, np.float64).reshape(-1, 4, 2)
    return [Code(text, each) for text, each in zip(texts, places, strict=True)]


def printed_with_codes(gray: Gray) -> Gray:
    """255 on every code of an upright picture, and on all above the foot of a sheet's own."""
    printed = np.zeros_like(gray)
    for code in codes_on(gray):
        for shape in _printed(code, 2.0 * max(gray.shape)):
            cv2.fillConvexPoly(printed, np.rint(shape).astype(np.int32), 255)
    return printed


def _printed(code: Code, far: float) -> list[Floats]:
    """What is printed, as convex shapes; `far` is beyond the picture."""
    middle = code.corners.mean(axis=0)
    quiet = 1 + 2 * QUIET_CELLS / _FEWEST_CELLS
    around = middle + quiet * (code.corners - middle)
    if not code.text.endswith(ANCHOR):
        return [around]
    side = code.corners[2] - code.corners[3]
    long = max(1e-6, float(np.linalg.norm(side)))
    along = side / long
    up = np.array((along[1], -along[0]))
    left, right = code.corners[3] - far * along, code.corners[2] + far * along
    foot = -0.5 * QUIET_CELLS / _FEWEST_CELLS * long * up
    return [np.array((left + foot, right + foot, right + far * up, left + far * up))]
