"""Where a drawn line ends, and the level line that closes a pot there."""

from typing import Final

import numpy as np

from .arrays import Floats, Ink
from .sampling import sampled

_BACK_MM: Final = 8.0
_ON_MM: Final = 6.0
_STEP_MM: Final = 0.1
_GAP_MM: Final = 0.9
_SIDE_MM: Final = 0.5
_INKED: Final = 0.45
_NEAR_MM: Final = 1.8
_INSET_MM: Final = 4.0
_AS_DARK: Final = 0.4
"""Of the outline: ruling is lighter."""

_CLOSED: Final = 0.6
"""Of the way across that a rim or foot is drawn on."""


def end_of(ink: Ink, line: Floats, px_per_mm: float) -> Floats:
    """Where the ink of a line (n, 2) ends beyond its last place: (2,), half a stroke within it."""
    back = line[-int(_BACK_MM / 0.5) :]
    along = back[-1] - back[0]
    along = along / np.hypot(*along)
    normal = np.array((along[1], -along[0]))
    s = np.arange(-_BACK_MM / 2, _ON_MM, _STEP_MM)
    offsets = np.arange(-_SIDE_MM, _SIDE_MM + 0.05, _STEP_MM)
    places = back[-1] + px_per_mm * (
        s[:, np.newaxis, np.newaxis] * along + offsets[:, np.newaxis] * normal
    )
    strip = sampled(ink, places)
    dark = strip.max(axis=1)
    usual = float(np.median(dark[s < -1]))
    inked = dark > _INKED * usual
    last, gap = 0.0, 0
    for at, is_inked in zip(s, inked, strict=True):
        gap = 0 if is_inked else gap + 1
        if gap * _STEP_MM > _GAP_MM:
            break
        if is_inked:
            last = float(at)
    wide = float(np.median((strip[s < -1] > 0.5 * usual).sum(axis=1))) * _STEP_MM
    return np.asarray(back[-1] + (last - wide / 2) * px_per_mm * along)


def closing_line(
    level: Ink, columns: tuple[float, float], row: float, *, dark: float, px_per_mm: float
) -> float | None:
    """The row of the level line between two `columns` near `row`, None without one."""
    inset = _INSET_MM * px_per_mm
    first, last = int(max(columns[0] + inset, 0)), int(columns[1] - inset)
    top = int(max(row - 2 * _NEAR_MM * px_per_mm, 0))
    bottom = int(row + 2 * _NEAR_MM * px_per_mm) + 1
    part = level[top:bottom, first : max(last, first)].astype(np.float64)
    if not part.size:
        return None
    on = (part > _AS_DARK * dark).mean(axis=1)
    rows = np.arange(top, top + len(part))
    strength = part.mean(axis=1)
    peak = np.r_[False, (strength[1:-1] >= strength[:-2]) & (strength[1:-1] > strength[2:]), False]
    found = np.flatnonzero(peak & (on > _CLOSED) & (np.abs(rows - row) < _NEAR_MM * px_per_mm))
    if not len(found):
        return None
    at = found[np.abs(rows[found] - row).argmin()]
    near = np.abs(rows - rows[at]) <= 0.6 * px_per_mm
    return float((strength[near] @ rows[near]) / strength[near].sum())
