"""The way from the chosen drawing over its refinements to the plan: how large each step is.

A step is 1 − the calibrated likeness of the two forms (`similarity.likeness`). That number rises
steeply in between and hardly at its ends, so what is told of it is a size, by the lines that tell
ideas apart (`fitted`). No size is better than another: a late bold change is good.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final, Literal

import numpy as np

from planning.tracing.arrays import Gray
from planning.tracing.opencv import cv2

from . import fitted
from .poses import Poses, poses_of
from .reading import Unread
from .silhouette import Drawn
from .similarity import compared, likeness

Size = Literal["same", "near", "far", "apart"]
Way = Literal["", "smaller", "same", "larger", "last_largest", "mixed"]

SIZES: Final[tuple[Size, ...]] = ("same", "near", "far", "apart")
"""From the smallest: the form as it was, the same idea varied, nearly another idea, another one."""

_OUTLINE_PX: Final = 400
_MARGIN_PX: Final = 8


def size_of(alike: float) -> Size:
    """How large the step is between two forms of this likeness, 0 to 1.

    `same` from where forms are taken for one idea even for the most ideas, `near` from where they
    usually are, `far` from where they are for the fewest, `apart` below.
    """
    lines = (fitted.SAME_FOR_MOST, fitted.SAME, fitted.SAME_FOR_FEWEST)
    return next((size for size, line in zip(SIZES, lines, strict=False) if alike >= line), "apart")


def way_of(steps: Sequence[float | None]) -> Way:
    """How the sizes of steps run, from the likeness of each; "" where fewer than two are known or
    one in between isn't.

    `smaller`: none is larger than the one before, and the last is smaller than the first. `larger`:
    the other way round. `last_largest`: the last is larger than every other, which were not all
    growing.
    """
    known = [SIZES.index(size_of(alike)) for alike in steps if alike is not None]
    if len(known) < len(steps) or len(known) <= 1:  # one step has no way
        return ""
    if len(set(known)) == 1:
        return "same"
    if all(later <= before for before, later in pairwise(known)):
        return "smaller"
    if all(later >= before for before, later in pairwise(known)):
        return "larger"
    return "last_largest" if known[-1] > max(known[:-1]) else "mixed"


def form_of_outline(outline: Sequence[tuple[float, float, float]]) -> Gray:
    """The filled form (height, width), 255 in it, of (height, left, right) in mm from the foot up,
    as a plan has them; left and right are half-widths from the middle line."""
    right = [(across, -height) for height, _, across in outline]
    left = [(-across, -height) for height, across, _ in outline]
    ring = np.array([*right, *reversed(left)], dtype=np.float64)
    low, high = ring.min(axis=0), ring.max(axis=0)
    scale = _OUTLINE_PX / (high - low).max()
    wide, tall = np.ceil((high - low) * scale).astype(int) + 2 * _MARGIN_PX
    form = np.zeros((tall, wide), np.uint8)
    cv2.fillPoly(form, [np.rint((ring - low) * scale + _MARGIN_PX).astype(np.int32)], 255)
    return form


def steps_taken(way: Sequence[Drawn | Unread]) -> list[float | None]:
    """The likeness of each drawing to the one before it, in the order drawn, one fewer than there
    are; None beside a drawing that shows no form."""
    poses = [_poses(each) for each in way]
    return [
        None if before is None or later is None else _alike(before, later)
        for before, later in pairwise(poses)
    ]


def nearest(drawings: Sequence[Drawn | Unread], form: Gray) -> tuple[int, float] | None:
    """Which drawing is most like a form, and how alike they are; of equals the later one. None
    where no drawing shows a form."""
    aim = poses_of(form)
    found = [
        (_alike(poses, aim), number)
        for number, each in enumerate(drawings)
        if (poses := _poses(each)) is not None
    ]
    if not found:
        return None
    alike, number = max(found)
    return number, alike


def _poses(drawing: Drawn | Unread) -> Poses | None:
    return None if isinstance(drawing, Unread) else poses_of(drawing.form)


def _alike(one: Poses, other: Poses) -> float:
    return float(likeness(compared((one, other)).distances)[0, 1])
