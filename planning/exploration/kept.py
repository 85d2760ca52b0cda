"""What was read of a drawing as few bytes, so that it is compared again without its picture."""

from typing import Final

import numpy as np

from planning.tracing.arrays import Gray
from planning.tracing.opencv import cv2

VERSION: Final = 1
"""Goes up when reading a picture changes: what was kept by an earlier one is read anew."""


def packed(mask: Gray) -> bytes:
    """A form or strokes (height, width), 0 or 255, as a PNG of one bit a pixel (ISO 15948)."""
    _, data = cv2.imencode(".png", mask, (cv2.IMWRITE_PNG_BILEVEL, 1))
    return data.tobytes()


def unpacked(data: bytes) -> Gray:
    """The same again, every pixel."""
    found = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE)
    return np.asarray(found, np.uint8)
