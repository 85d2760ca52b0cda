"""Ruled, squared and dotted paper under many small drawings: each printed line is followed over
the page, and those that shadows or drawings hide are looked for where the others say."""

from typing import Final

import numpy as np

from planning.exploration.ruling import FEWEST, erase, level_lines, near_line
from planning.tracing.arrays import Floats, Gray, Ink

_FOLLOWED_PX: Final = 4
"""Lenses and curled paper bend a line by a few pixels."""

_AGAIN: Final = 2
_SEEN: Final = 0.45
"""Of a line's way: found by itself. One that others foretell needs half as much."""

_END: Final = 24
_OF_ENDS: Final = 2.0
"""A printed line runs to both edges of the paper, a row of frames doesn't: half as much is seen of
the first and of the last of so many parts, where shadows lie."""

_FOLD: Final = 0.8
"""Of a line's way: one alone that is seen so far is a fold or a margin."""

_APART_PX: Final = 6.0
_EVEN: Final = 0.2
"""Of their distance: so exactly are lines of a ruling where the others say."""


def without_printed(ink: Ink, page: Gray, faint: float) -> Ink:
    """The ink without the lines of the paper; `faint` is the lightest ink that counts, `page` 255
    on the paper, of which there is some."""
    strokes = float(np.quantile(ink[page > 0], 0.998))
    seen = ((ink > faint) & (page > 0)).astype(np.uint8)
    left = ink.copy()
    for was, on, there, paper in ((ink, left, seen, page), (ink.T, left.T, seen.T, page.T)):
        for line in _lines(was, there, paper):
            erase(on, was, line, strokes)
    return left


def _lines(ink: Ink, seen: Gray, page: Gray) -> list[Floats]:
    """The rows of every about level printed line at each column, from above; where there are less
    than three, only those that are seen nearly all across."""
    found: list[Floats] = []
    for line in level_lines(seen):
        followed = _followed(ink, seen, line)
        if _covered(seen, page, followed) > _SEEN and _apart(followed, found):
            found.append(followed)
    if len(found) < FEWEST:
        return [line for line in found if _covered(seen, page, line) > _FOLD]
    found.sort(key=lambda line: float(line.mean()))
    for guess in _foretold(found):
        followed = _followed(ink, seen, guess)
        if _covered(seen, page, followed) > _SEEN / 2 and _apart(followed, found):
            found.append(followed)
    return found


def _covered(seen: Gray, page: Gray, line: Floats) -> float:
    """The part of a line's way over the page that is seen, less where it doesn't run to an edge."""
    columns, rows, near = near_line(seen, line)
    along = near[page[rows, columns] > 0]
    if not len(along):
        return 0.0
    end = max(1, len(along) // _END)
    ends = min(float(along[:end].mean()), float(along[-end:].mean()))
    return min(float(along.mean()), _OF_ENDS * ends)


def _apart(line: Floats, others: list[Floats]) -> bool:
    return all(abs(float((line - other).mean())) > _APART_PX for other in others)


def _followed(ink: Ink, seen: Gray, line: Floats) -> Floats:
    """The line moved and bent a little to where the ink is."""
    columns = np.arange(len(line))
    by = np.arange(-_FOLLOWED_PX, _FOLLOWED_PX + 1)
    for _ in range(_AGAIN):
        rows = np.rint(line).astype(int) + by[:, np.newaxis]
        inside = (rows >= 0) & (rows < len(ink))
        rows = np.clip(rows, 0, len(ink) - 1)
        dark = np.where(inside & (seen[rows, columns] > 0), ink[rows, columns], 0)
        there = dark.max(axis=0) > 0
        if np.count_nonzero(there) < len(line) / 8:
            break
        off = by[dark.argmax(axis=0)][there].astype(np.float64)
        at = columns[there] / len(line) - 0.5
        for _ in range(_AGAIN):
            bend = np.polynomial.Polynomial.fit(at, off, 2)
            near = np.abs(bend(at) - off) < _FOLLOWED_PX / 2
            if np.count_nonzero(near) < len(line) / 8:
                break
            at, off = at[near], off[near]
        line = line + np.clip(bend(columns / len(line) - 0.5), -_FOLLOWED_PX, _FOLLOWED_PX)
    return line


def _foretold(lines: list[Floats]) -> list[Floats]:
    """Where further lines are between those known, and before and after them."""
    middles = np.array([float(line.mean()) for line in lines])
    steps = np.diff(middles)
    step = float(np.quantile(steps, 0.3))
    guesses: list[Floats] = []
    for first, second, gap in zip(lines, lines[1:], steps, strict=False):
        count = round(gap / step)
        if count > 1 and abs(gap / step - count) < _EVEN * count:
            guesses += [first + (second - first) * k / count for k in range(1, count)]
    slope = (lines[-1] - lines[0]) / max(1e-6, float(middles[-1] - middles[0]))
    for end, way in ((lines[0], -1), (lines[-1], 1)):
        guesses += [end + way * k * step * slope for k in range(1, 4)]
    return guesses
