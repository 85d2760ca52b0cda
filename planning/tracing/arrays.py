"""The kinds of array that this package hands about."""

import numpy as np

Floats = np.ndarray[tuple[int, ...], np.dtype[np.float64]]
"""Measures and places. Pixels are (…, 2): x to the right, y downwards, (0, 0) the middle of the
first pixel. Paper is in millimetres, x to the right, y downwards."""

Gray = np.ndarray[tuple[int, ...], np.dtype[np.uint8]]
"""A picture (height, width), 0 black to 255 white."""

Ink = np.ndarray[tuple[int, ...], np.dtype[np.float32]]
"""Darkness against the paper (height, width), 0 for paper to 1 for black."""
