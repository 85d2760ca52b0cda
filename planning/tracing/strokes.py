"""Where exactly a pencil line runs: the middle of its ink across its direction."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.ndimage import gaussian_filter1d

from .arrays import Floats, Ink
from .sampling import sampled

_EVERY_MM: Final = 0.5
_ACROSS_MM: Final = 1.6
_OFFSETS_MM: Final = np.arange(-_ACROSS_MM, _ACROSS_MM + 0.05, 0.1)
_SMOOTH_MM: Final = 1.5
"""Shorter waves than this are grain of paper and pencil."""

_INKED: Final = 0.3
_SPOILS: Final = 0.5
_OUTLIER_MM: Final = 0.7


@dataclass(frozen=True)
class Stroke:
    """Places (n, 2) along the middle of a line, half a millimetre apart, in pixels; which of them
    have `ink` (n,), and the line's width in mm."""

    places: Floats
    ink: "np.ndarray[tuple[int, ...], np.dtype[np.bool_]]"
    width_mm: float


def middle_of_line(
    ink: Ink, spoilt: Ink, path: Floats, *, dark: float, px_per_mm: float, closed: bool = False
) -> Stroke:
    """The line near `path` (n, 2). Where `spoilt` is not 0 other lines cross: it is bridged."""
    places = evenly(path, _EVERY_MM * px_per_mm, closed)
    for reach in (1.0, 0.6):
        soft = _soft(places, closed)
        normal = _normals(soft, closed)
        across = soft[:, np.newaxis] + normal[:, np.newaxis] * (
            _OFFSETS_MM[:, np.newaxis] * px_per_mm
        )
        spoils = sampled(spoilt, across) > _SPOILS
        dark_there = sampled(ink, across) * ~spoils
        clean = ~spoils.any(axis=1)
        peak = _peaks(dark_there)
        weight = dark_there * (np.abs(_OFFSETS_MM - peak[:, np.newaxis]) <= reach)
        total = weight.sum(axis=1)
        inked = dark_there.max(axis=1) > _INKED * dark
        centre = (weight @ _OFFSETS_MM) / np.maximum(total, 1e-9)
        trust = np.where(inked & clean, np.minimum(total, np.median(total) * 2 + 1e-9), 0.0)
        shift = _smoothed(centre, trust, closed)
        places = soft + normal * shift[:, np.newaxis] * px_per_mm
    near = inked | ~clean
    width = np.median(total[inked & clean] * 0.1 / dark) if (inked & clean).any() else 0.0
    return Stroke(places, np.asarray(near), float(width))


def evenly(path: Floats, step: float, closed: bool) -> Floats:
    """Places a `step` apart along a path (n, 2)."""
    line = np.concatenate((path, path[:1])) if closed else path
    along = np.concatenate(((0.0,), np.cumsum(np.hypot(*np.diff(line, axis=0).T))))
    count = max(4, int(along[-1] / step))
    at = np.linspace(0, along[-1], count + 1)[: -1 if closed else None]
    return np.column_stack([np.interp(at, along, line[:, each]) for each in (0, 1)])


def _soft(places: Floats, closed: bool) -> Floats:
    """The places smoothed along the line, straight on beyond its ends."""
    if closed:
        return _gauss(places, _SMOOTH_MM / _EVERY_MM, closed)
    beyond = min(12, len(places) - 1)
    padded = np.pad(places, ((beyond, beyond), (0, 0)), mode="reflect", reflect_type="odd")
    return _gauss(padded, _SMOOTH_MM / _EVERY_MM, closed)[beyond:-beyond]


def _gauss(values: Floats, size: float, closed: bool) -> Floats:
    if closed:
        return np.asarray(gaussian_filter1d(values, size, axis=0, mode="wrap"))
    return np.asarray(gaussian_filter1d(values, size, axis=0, mode="nearest"))


def _normals(places: Floats, closed: bool) -> Floats:
    if closed:
        along = np.roll(places, -2, axis=0) - np.roll(places, 2, axis=0)
    else:
        along = np.gradient(places, axis=0)
    along /= np.maximum(np.hypot(*along.T)[:, np.newaxis], 1e-9)
    return np.column_stack((along[:, 1], -along[:, 0]))


def _peaks(dark: Floats) -> Floats:
    """The darkest offset of each normal, preferring the middle."""
    soft = gaussian_filter1d(dark, 2.0, axis=1) * (1 - 0.15 * np.abs(_OFFSETS_MM))
    return np.asarray(_OFFSETS_MM[soft.argmax(axis=1)])


def _smoothed(centre: Floats, trust: Floats, closed: bool) -> Floats:
    """The offsets smoothed along the line, by trust; outliers lose theirs."""
    for _ in range(2):
        weight = _gauss(trust, _SMOOTH_MM / _EVERY_MM, closed)
        mean = _gauss(centre * trust, _SMOOTH_MM / _EVERY_MM, closed) / np.maximum(weight, 1e-9)
        trust = trust * (np.abs(centre - mean) < _OUTLIER_MM)
    return np.asarray(mean)
