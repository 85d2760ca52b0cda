"""Drawings of two people that may be one drawing, out of very many.

Every drawing becomes a short row of numbers: its strokes and its form, small and soft, in a frame
of their own. Products of these rows, mirrored and turned a little, find the few pairs that are
worth laying line on line (`copies`), which is what tells.
"""

from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from planning.tracing.arrays import Floats, Gray
from planning.tracing.opencv import cv2

from . import fitted
from .copies import Lines, coincidence, lines_of
from .poses import WAYS, Poses, Singles, Way, poses_of, turned
from .run import ALIKE
from .silhouette import Drawn
from .similarity import compared, likeness

SIDE_PX: Final = 24
_SPREAD_PX: Final = 5.5
_SOFT_PX: Final = 1.0
_LAID: Final = tuple(
    Way(mirrored, tilt) for mirrored in (False, True) for tilt in (-12.0, -6.0, 0.0, 6.0, 12.0)
)
_STRAIGHT: Final = Way(mirrored=False, tilt_deg=0.0)
_DRAWN_PX: Final = 72
"""The long side from which drawings are made small; finer says nothing there."""

_NEAR: Final = 0.97
"""Rows of numbers less alike than this, of 1, aren't laid line on line: photos of one drawing lie
above it, of a thousand pairs of other pots one does."""

MOST_PAIRS: Final = 2000
"""The nearest of them; laying one on the other takes about a hundredth of a second."""

_AT_ONCE: Final = 64
_KEPT: Final = 64
"""Drawings read for laying that are held at once, about a megabyte each."""


@dataclass(frozen=True)
class Pair:
    """Two drawings, by their places in what was given, and how far their strokes coincide."""

    one: int
    other: int
    alike: float


def row_of(drawing: Drawn) -> Singles:
    """The drawing as it stands, as a row of numbers of length 1."""
    return _row(_small(drawing), _STRAIGHT)


def rows_of(drawing: Drawn) -> Singles:
    """The same in every way that it may be laid, a row each."""
    small = _small(drawing)
    return np.array([_row(small, way) for way in _LAID])


def near_pairs(
    here: Sequence[Singles], every: Singles, whose: Sequence[Hashable]
) -> list[tuple[int, int]]:
    """Places of drawings in `every` (n, numbers) that may be one drawing of two people, the nearest
    first, at most `MOST_PAIRS`.

    `here` has `rows_of` the first drawings of `every`; each pair has one of these. `whose` is who
    drew each of all.
    """
    people = {person: n for n, person in enumerate(dict.fromkeys(whose))}
    drawer = np.array([people[person] for person in whose])
    found: list[tuple[float, int, int]] = []
    for start in range(0, len(here), _AT_ONCE):
        some = np.array(here[start : start + _AT_ONCE])
        products = some.reshape(-1, some.shape[2]) @ every.T
        best = products.reshape(len(some), some.shape[1], -1).max(axis=1)
        place = np.arange(start, start + len(some))
        best[drawer[place][:, None] == drawer[None, :]] = 0
        # A pair of two that are both here is met twice.
        best[(np.arange(len(every))[None, :] < place[:, None])] = 0
        one, other = np.nonzero(best > _NEAR)
        found += zip(best[one, other].tolist(), (one + start).tolist(), other.tolist(), strict=True)
    found.sort(reverse=True)
    return [(one, other) for _, one, other in found[:MOST_PAIRS]]


def same_drawings(
    pairs: Sequence[tuple[int, int]], drawing: Callable[[int], Drawn]
) -> Iterator[Pair | None]:
    """Of each pair whether it is one drawing, None where it isn't, as `run.comparison` tells
    copies; `drawing` gives one by its place."""

    @lru_cache(_KEPT)
    def read(place: int) -> tuple[Poses, Lines]:
        one = drawing(place)
        return poses_of(one.form), lines_of(one.form, one.strokes)

    for one, other in sorted(pairs):
        alike = _coincide(read(one), read(other))
        yield Pair(one, other, alike) if alike > fitted.COPY else None


def _coincide(one: tuple[Poses, Lines], other: tuple[Poses, Lines]) -> float:
    told = compared((one[0], other[0]))
    if likeness(told.distances)[0, 1] < ALIKE:
        return 0.0
    return coincidence(one[1], other[1], WAYS[told.ways[0, 1]], fitted.COPY)


@dataclass(frozen=True)
class _Small:
    """A drawing that is no larger than it need be: strokes and form, its middle and its spread."""

    parts: tuple[np.ndarray, ...]
    middle: Floats
    spread: float


def _small(drawing: Drawn) -> _Small:
    shrink = min(1.0, _DRAWN_PX / max(drawing.form.shape))
    form = _shrunk(drawing.form, shrink)
    moments = cv2.moments(form)
    middle = np.array((moments["m10"], moments["m01"])) / moments["m00"]
    spread = float(np.sqrt((moments["mu20"] + moments["mu02"]) / moments["m00"]))
    strokes = _shrunk(drawing.strokes, shrink)
    parts = tuple(cv2.GaussianBlur(each, (0, 0), spread / 11) for each in (strokes, form))
    return _Small(parts, middle, spread)


def _shrunk(mask: Gray, shrink: float) -> Gray:
    return np.asarray(
        cv2.resize(mask, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA), np.uint8
    )


def _row(small: _Small, way: Way) -> Singles:
    there = _SPREAD_PX / small.spread * turned(way)
    place = np.column_stack((there, (SIDE_PX - 1) / 2 - there @ small.middle))
    parts = [_part(each, place) for each in small.parts]
    return np.concatenate(parts) / np.float32(np.sqrt(len(parts)))


def _part(mask: np.ndarray, place: Floats) -> Singles:
    laid = cv2.warpAffine(mask, place, (SIDE_PX, SIDE_PX), flags=cv2.INTER_LINEAR)
    soft = cv2.GaussianBlur(laid.astype(np.float32), (0, 0), _SOFT_PX).ravel()
    soft -= soft.mean()
    return np.asarray(soft / max(float(np.linalg.norm(soft)), 1e-6), np.float32)
