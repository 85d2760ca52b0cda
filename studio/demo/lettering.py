"""A small handwriting: single-stroke letters and digits for the words beside a drawing.

Each glyph is a list of strokes; each stroke is pairs of digits x, y on a grid where letters stand
on y = 2, small letters reach 5 and tall ones 8. Our own drawing; no typeface behind it.
"""

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

GLYPHS = {
    "a": "35 15 04 03 12 22 34|36 33 42", "b": "08 02|04 15 25 34 33 22 12 03",
    "c": "34 25 15 04 03 12 22 33", "d": "34 25 15 04 03 12 22 33|38 32",
    "e": "04 34 25 15 04 03 12 22 33", "f": "37 28 17 12|05 25",
    "g": "34 25 15 04 03 12 22 34|35 31 20 10 01", "h": "08 02|04 15 25 34 32",
    "i": "15 13 22|17 16", "j": "25 21 10 00|27 26", "k": "08 02|35 03 32", "l": "18 13 22",
    "m": "05 02|04 15 24 22|24 35 44 42", "n": "05 02|04 15 25 34 32",
    "o": "15 04 03 12 22 33 34 25 15", "p": "05 00|04 15 25 34 33 22 12 03",
    "q": "34 25 15 04 03 12 22 33|35 30 41", "r": "05 02|03 14 25 35",
    "s": "34 25 15 04 33 32 12 03", "t": "17 13 22 32|05 25", "u": "05 03 12 22 33|35 32",
    "v": "05 12 25", "w": "05 12 24 32 45", "x": "05 32|35 02", "y": "05 13 23|35 20 00",
    "z": "05 35 02 32", "0": "18 06 04 12 22 34 36 28 18", "1": "07 18 12",
    "2": "07 18 28 36 02 32", "3": "07 18 28 36 15 34 33 22 12 03", "4": "28 04 34|26 22",
    "5": "38 08 05 25 34 33 22 02", "6": "28 06 03 12 22 33 34 25 14 03", "7": "08 38 12",
    "8": "15 06 18 28 36 15 03 12 22 33 25 15", "9": "36 28 18 06 15 25 36 32",
    "?": "07 18 28 36 15 13|12 11", "!": "18 14|12 11", "-": "04 24", ",": "12 01", ".": "12 11",
}  # fmt: skip
TOP, BASE = 8.0, 2.0

Floats = NDArray[np.float64]


def written(text: str, *, x: float, y: float, size: float) -> list[Floats]:
    """Return the strokes of `text` as (n, 2) arrays of x, y with y downwards.

    `x`, `y` is the start of the base line and `size` the height of a tall letter, in one unit.
    Characters without a glyph leave a gap.
    """
    unit = size / (TOP - BASE)
    strokes: list[Floats] = []
    pen = 0.0
    for character in text.lower():
        spots = GLYPHS.get(character)
        if spots is None:
            pen += 2.5
            continue
        for part in spots.split("|"):
            points = np.array([[float(spot[0]), float(spot[1])] for spot in part.split()])
            curve = _rounded(points)
            strokes.append(
                np.column_stack([x + (pen + curve[:, 0]) * unit, y - (curve[:, 1] - BASE) * unit])
            )
        pen += 1.5 + max(float(spot[0]) for spot in spots.replace("|", " ").split())
    return strokes


def _rounded(points: Floats) -> Floats:
    chord = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.linspace(0.0, chord[-1], max(6, 4 * len(points)))
    return np.asarray(PchipInterpolator(chord, points)(at), dtype=np.float64)
