"""Reading a picture between its pixels."""

import numpy as np

from .arrays import Floats, Gray, Ink
from .opencv import cv2

_MOST_ROWS = 32_000  # of what OpenCV reads at once


def sampled(picture: Gray | Ink, at: Floats) -> Floats:
    """The values of `picture` at pixels `at` (…, 2), bilinear; outside it the nearest edge."""
    flat = at.reshape(-1, 2).astype(np.float32)
    read = [
        cv2.remap(
            picture,
            part[:, :1],
            part[:, 1:],
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )
        for part in np.array_split(flat, len(flat) // _MOST_ROWS + 1)
    ]
    return np.concatenate(read).reshape(at.shape[:-1]).astype(np.float64)


def across(start: Floats, end: Floats, count: int, offsets: Floats) -> Floats:
    """Places on `count` normals of the line from `start` to `end`, both (2,): (count, n, 2).

    The normals stand evenly from 15 % to 85 % of the line; a positive offset lies to the left of
    its direction as seen with y downwards.
    """
    along = end - start
    unit = along / np.hypot(*along)
    normal = np.array((unit[1], -unit[0]))
    feet = start + np.linspace(0.15, 0.85, count)[:, np.newaxis] * along
    return np.asarray(feet[:, np.newaxis] + offsets[:, np.newaxis] * normal)
