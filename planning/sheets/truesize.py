"""A drawing as large as what it shows, and the window of it that one page holds.

Lengths in millimetres of the drawing, x to the right and y downwards, from any origin.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import shapely
from reportlab.lib.units import mm
from shapely.geometry.base import BaseGeometry

from studio.paper.pages import Point, Shape, Stroke, Words
from studio.paper.text import CAPITAL, aligned, width_mm

Line = Stroke | Shape


@dataclass(frozen=True)
class Box:
    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.bottom - self.top

    @cached_property
    def polygon(self) -> shapely.Polygon:
        return shapely.box(self.left, self.top, self.right, self.bottom)

    def holds(self, other: "Box") -> bool:
        return (
            self.left <= other.left
            and self.top <= other.top
            and other.right <= self.right
            and other.bottom <= self.bottom
        )

    def shared(self, other: "Box") -> float:
        """The area that lies in both."""
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.bottom, other.bottom) - max(self.top, other.top)
        return max(wide, 0.0) * max(high, 0.0)


@dataclass(frozen=True)
class TrueSize:
    """Lines, and words that stand over them on a white ground. `contour` is what a small sketch of
    the drawing shows. Everything lies within `box`."""

    box: Box
    lines: Sequence[Line]
    labels: Sequence[Words]
    contour: Sequence[Point]


def room_of(words: Words, pad_mm: float = 0.6) -> Box:
    """The ground that words take up, with a little white round them."""
    wide = width_mm(words.text, words.size_pt, words.face)
    left = words.x_mm - aligned(0, wide, words.align)
    size = words.size_pt / mm
    return Box(
        left - pad_mm,
        words.y_mm - CAPITAL * size - pad_mm,
        left + wide + pad_mm,
        words.y_mm + 0.24 * size + pad_mm,  # tails of g and p
    )


def line_within(line: Line, window: Box) -> list[Line]:
    """The parts of a line, or of a filled shape, that lie in the window."""
    match line:
        case Stroke():
            ends = shapely.LineString([(line.x1_mm, line.y1_mm), (line.x2_mm, line.y2_mm)])
            return [
                replace(line, x1_mm=x1, y1_mm=y1, x2_mm=x2, y2_mm=y2)
                for (x1, y1), (x2, y2) in _runs(ends, window)
            ]
        case Shape(fill=None):
            closed = [*line.points_mm, line.points_mm[0]] if line.closed else line.points_mm
            path = shapely.LineString(closed)
            if window.polygon.covers(path):
                return [line]
            return [replace(line, points_mm=run, closed=False) for run in _runs(path, window)]
    part = shapely.intersection(shapely.Polygon(line.points_mm), window.polygon)
    return [
        replace(line, points_mm=_points(each.exterior)[:-1])
        for each in shapely.get_parts(part)
        if isinstance(each, shapely.Polygon) and each.area > 0
    ]


def moved(line: Line, right_mm: float, down_mm: float) -> Line:
    if isinstance(line, Stroke):
        return replace(
            line,
            x1_mm=line.x1_mm + right_mm,
            y1_mm=line.y1_mm + down_mm,
            x2_mm=line.x2_mm + right_mm,
            y2_mm=line.y2_mm + down_mm,
        )
    return replace(line, points_mm=tuple((x + right_mm, y + down_mm) for x, y in line.points_mm))


def labels_within(
    labels: Sequence[Words], windows: Sequence[Box], cells: Sequence[Box]
) -> list[list[Words]]:
    """Which words stand on which page. `cells` are what is seen of each when they are joined.

    Words that reach over a joint stand on each page of it, so that they are whole when it is
    made; where a page has no room for them, they are pushed into the cell with most of them.
    """
    found: list[list[Words]] = [[] for _ in windows]
    for words in labels:
        room = room_of(words)
        shares = [cell.shared(room) for cell in cells]
        seen = [place for place, share in enumerate(shares) if share > 0]
        if all(windows[place].holds(room) for place in seen):
            for place in seen:
                found[place].append(words)
        else:
            most = max(seen, key=lambda place: shares[place])
            found[most].append(_pushed(words, room, cells[most]))
    return found


def _pushed(words: Words, room: Box, window: Box) -> Words:
    right = max(window.left - room.left, 0.0) or min(window.right - room.right, 0.0)
    down = max(window.top - room.top, 0.0) or min(window.bottom - room.bottom, 0.0)
    return replace(words, x_mm=words.x_mm + right, y_mm=words.y_mm + down)


def _runs(path: BaseGeometry, window: Box) -> list[tuple[Point, ...]]:
    inside = shapely.line_merge(shapely.intersection(path, window.polygon))
    return [_points(part) for part in shapely.get_parts(inside) if part.length > 0]


def _points(path: BaseGeometry) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(path))
