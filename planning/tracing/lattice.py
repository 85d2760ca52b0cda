"""The height lines of a drawing: level, parallel and evenly spaced.

A ruler's lines are looked for as a lattice, since single lines could be ruling of the paper, a
rim, a foot or a frame.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.ndimage import maximum_filter1d, median_filter

from .arrays import Floats, Ink
from .opencv import cv2
from .view import View

USUAL_SPACINGS_MM: Final = (10.0, 12.7, 15.0, 20.0, 25.0, 25.4, 30.0, 40.0, 50.0, 50.8)
"""Spacings that a ruler in mm, cm or in suggests (common practice, no source)."""

_BLOCK_MM: Final = 16.0
_FAINT: Final = 0.4
"""Of the usual strength of a line: what is fainter is not one."""

_LEAST_GAIN: Final = 1.7  # more than any two lines
_LEAST_INK: Final = 0.008
"""The mean of a strip 16 mm wide: ten times what bare paper has."""

_LEAST_WEIGHT: Final = 0.06  # the same, summed over a line's width
_LEAST_BLOCKS: Final = 3
_STRAIGHT_MM: Final = 0.8
_STEEP: Final = 0.12  # mm down for each mm along
_MOST_SLOPE_DEG: Final = 15.0


@dataclass(frozen=True)
class Blocks:
    """The view in upright strips: `ink` (strips, rows), the mean of each strip's width less what
    lies above and below, and the middle `x_mm` (strips,) of each."""

    ink: Floats
    x_mm: Floats


@dataclass(frozen=True)
class Lines:
    """Places (n, 2) in mm in the view on height lines, and the number of its line for each."""

    places: Floats
    number: "np.ndarray[tuple[int, ...], np.dtype[np.intp]]"

    @property
    def numbers(self) -> list[int]:
        return sorted(set(self.number.tolist()))


def slope_of_lines(ink: Ink) -> float:
    """By how many degrees the long lines of the picture fall to the right.

    The slope at which the sums along lines differ most from one line to the next.
    """
    small = np.minimum(ink, np.float32(0.5))
    best = 0.0
    for span, step in ((_MOST_SLOPE_DEG, 0.5), (0.6, 0.1), (0.1, 0.02)):
        slopes = best + np.arange(-span, span + step / 2, step)
        best = float(slopes[int(np.argmax([_contrast(small, slope) for slope in slopes]))])
    return best


def _contrast(ink: Ink, slope_deg: float) -> float:
    height, width = ink.shape
    slope = np.tan(np.radians(slope_deg))
    shear = np.array(((1, 0, 0), (-slope, 1, slope * width / 2)))
    sums = cv2.warpAffine(ink, shear, (width, height)).sum(axis=1)
    return float((np.diff(sums) ** 2).sum())


def blocks_of(ink: Ink, view: View) -> Blocks:
    count = max(1, round(ink.shape[1] / (_BLOCK_MM * view.px_per_mm)))
    strips = np.array_split(np.minimum(ink, np.float32(0.6)), count, axis=1)
    means = np.stack([strip.mean(axis=1, dtype=np.float64) for strip in strips])
    window = 2 * round(1.5 * view.px_per_mm) + 1
    edges = np.cumsum([0, *(strip.shape[1] for strip in strips)])
    middle = (edges[1:] + edges[:-1] - 1) / 2
    level = median_filter(means, size=(1, window))
    return Blocks(np.maximum(means - level, 0), (middle + 0.5) / view.px_per_mm + view.box.left)


@dataclass(frozen=True)
class Lattice:
    """Lines `apart_mm` in the view, one of them at `first_mm`, meant to be `spacing_mm`."""

    spacing_mm: float
    apart_mm: float
    first_mm: float


def found_lattice(blocks: Blocks, view: View, spacing_mm: float | None) -> Lattice | None:
    """The lattice that stands out most, None where none does.

    A spacing that isn't known is one of the usual ones. One that is known is looked for with a
    tenth more and less, so that a wrong scale is called so.
    """
    reach = 2 * round(0.75 * view.px_per_mm) + 1
    total = maximum_filter1d(blocks.ink, reach, axis=1).mean(axis=0)
    # As strong as the third line, since rim and foot may be darker than all height lines.
    strong = float(np.sort(total)[-min(2 * reach + 1, len(total))])
    if strong < _LEAST_INK:
        return None
    share = np.minimum(total / strong, 1.2)
    spacings = USUAL_SPACINGS_MM if spacing_mm is None else (spacing_mm,)
    off = 0.0075 if spacing_mm is None else 0.1
    best, best_gain = None, _LEAST_GAIN
    for spacing in spacings:
        for factor in np.arange(1 - off, 1 + off + 1e-9, 0.0025):
            start, gain = _start_of(share, spacing * factor * view.px_per_mm)
            if gain > best_gain:
                first = (start + 0.5) / view.px_per_mm + view.box.top
                best, best_gain = Lattice(spacing, float(spacing * factor), first), gain
    return best


def _start_of(share: Floats, step: float) -> tuple[float, float]:
    """The row of the first line of the best lattice with that step, and what it gains."""
    starts = np.arange(0, step, 1.0)
    count = int((len(share) - 1 - step) // step) + 1
    at = starts[:, np.newaxis] + np.arange(max(count, 0)) * step
    over = share[np.round(at).astype(int)] - _FAINT
    # The best run of lines one after the other: what it gains less what its gaps cost.
    gain = np.zeros(len(starts))
    best = np.zeros(len(starts))
    for line in range(over.shape[1]):
        gain = np.maximum(gain + over[:, line], 0)
        best = np.maximum(best, gain)
    return float(starts[best.argmax()]), float(best.max())


def lines_on(
    blocks: Blocks, view: View, apart_mm: float, first_mm: float, reach_mm: float
) -> Lines:
    """What lies within `reach_mm` of the lattice and is as dark and straight as its lines."""
    rows = np.arange(blocks.ink.shape[1], dtype=np.float64)
    count = int((view.box.bottom - view.box.top) / apart_mm) + 2
    low = int(np.floor((view.box.top - first_mm) / apart_mm))
    found = [
        (number, *_peaks(blocks.ink, rows, view, first_mm + number * apart_mm, reach_mm))
        for number in range(low, low + count)
    ]
    strengths = np.concatenate([strength for _, _, strength in found])
    usual = float(np.percentile(strengths[strengths > 0], 75)) if (strengths > 0).any() else 0.0
    places, numbers = [], []
    for number, y_mm, strength in found:
        there = strength > max(_FAINT * usual, _LEAST_WEIGHT)
        kept = there & _in_line(blocks.x_mm, y_mm, there)
        if kept.sum() >= _LEAST_BLOCKS:
            places.append(np.column_stack((blocks.x_mm[kept], y_mm[kept])))
            numbers += [number] * int(kept.sum())
    return Lines(
        np.concatenate(places) if places else np.empty((0, 2)), np.array(numbers, dtype=np.intp)
    )


def _peaks(
    ink: Floats, rows: Floats, view: View, y_mm: float, reach_mm: float
) -> tuple[Floats, Floats]:
    """The darkest place near a height in each strip: its height in mm, and how dark it is.

    The nearer counts more, or a rim beside a height line would pass for it.
    """
    middle = float(view.rows(y_mm))
    near = np.abs(rows - middle) <= reach_mm * view.px_per_mm
    if not near.any():
        return np.full(len(ink), y_mm), np.zeros(len(ink))
    nearer = 1 - 0.6 * np.abs(rows[near] - middle) / (reach_mm * view.px_per_mm)
    darkest = rows[near][(ink[:, near] * nearer).argmax(axis=1)]
    half = 0.7 * view.px_per_mm
    weights = ink * (np.abs(rows - darkest[:, np.newaxis]) <= half)
    weight = weights.sum(axis=1)
    centre = (weights @ rows) / np.maximum(weight, 1e-9)
    return (centre + 0.5) / view.px_per_mm + view.box.top, weight


def _in_line(
    x: Floats, y: Floats, there: "np.ndarray[tuple[int, ...], np.dtype[np.bool_]]"
) -> "np.ndarray[tuple[int, ...], np.dtype[np.bool_]]":
    """Which of the places lie along one straight line: that through two of them near most."""
    at = np.flatnonzero(there)
    best = np.zeros(len(x), dtype=bool)
    for i, first in enumerate(at):
        for second in at[i + 1 :]:
            slope = (y[second] - y[first]) / (x[second] - x[first])
            near = np.abs(y - y[first] - slope * (x - x[first])) < _STRAIGHT_MM
            if abs(slope) < _STEEP and near[there].sum() > best[there].sum():
                best = near
    return best
