"""The lines that run up a drawing, and which of them are the pot's sides and its axis."""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from .arrays import Floats, Ink
from .opencv import cv2
from .paths import Path, best_path
from .reasons import Untrusted

Shows = Literal["half", "whole"]

_SHRINK: Final = 2
_MOST_LINES: Final = 6
_ROUND_MM: Final = 2.5
"""What lies so near a line that was found is that line's own grain, or its second stroke."""

_LEAST_MM: Final = 30.0
_FAINT: Final = 0.25
"""Of a full line: ruling, rubbed-out lines and grain earn nothing."""

_LEAST_GAIN: Final = 0.2
"""For each row: a column of figures beside the height lines has more gaps than a dashed axis."""
_LONG: Final = 0.55
"""Of the longest line: what is shorter is lettering or a measure."""

_TWO: Final = 2
_MIDWAY: Final = 0.12
_AXIS_SLOPE: Final = 0.02
_AXIS_OFF_MM: Final = 0.7


@dataclass(frozen=True, eq=False)
class Line:
    """A line that runs up: places (n, 2) in pixels of the view, from below."""

    places: Floats
    gain: float

    @property
    def height(self) -> float:
        return float(self.places[0, 1] - self.places[-1, 1])

    @property
    def middle(self) -> float:
        return float(self.places[:, 0].mean())


@dataclass(frozen=True)
class Sides:
    """`axis` is None where none is drawn. Half of a pot is `right`, `left` None."""

    right: Line
    left: Line | None
    axis: Line | None


def upright_lines(ink: Ink, dark: float, px_per_mm: float) -> list[Line]:
    """The long lines that run up the picture, the best first."""
    small = cv2.resize(
        cv2.GaussianBlur(ink, (0, 0), 0.3 * px_per_mm), None, fx=1 / _SHRINK, fy=1 / _SHRINK,
        interpolation=cv2.INTER_AREA,
    )  # fmt: skip
    scale = px_per_mm / _SHRINK
    earns = np.clip((small * (2.2 / dark) - _FAINT) / (1 - _FAINT), 0, 1).astype(np.float32)
    lines: list[Line] = []
    for _ in range(_MOST_LINES):
        path = best_path(earns)
        if path is None or len(path.rows) < _LEAST_MM * scale:
            break
        line = Line(_in_view(path), path.gain)
        if lines and line.height < _LONG * max(each.height for each in lines):
            break
        if path.gain > _LEAST_GAIN * len(path.rows):
            lines.append(line)
        _rub_out(earns, path, round(_ROUND_MM * scale))
    return lines


def _in_view(path: Path) -> Floats:
    return (np.column_stack((path.columns, path.rows)) + 0.5) * _SHRINK - 0.5


def _rub_out(earns: Ink, path: Path, reach: int) -> None:
    points = np.column_stack((path.columns, path.rows)).astype(np.int32)
    cv2.polylines(earns, [points], False, 0.0, 2 * reach + 1)


def sides_of(lines: list[Line], px_per_mm: float, shows: Shows | None) -> Sides:
    """Which lines are what. Raises Untrusted where it can't be told."""
    if not lines:
        raise Untrusted("no_line_work")
    lines = sorted(lines, key=lambda line: line.middle)
    straight = [is_straight(line, px_per_mm) for line in lines]
    curved = [line for line, is_axis in zip(lines, straight, strict=True) if not is_axis]
    if len(lines) == 1:
        raise Untrusted("one_side" if curved else "no_line_work")
    if len(lines) == _TWO:
        return _two(lines, straight, shows)
    if shows != "half" and len(curved) == _TWO:
        # Frames and measures are straight as well, but only an axis is in the middle.
        return Sides(curved[1], curved[0], _between(curved[0], curved[1], lines))
    if shows != "half" and not curved and len(lines) == _TWO + 1:
        return Sides(lines[2], lines[0], lines[1])
    raise Untrusted("several_lines")


def _between(left: Line, right: Line, lines: list[Line]) -> Line | None:
    """The line midway between two others, None without one."""
    middle, apart = (left.middle + right.middle) / 2, right.middle - left.middle
    near = [
        line
        for line in lines
        if line not in (left, right) and abs(line.middle - middle) < _MIDWAY * apart
    ]
    return min(near, key=lambda line: abs(line.middle - middle), default=None)


def _two(lines: list[Line], straight: list[bool], shows: Shows | None) -> Sides:
    if shows == "whole" or (shows is None and not any(straight)):
        return Sides(lines[1], lines[0], None)
    if not any(straight):
        raise Untrusted("one_side")
    if all(straight) and shows is None:
        raise Untrusted("axis_or_side")
    # In half of a cylinder either may be the axis: the half-width is the same.
    axis = straight.index(True)
    return Sides(lines[1 - axis], None, lines[axis])


def is_straight(line: Line, px_per_mm: float) -> bool:
    """Whether a line is upright and straight, as an axis is."""
    slope, start = np.polyfit(line.places[:, 1], line.places[:, 0], 1)
    off = line.places[:, 0] - slope * line.places[:, 1] - start
    rms = float(np.sqrt(np.mean(off**2))) / px_per_mm
    return bool(abs(slope) < _AXIS_SLOPE and rms < _AXIS_OFF_MM)
