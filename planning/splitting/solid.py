"""Forms on a sheet that aren't drawn but cut from paper, or modelled."""

from typing import Final

import numpy as np

from planning.exploration.solids import solids_on
from planning.tracing.arrays import Gray
from planning.tracing.opencv import cv2

from .parts import Part

_SHRINK: Final = 0.5
_LARGE: Final = 0.25
"""Of the picture: a larger form is the sheet itself."""


def solid_parts(gray: Gray, page: Gray) -> list[Part]:
    """The forms that lie in a picture of working size, on the table or on the page in it."""
    size = (round(_SHRINK * gray.shape[1]), round(_SHRINK * gray.shape[0]))
    small = np.asarray(cv2.resize(gray, size, interpolation=cv2.INTER_AREA), np.uint8)
    paper = np.asarray(cv2.resize(page, size, interpolation=cv2.INTER_NEAREST), np.uint8)
    for ground in (np.full_like(paper, 255), paper):
        forms = [f for f in solids_on(small, ground) if np.count_nonzero(f) < _LARGE * f.size]
        if forms:
            return [_part_of(form, gray.shape) for form in forms]
    return []


def _part_of(form: Gray, shape: tuple[int, ...]) -> Part:
    form = np.asarray(cv2.resize(form, shape[::-1], interpolation=cv2.INTER_NEAREST), np.uint8)
    x, y, width, height = cv2.boundingRect(form)
    body = form[y : y + height, x : x + width]
    return Part(x, y, body, body)
