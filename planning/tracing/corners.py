"""Corners of a traced ring, which smoothing has rounded."""

from typing import Final

import numpy as np

from .arrays import Floats

_NEAR_MM: Final = 3.0
_FAR_MM: Final = 8.0
"""A corner's two sides are looked at between these distances from it."""

_SHARP_DEG: Final = 40.0
_STEP_MM: Final = 0.5  # from place to place of a ring


def sharpened(ring: Floats) -> Floats:
    """The ring (n, 2), a place every half millimetre, with each corner where its sides meet.

    A bend counts as a corner when its sides turn by more than 40° within 6 mm, and more sharply
    there than a round of that size: seen from 16 mm, it hardly turns more.
    """
    near, far = (round(each / _STEP_MM) for each in (_NEAR_MM, _FAR_MM))
    before, after = (_side(ring, near, far, way) for way in (-1, 1))
    turn = np.abs(_between(before[1], after[1]))
    wide = np.abs(_between(_side(ring, far, 2 * far, -1)[1], _side(ring, far, 2 * far, 1)[1]))
    sharp = (turn > np.radians(_SHARP_DEG)) & (turn > 0.75 * wide)
    window = np.stack([np.roll(turn, shift) for shift in range(-far, far + 1)])
    kept = np.ones(len(ring), dtype=bool)
    cornered = ring.copy()
    for at in np.flatnonzero(sharp & (turn >= window.max(axis=0))):
        kept[np.arange(at - near + 1, at + near) % len(ring)] = False
        kept[at] = True
        cornered[at] = _meeting(before[0][at], before[1][at], after[0][at], after[1][at])
    return cornered[kept]


def _side(ring: Floats, near: int, far: int, way: int) -> tuple[Floats, Floats]:
    """For each place the middle of the places `near` to `far` beyond it, and their direction
    away from it: (n, 2) each."""
    places = np.stack([np.roll(ring, -way * each, axis=0) for each in range(near, far + 1)])
    middle = places.mean(axis=0)
    along = (np.arange(near, far + 1) - (near + far) / 2)[:, np.newaxis, np.newaxis]
    direction = (along * places).sum(axis=0)
    return middle, way * direction / np.linalg.norm(direction, axis=1, keepdims=True)


def _between(before: Floats, after: Floats) -> Floats:
    """The angle by which `after` is turned from `before` (n,), in radians."""
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return np.asarray(np.arctan2(cross, (before * after).sum(axis=1)))


def _meeting(p: Floats, u: Floats, q: Floats, v: Floats) -> Floats:
    """Where the lines through `p` along `u` and through `q` along `v` meet."""
    along = np.linalg.solve(np.stack((u, -v), axis=1), q - p)
    return np.asarray(p + along[0] * u)
