"""Tables: rows that are never split, under a head that is repeated on each page."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from .blocks import Part
from .pages import Align, Face, Mark, Stroke
from .shapes import box, rectangle
from .text import aligned, line_mm, lines_at, lines_of

REST = 0.0  # a column of this room shares what the others leave
GUTTER_MM = 4.0  # between two columns
PAD_MM = 1.2  # above and below the words of a row
TICK_MM = 4.0
LEAST_MM = 12.0  # of a column that shares
HEAD_PT = 9.0
HEAD_LINES = 3
LINE_MM, HEAD_LINE_MM = 0.15, 0.4
GREY = 0.5


@dataclass(frozen=True)
class Column:
    """`lines`: how many lines a cell may take before it ends in an ellipsis."""

    title: str
    room_mm: float = REST
    align: Align = Align.LEFT
    face: Face = Face.TEXT
    size_pt: float = 10.0
    lines: int = 4


@dataclass(frozen=True)
class Tick:
    """A box to tick, with a word or two behind it if wanted."""

    text: str = ""


@dataclass(frozen=True)
class Blank:
    """A pale frame to write in."""

    height_mm: float = 6.5


@dataclass(frozen=True)
class Picture:
    """Drawn into a cell: `draw(x_mm, y_mm, room_mm)` from its top left corner."""

    height_mm: float
    draw: Callable[[float, float, float], Sequence[Mark]]


Cell = str | Tick | Blank | Picture


@dataclass(frozen=True)
class Table:
    """A block. `total` is a last row in bold, kept with the row above it."""

    columns: Sequence[Column]
    rows: Sequence[Sequence[Cell]]
    total: Sequence[Cell] = ()
    row_mm: float = 7.5  # the least height of a row
    after_mm: float = 6.0
    pad_mm: float = PAD_MM
    gutter_mm: float = GUTTER_MM
    keep: bool = False
    whole: bool = False

    def head(self, room_mm: float) -> Part | None:
        bold = [
            replace(each, face=Face.BOLD, size_pt=HEAD_PT, lines=HEAD_LINES)
            for each in self.columns
        ]
        return self._row(bold, [each.title for each in bold], room_mm, 0, HEAD_LINE_MM)

    def parts(self, room_mm: float) -> list[Part]:
        rows = [
            self._row(self.columns, cells, room_mm, self.row_mm, LINE_MM) for cells in self.rows
        ]
        if self.total:
            bold = [replace(each, face=Face.BOLD) for each in self.columns]
            total = self._row(bold, self.total, room_mm, self.row_mm, HEAD_LINE_MM)
            rows[-1:] = [_stacked(rows[-1], total)] if rows else [total]
        return rows

    def _row(
        self,
        columns: Sequence[Column],
        cells: Sequence[Cell],
        room_mm: float,
        least_mm: float,
        line_mm: float,
    ) -> Part:
        """Its cells stand in the middle of its height; a line ends it, but for frames only."""
        given = rooms(columns, room_mm, self.gutter_mm)
        laid = [
            _laid(column, cell, room)
            for column, cell, room in zip(columns, cells, given, strict=True)
        ]
        height_mm = max([least_mm, *(part.height_mm + 2 * self.pad_mm for part in laid)])

        def draw(x_mm: float, y_mm: float) -> list[Mark]:
            marks: list[Mark] = []
            at_mm = x_mm
            for part, room in zip(laid, given, strict=True):
                marks += part.draw(at_mm, y_mm + (height_mm - part.height_mm) / 2)
                at_mm += room + self.gutter_mm
            grey = GREY if line_mm == LINE_MM else 0.0
            end_mm, under_mm = at_mm - self.gutter_mm, y_mm + height_mm
            if all(isinstance(cell, Blank) for cell in cells):
                return marks
            return [*marks, Stroke(x_mm, under_mm, end_mm, under_mm, line_mm, grey=grey)]

        return Part(height_mm, draw)


def rooms(columns: Sequence[Column], room_mm: float, gutter_mm: float = GUTTER_MM) -> list[float]:
    """The room of each column's words: as asked, or less where the page is too narrow for all."""
    free_mm = room_mm - gutter_mm * (len(columns) - 1)
    asked_mm = sum(column.room_mm for column in columns)
    sharing = sum(column.room_mm == REST for column in columns)
    share_mm = max(LEAST_MM, (free_mm - asked_mm) / sharing) if sharing else 0.0
    shrink = min(1.0, free_mm / (asked_mm + share_mm * sharing))
    return [(column.room_mm or share_mm) * shrink for column in columns]


def _laid(column: Column, cell: Cell, room_mm: float) -> Part:
    match cell:
        case str():
            return _text(column, cell, room_mm)
        case Tick():
            return _tick(column, cell, room_mm)
        case Blank():
            return _blank(cell.height_mm, room_mm)
        case Picture(height_mm=height_mm, draw=draw):
            return Part(height_mm, lambda x_mm, y_mm: draw(x_mm, y_mm, room_mm))


def _text(column: Column, text: str, room_mm: float) -> Part:
    size_pt, face, align = column.size_pt, column.face, column.align
    lines = lines_of(text, room_mm, size_pt, face, most=column.lines)
    draw = partial(lines_at, lines, room_mm=room_mm, size_pt=size_pt, face=face, align=align)
    return Part(len(lines) * line_mm(size_pt), draw)


def _tick(column: Column, tick: Tick, room_mm: float) -> Part:
    aside_mm = TICK_MM + 1.8 if tick.text else TICK_MM
    beside = _text(replace(column, align=Align.LEFT), tick.text, room_mm - aside_mm)
    height_mm = max(TICK_MM, beside.height_mm)
    shift_mm = aligned(0, room_mm - TICK_MM, column.align) if not tick.text else 0.0

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        words_mm = y_mm + (height_mm - beside.height_mm) / 2
        return [
            box(x_mm + shift_mm, y_mm + (height_mm - TICK_MM) / 2, TICK_MM),
            *beside.draw(x_mm + aside_mm, words_mm),
        ]

    return Part(height_mm, draw)


def _blank(height_mm: float, room_mm: float) -> Part:
    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        return [replace(rectangle(x_mm, y_mm, room_mm, height_mm, width_mm=0.15), grey=GREY)]

    return Part(height_mm, draw)


def _stacked(upper: Part, lower: Part) -> Part:
    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        return [*upper.draw(x_mm, y_mm), *lower.draw(x_mm, y_mm + upper.height_mm)]

    return Part(upper.height_mm + lower.height_mm, draw)
