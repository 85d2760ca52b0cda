"""A form to be turned by hand: its skin as smooth bands of rings, small enough to send to a phone.

Pure. Places are whole tenths of a millimetre, x to the right, y to the back, z up from the table.
"""

from typing import Any

import numpy as np

from planning.geometry.form import Form
from planning.geometry.profile import Floats
from planning.geometry.skin import Skin

# Lines nearer than this can't be told apart at the size of a phone.
LEAST_APART_MM = 8.0
PER_MM = 10

Shape = dict[str, Any]


def form_shape(drawn: Skin, made: Form) -> Shape:
    """`bands` are surfaces that are smooth in themselves, with an edge where one ends: the heights
    `z` (k,) of their rings, and the places `xy` (k · columns · 2) along them. `corners` are the
    columns along which the pot has an edge, `lines` the heights of lines on the outside."""
    return {
        "per_mm": PER_MM,
        "columns": drawn.outside.shape[1],
        "corners": drawn.corners.tolist(),
        "bands": {
            name: {"z": _whole(rings[:, 0, 2]), "xy": _whole(rings[..., :2])}
            for name, rings in bands(drawn).items()
        },
        "lines": _whole(height_lines(drawn, made)),
    }


def bands(drawn: Skin) -> dict[str, Floats]:
    """Rings (k, n, 3) of all that can be seen from above the table, in the order in which a hand
    follows it: up the outside, over the rim, down to the middle of the floor."""
    found = {}
    if drawn.foot is not None:
        found["foot"] = np.concatenate((drawn.outside[:1] * (1, 1, 0), drawn.outside[:1]))
    found["outside"] = drawn.outside
    if drawn.closed:
        return found
    down = drawn.inside[::-1]
    middle = np.broadcast_to(down[-1].mean(axis=0), down[-1:].shape)
    return found | {
        "rim": np.concatenate((drawn.outside[-1:], down[:1])),
        "inside": down,
        "floor": np.concatenate((down[-1:], middle)),
    }


def height_lines(drawn: Skin, made: Form) -> Floats:
    """Heights above the table of the lines that were drawn, base and rim apart."""
    lift, top = float(drawn.outside[0, 0, 2]), float(drawn.outside[-1, 0, 2])
    chosen = [lift]
    for point in made.front[1:-1]:
        height = point.height_mm + lift
        if min(height - chosen[-1], top - height) >= LEAST_APART_MM:
            chosen.append(height)
    return np.array(chosen[1:])


def ring_at(rings: Floats, heights: Floats) -> Floats:
    """Rings (k, n, 3) between those of a band, at heights (k,)."""
    rise = rings[:, 0, 2]
    low = np.clip(np.searchsorted(rise, heights) - 1, 0, len(rise) - 2)
    gap = rise[low + 1] - rise[low]
    share = np.divide(heights - rise[low], gap, out=np.zeros_like(gap), where=gap > 0)
    return np.asarray(rings[low] + share[:, np.newaxis, np.newaxis] * (rings[low + 1] - rings[low]))


def _whole(values: Floats) -> list[int]:
    return [int(value) for value in np.rint(values * PER_MM).ravel()]
