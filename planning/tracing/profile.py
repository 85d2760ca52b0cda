"""Half-widths at the height lines, from the lines that are the pot's sides."""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Final

import numpy as np

from .arrays import Floats, Ink
from .ends import closing_line, end_of
from .ink import darkness, ink_of
from .opencv import cv2
from .reasons import Untrusted
from .ruling import level_ink, without_level
from .sampling import sampled
from .sides import Shows, Sides, sides_of, upright_lines
from .strokes import Stroke, middle_of_line
from .view import View

_SNAP_MM: Final = 0.4
"""A rim or foot so near a height line is drawn on it."""

_ALONE_MM: Final = 3.0
"""A height line nearer than this to foot or rim says nothing of its own."""

_FREE_MM: Final = 5.0
"""A line that ends nearer to the edge of what is seen may go on beyond it."""

_ENDS_MM: Final = 5.0
_LEAST_INKED: Final = 0.85
_MOST_GAP_MM: Final = 12.0
_MOST_APART_MM: Final = 12.0
_MOST_APART: Final = 0.12
_FIT_MM: Final = 5.0
_LEAST_DARK: Final = 0.1


@dataclass(frozen=True)
class Profile:
    """`heights` (n,) in mm above the table, from 0 to the rim, with both half-widths in mm.

    `table_mm` and `axis_mm` say where the table and, there, the axis lie in the view's frame;
    the axis leans by `axis_slope` mm to the right for each mm upwards. `on_left`: only half is
    drawn, and that is left of its axis.
    """

    heights: Floats
    left: Floats
    right: Floats
    whole: bool
    table_mm: float
    axis_mm: float
    axis_slope: float
    on_left: bool


@dataclass(frozen=True)
class _Read:
    """What was read in a view: the strokes of the pot's sides by name, slope and start of its
    axis in mm of x by y, how dark its lines are, and all level lines."""

    view: View
    strokes: dict[str, Stroke]
    axis: tuple[float, float]
    dark: float
    ink: Ink
    level: Ink


def profile_in(
    view: View, spacing_mm: float, drawn: Collection[int], shows: Shows | None
) -> Profile:
    """Line `n` of the height lines lies at y = n × spacing; those in `drawn` were seen.

    Raises Untrusted.
    """
    read = _read(view, shows)
    on_lines = np.array(sorted(drawn)) * spacing_mm
    table = _foot(read, on_lines)
    rim, _ = _end(read, on_lines, top=True)
    for stroke in read.strokes.values():
        _inked(view, stroke, table, rim)
    return _measured(read, table, rim, spacing_mm)


def _read(view: View, shows: Shows | None) -> _Read:
    ink = ink_of(view)
    dark = max(darkness(ink), _LEAST_DARK)
    level = level_ink(ink, view.px_per_mm)
    plain = without_level(ink, level)
    sides = sides_of(upright_lines(plain, dark, view.px_per_mm), view.px_per_mm, shows)
    spoilt = (cv2.dilate(level, np.ones((5, 1), np.uint8)) > 0.2 * dark).astype(np.float32)
    strokes = {}
    for name, line in (("left", sides.left), ("right", sides.right)):
        if line is not None:
            strokes[name] = middle_of_line(
                plain, spoilt, line.places, dark=dark, px_per_mm=view.px_per_mm
            )
    return _Read(view, strokes, _axis(view, sides, strokes), dark, ink, level)


def _axis(view: View, sides: Sides, strokes: dict[str, Stroke]) -> tuple[float, float]:
    """Slope and start of x in mm by y in mm along the axis; upright midway where none is drawn."""
    if sides.axis is not None:
        places = view.paper(sides.axis.places)
        slope, start = np.polyfit(places[:, 1], places[:, 0], 1)
        return float(slope), float(start)
    left, right = (view.paper(strokes[name].places) for name in ("left", "right"))
    y = right[:, 1]
    middle = (right[:, 0] + np.interp(-y, -left[:, 1], left[:, 0])) / 2
    return 0.0, float(np.median(middle))


def _foot(read: _Read, on_lines: Floats) -> float:
    """The table's height in the view's mm. Raises Untrusted where no level line shows it."""
    table, drawn = _end(read, on_lines, top=False)
    if not drawn:
        raise Untrusted("no_foot")
    return table


def _end(read: _Read, on_lines: Floats, *, top: bool) -> tuple[float, bool]:
    """The height in the view's mm where the sides end, and whether a level line is drawn there:
    a height line, one that closes the pot, else where their ink ends. Raises Untrusted."""
    view = read.view
    ends = [
        end_of(read.ink, stroke.places if top else stroke.places[::-1], view.px_per_mm)
        for stroke in read.strokes.values()
    ]
    rows = [float(end[1]) for end in ends]
    if max(rows) - min(rows) > _ENDS_MM * view.px_per_mm:
        raise Untrusted("ends_differ")
    reach = round(_FREE_MM * view.px_per_mm)
    around = np.ones((2 * reach + 1,) * 2, np.uint8)
    free = np.asarray(cv2.erode(view.seen, around, borderValue=0), dtype=np.uint8)
    if any(sampled(free, end) < 1 for end in ends):
        raise Untrusted("cut_off")
    row = float(np.mean(rows))
    y_mm = float(view.paper(np.array((0.0, row)))[1])
    axis = float(view.columns(read.axis[0] * y_mm + read.axis[1]))
    columns = sorted((float(ends[0][0]), float(ends[1][0]) if len(ends) > 1 else axis))
    closed = closing_line(
        read.level, (columns[0], columns[1]), row, dark=read.dark, px_per_mm=view.px_per_mm
    )
    if closed is not None:
        y_mm = float(view.paper(np.array((0.0, closed)))[1])
    nearest = float(on_lines[np.abs(on_lines - y_mm).argmin()])
    if abs(nearest - y_mm) < _SNAP_MM:
        return nearest, True
    return y_mm, closed is not None


def _inked(view: View, stroke: Stroke, table: float, rim: float) -> None:
    """Raises Untrusted where too little of a side is drawn."""
    y = view.paper(stroke.places)[:, 1]
    inked = stroke.ink[(y < table) & (y > rim)]
    gap = longest = 0
    for each in inked:
        gap = 0 if each else gap + 1
        longest = max(longest, gap)
    if len(inked) == 0 or inked.mean() < _LEAST_INKED or longest * 0.5 > _MOST_GAP_MM:
        raise Untrusted("gaps")


def _measured(read: _Read, table: float, rim: float, spacing_mm: float) -> Profile:
    numbers = np.arange(np.ceil(rim / spacing_mm), np.floor(table / spacing_mm) + 1)
    levels = numbers[::-1] * spacing_mm
    levels = levels[(levels < table - _ALONE_MM) & (levels > rim + _ALONE_MM)]
    y = np.concatenate(((table,), levels, (rim,)))
    middle = read.axis[0] * y + read.axis[1]
    x = {
        name: _at_heights(read.view.paper(stroke.places), y)
        for name, stroke in read.strokes.items()
    }
    right = x["right"] - middle
    left = middle - x["left"] if "left" in x else np.abs(right)
    on_left = "left" not in x and float(right.mean()) < 0
    right = right if "left" in x else np.abs(right)
    apart = np.abs(left - right)
    # Two lines side by side, as a wall's, are far from being alike about a middle as well.
    if apart.max() > max(_MOST_APART_MM, _MOST_APART * float((left + right).max())):
        raise Untrusted("sides_disagree", apart_mm=float(apart.max()))
    return Profile(
        table - y,
        left,
        right,
        "left" in x,
        table,
        float(middle[0]),
        -read.axis[0],
        on_left,
    )


def _at_heights(places: Floats, y: Floats) -> Floats:
    """x in mm of a line (n, 2) from below at heights `y`; straight on beyond its ends."""
    x = np.interp(-y, np.maximum.accumulate(-places[:, 1]), places[:, 0])
    for end, beyond in ((0, y > places[0, 1]), (-1, y < places[-1, 1])):
        near = places[np.abs(places[:, 1] - places[end, 1]) < _FIT_MM]
        slope, start = np.polyfit(near[:, 1], near[:, 0], 1)
        x[beyond] = slope * y[beyond] + start
    return np.asarray(x)
