"""What would count as a new idea, from the proportions of the forms that are there.

The words are those of anybody who looks at pots from the side: how tall against how wide, and
where it is widest (common practice, no source).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from planning.geometry.said import sentence
from planning.tracing.arrays import Gray

Build = Literal["tall", "even", "low"]
Widest = Literal["top", "middle", "foot", "straight"]

_TALL: Final = 1.25
"""Height to width, and the other way round: what is less than that apart is about even."""

_WIDE: Final = 0.95
"""Of the greatest width: where it is so wide, it is widest."""

_STRAIGHT: Final = 0.6
"""Of the height: a form that is widest over more of it goes straight up."""


@dataclass(frozen=True)
class Shape:
    """A form seen from the side: how it is built, and where it is widest."""

    build: Build
    widest: Widest


def shape_of(form: Gray) -> Shape:
    """The proportions of a filled form (height, width), 255 in it, upright."""
    rows = np.flatnonzero(form.any(axis=1))
    columns = np.flatnonzero(form.any(axis=0))
    high, wide = int(np.ptp(rows)) + 1, int(np.ptp(columns)) + 1
    widths = np.count_nonzero(form[rows[0] : rows[-1] + 1], axis=1)
    at = np.flatnonzero(widths >= _WIDE * widths.max())
    return Shape(_build(high / wide), _widest(at, high))


def _build(ratio: float) -> Build:
    if ratio > _TALL:
        return "tall"
    return "low" if ratio < 1 / _TALL else "even"


def _widest(at: np.ndarray[tuple[int, ...], np.dtype[np.int64]], high: int) -> Widest:
    if len(at) > _STRAIGHT * high:
        return "straight"
    above = 1 - (float(at.mean()) + 0.5) / high  # of the height, from the foot
    if above > 2 / 3:
        return "top"
    return "foot" if above < 1 / 3 else "middle"


def advice(shapes: Sequence[Shape]) -> str:
    """The code of what to try next, one of `MESSAGES`; empty where there is nothing to say.

    First what all of them share, then a build that none of them has, then a place to be widest.
    """
    if not shapes:
        return ""
    builds = {each.build for each in shapes}
    widest = {each.widest for each in shapes}
    if len(builds) == 1:
        return f"all_{builds.pop()}"
    if len(widest) == 1:
        return f"all_{widest.pop()}"
    for build in ("low", "tall"):
        if build not in builds:
            return f"none_{build}"
    for place in ("top", "foot", "middle"):
        if place not in widest:
            return f"none_{place}"
    return ""


ONE: Final[Mapping[str, str]] = {
    "all_tall": sentence("It is tall and narrow. Try a low or a wide one."),
    "all_low": sentence("It is low and wide. Try a tall one."),
    "all_even": sentence(
        "It is about as tall as it is wide. Try a tall, narrow one or a low, wide one."
    ),
}
"""Of a single drawing, which shares its build with itself."""

MESSAGES: Final[Mapping[str, str]] = {
    "all_tall": sentence("All %(n)s are tall and narrow. Try a low or a wide one."),
    "all_low": sentence("All %(n)s are low and wide. Try a tall one."),
    "all_even": sentence(
        "All %(n)s are about as tall as they are wide. Try a tall, narrow one or a low, wide one."
    ),
    "all_top": sentence("All %(n)s are widest near the top. Try one that is widest further down."),
    "all_middle": sentence(
        "All %(n)s are widest in the middle. Try one that is widest near the top or the foot."
    ),
    "all_foot": sentence("All %(n)s are widest near the foot. Try one that is widest further up."),
    "all_straight": sentence("All %(n)s go straight up. Try one that swells or draws in."),
    "none_low": sentence("None of the %(n)s is low and wide yet. Try one."),
    "none_tall": sentence("None of the %(n)s is tall and narrow yet. Try one."),
    "none_top": sentence("None of the %(n)s is widest near the top yet. Try one."),
    "none_foot": sentence("None of the %(n)s is widest near the foot yet. Try one."),
    "none_middle": sentence("None of the %(n)s is widest in the middle yet. Try one."),
}
"""Of `n` drawings."""
