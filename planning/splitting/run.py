"""A photographed sheet in, the boxes of its drawings out, in plain numbers.

For a process of its own with a bound on memory, as pictures of strangers are read: nothing here
needs Django, a database or a file.
"""

from typing import Any, Final

import numpy as np

from planning.tracing.arrays import Gray

from .choosing import drawings_among
from .framing import unframed_parts
from .page import strokes_of_sheet, working_gray
from .parts import Part
from .reading import in_reading_order
from .solid import solid_parts

_LEAST_PX: Final = 48
"""Nothing is drawn on a smaller picture."""

_FEWEST: Final = 2


def answer(picture: Gray, shrink: float) -> dict[str, Any]:
    """Where the drawings are on an upright picture, gray or RGB, 8 bits; ready for JSON.

    `drawings` in the order of reading, each with `x`, `y`, `width` and `height`, as `width` and
    `height` of the whole in pixels of the picture as it was sent, of which `picture` is `shrink`
    times as large.
    """
    gray, scale = working_gray(picture)
    drawings = _drawings(gray) if min(gray.shape) > _LEAST_PX else []
    boxes = np.array([(d.x, d.y, d.width, d.height) for d in drawings], float).reshape(-1, 4)
    high, wide = (round(side / shrink) for side in picture.shape[:2])
    ends = np.column_stack((boxes[:, :2], boxes[:, :2] + boxes[:, 2:])) / (scale * shrink)
    ends = np.clip(np.rint(ends), 0, (wide, high, wide, high)).astype(int)
    told = [
        {"x": x, "y": y, "width": to_x - x, "height": to_y - y}
        for x, y, to_x, to_y in ends[in_reading_order(boxes)].tolist()
    ]
    return {"width": wide, "height": high, "drawings": told}


def _drawings(gray: Gray) -> list[Part]:
    strokes = strokes_of_sheet(gray)
    drawn = drawings_among(unframed_parts(strokes), max(gray.shape), strokes.width_px)
    # Shaded drawings are solid too: forms are cut out where nothing is drawn beside them.
    solid = solid_parts(gray, strokes.page)
    cut_out = len(solid) >= _FEWEST and all(any(_share(d, s) for s in solid) for d in drawn)
    return solid if cut_out else drawn


def _share(part: Part, other: Part) -> bool:
    """Whether half of either's box lies in the other's."""
    wide = min(part.x + part.width, other.x + other.width) - max(part.x, other.x)
    high = min(part.y + part.height, other.y + other.height) - max(part.y, other.y)
    least = min(part.width * part.height, other.width * other.height)
    return wide > 0 and high > 0 and 2 * wide * high > least
