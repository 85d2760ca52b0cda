"""Paper seen straight from above: a photograph drawn anew at one scale."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from .arrays import Floats, Gray, Ink
from .opencv import cv2
from .plane import Plane

PX_PER_MM: Final = 4.0
_STRIP: Final = 256
_APART: Final = 16  # divides the strip
MOST_PX: Final = 14_000_000


@dataclass(frozen=True)
class Box:
    """A piece of paper in mm: from (left, top) to (right, bottom), y downwards."""

    left: float
    top: float
    right: float
    bottom: float

    def within(self, other: "Box") -> "Box":
        return Box(
            max(self.left, other.left),
            max(self.top, other.top),
            min(self.right, other.right),
            min(self.bottom, other.bottom),
        )


@dataclass(frozen=True)
class View:
    """`gray` (height, width) at `px_per_mm`, its upper left corner at `box` on paper; `seen`
    (height, width) is 255 on the paper, 0 beside it and where the photo doesn't reach."""

    gray: Gray
    seen: Gray
    box: Box
    px_per_mm: float

    def rows(self, y_mm: Floats | float) -> Floats:
        """Pixel rows of heights on paper."""
        return (np.asarray(y_mm, dtype=np.float64) - self.box.top) * self.px_per_mm - 0.5

    def columns(self, x_mm: Floats | float) -> Floats:
        return (np.asarray(x_mm, dtype=np.float64) - self.box.left) * self.px_per_mm - 0.5

    def paper(self, pixels: Floats) -> Floats:
        """Places on paper (…, 2) in mm of this view's pixels (…, 2)."""
        corner = np.array((self.box.left, self.box.top))
        return np.asarray((pixels + 0.5) / self.px_per_mm + corner)


def photo_on_paper(plane: Plane) -> Box:
    """The piece of paper that holds all of the photo."""
    width, height = plane.size
    edge = np.linspace(0, 1, 9)
    ones = np.ones_like(edge)
    sides = ((edge, 0 * ones), (edge, ones), (0 * ones, edge), (ones, edge))
    border = np.concatenate([np.column_stack(side) for side in sides]) * (width - 1, height - 1)
    low, high = (each(plane.to_paper(border), axis=0) for each in (np.min, np.max))
    return Box(float(low[0]), float(low[1]), float(high[0]), float(high[1]))


def viewed(photo: Gray, paper: Gray, plane: Plane, box: Box, px_per_mm: float = PX_PER_MM) -> View:
    """`box` from straight above; where the photo has more pixels they are averaged.

    `paper`, of any size, is the photo's mask of what is paper: 255, else 0.
    """
    most = float(
        plane.stretches(np.array(((box.left + box.right) / 2, (box.top + box.bottom) / 2)))[0]
    )
    shrink = 2 ** max(0, int(np.log2(max(most / px_per_mm, 1.0) / 1.4 + 0.3)))
    source = photo
    if shrink > 1:
        source = np.asarray(
            cv2.resize(photo, None, fx=1 / shrink, fy=1 / shrink, interpolation=cv2.INTER_AREA),
            dtype=np.uint8,
        )
    mask = np.array(paper.shape[::-1]) / np.array(photo.shape[::-1])
    factor = np.array(source.shape[::-1]) / np.array(photo.shape[::-1])
    shape = (
        max(1, round((box.bottom - box.top) * px_per_mm)),
        max(1, round((box.right - box.left) * px_per_mm)),
    )
    gray, seen = np.empty(shape, np.uint8), np.empty(shape, np.uint8)
    nodes = _nodes(plane, box, shape, px_per_mm)
    for first in range(0, shape[0], _STRIP):
        last = min(first + _STRIP, shape[0])
        x, y = _between(nodes, first, last, shape[1])
        seen[first:last] = cv2.remap(
            paper,
            ((x + 0.5) * mask[0] - 0.5).astype(np.float32),
            ((y + 0.5) * mask[1] - 0.5).astype(np.float32),
            cv2.INTER_NEAREST,
        )
        x, y = ((each + 0.5) * factor[at] - 0.5 for at, each in enumerate((x, y)))
        gray[first:last] = cv2.remap(
            source,
            x.astype(np.float32),
            y.astype(np.float32),
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )
    return View(gray, seen, box, px_per_mm)


def _nodes(plane: Plane, box: Box, shape: tuple[int, int], px_per_mm: float) -> Floats:
    """Where every `_APART`th pixel of the view is in the photo, one beyond each edge, (n, m, 2).

    Between them it is as good as linear: off by less than a hundredth of a pixel.
    """
    steps = [(np.arange(-1, -(-size // _APART) + 1) + 0.5) * _APART / px_per_mm for size in shape]
    paper = np.stack(np.meshgrid(steps[1] + box.left, steps[0] + box.top), axis=-1)
    return plane.to_photo(paper)


def _between(nodes: Floats, first: int, last: int, width: int) -> tuple[Ink, Ink]:
    """x and y in the photo of the view's pixels in rows `first` to `last`."""
    part = nodes[first // _APART : -(-last // _APART) + 2].astype(np.float32)
    size = (part.shape[1] * _APART, part.shape[0] * _APART)
    full = cv2.resize(part, size, interpolation=cv2.INTER_LINEAR)
    top = _APART + first % _APART
    cut = full[top : top + last - first, _APART : _APART + width]
    return np.asarray(cut[..., 0], np.float32), np.asarray(cut[..., 1], np.float32)
