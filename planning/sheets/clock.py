"""The seam clock on paper: hours counted the way round the pot from the mark at its front.

Seen from above with the front at the top, so that 12 stands where it does on a clock, and hours
go on clockwise.
"""

from collections.abc import Sequence

import numpy as np

from planning.geometry.profile import Floats

HOURS = 12
_ONE_PLACE_MM = 1e-9


def front_up(points: Sequence[tuple[float, float]]) -> Floats:
    """An outline (x to the right, y to the back, counter-clockwise) as it lies on paper with its
    front at the top: (n, 2), y downwards, clockwise from the mark at the front."""
    laid = np.array(points) * (-1, 1)
    # Counter-clockwise seen with the back at the top; on paper y runs down, which turns it round.
    ring = laid[::-1]
    after = np.roll(ring, -1, axis=0)
    crosses = (ring[:, 0] < 0) & (after[:, 0] >= 0) & (ring[:, 1] + after[:, 1] < 0)
    first = int(np.where(crosses, ring[:, 1], np.inf).argmin())
    start, end = ring[first], after[first]
    front = start + (end - start) * (-start[0] / (end[0] - start[0]))
    rest = np.roll(ring, -(first + 1), axis=0)
    return np.concatenate(([front], rest[np.hypot(*(rest - front).T) > _ONE_PLACE_MM]))


def at_hours(ring: Floats, hours: Sequence[float]) -> tuple[Floats, Floats]:
    """Where hours are on a ring that begins at 12: points (m, 2), and unit vectors (m, 2) that
    point outwards there."""
    closed = np.concatenate((ring, ring[:1]))
    run = np.diff(closed, axis=0)
    far = np.append(0.0, np.cumsum(np.hypot(*run.T)))
    at = np.mod(hours, HOURS) / HOURS * far[-1]
    points = np.stack([np.interp(at, far, closed[:, axis]) for axis in (0, 1)], axis=-1)
    piece = np.clip(np.searchsorted(far, at, side="right") - 1, 0, len(run) - 1)
    along = run[piece] / np.hypot(*run[piece].T)[:, np.newaxis]
    return points, np.stack((along[:, 1], -along[:, 0]), axis=-1)
