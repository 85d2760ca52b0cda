"""A true-size drawing over as few pages as it takes, each with its head, its check bars and, where
there are several, register marks, lines to trim along and a sketch of how they go together."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product
from math import ceil

from django.utils.translation import gettext as _

from studio.paper.labels import UNPRINTED_MM
from studio.paper.pages import Align, Face, Mark, Page, Point, Shape, Sheet, Stroke, Words
from studio.paper.shapes import ellipse, plated, rectangle
from studio.paper.text import fitted, line_mm, lines_at, lines_of, width_mm, wrapped

from .checkbars import HIGH_MM, WIDE_MM, check_bars
from .truesize import Box, TrueSize, labels_within, line_within, moved, room_of

EDGE_MM = UNPRINTED_MM + 1.0
"""So much of each edge stays white: a line at the end of a window still lies on the paper that
every printer reaches."""

OVERLAP_MM = 14.0
HEAVY_MM = 0.3
HEAD_PT = 8.5
SKETCH_MM = (44.0, 27.0)
_TITLE_MM, _GAP_MM = 7.0, 1.5
_SPARE_MM = 1e-6
_SHARES = tuple(
    tuple(end + sign * 0.03 * step for step in range(5) for sign in (1, -1)) for end in (0.2, 0.8)
)
"""How far along an edge its two crosses stand, the first choice first."""


@dataclass(frozen=True)
class Head:
    """What stands above a drawing: `whose` is code, name and class, `how` what to do with it."""

    title: str
    whose: str
    how: str


@dataclass(frozen=True)
class Tiling:
    """Windows of one size on the drawing, row by row, neighbours sharing `OVERLAP_MM`."""

    page: Page
    head_mm: float
    rows: int
    columns: int
    windows: tuple[Box, ...]

    @property
    def is_one(self) -> bool:
        return len(self.windows) == 1

    @property
    def seams_x(self) -> list[float]:
        """Where pages meet from left to right: the middles of their overlaps."""
        return [right.left + OVERLAP_MM / 2 for right in self.windows[1 : self.columns]]

    @property
    def seams_y(self) -> list[float]:
        lefts = self.windows[:: self.columns]
        return [lower.top + OVERLAP_MM / 2 for lower in lefts[1:]]

    @property
    def cells(self) -> list[Box]:
        """What is seen of each page when they are joined."""
        first, last = self.windows[0], self.windows[-1]
        edges_x = [first.left, *self.seams_x, last.right]
        edges_y = [first.top, *self.seams_y, last.bottom]
        return [
            Box(left, top, right, bottom)
            for top, bottom in pairwise(edges_y)
            for left, right in pairwise(edges_x)
        ]


def true_size_sheets(drawing: TrueSize, head: Head, paper: Page) -> list[Sheet]:
    """The pages, row by row. Upright or lying, whichever takes fewer."""
    tiling = tiling_of(drawing, head, paper)
    labels = labels_within(drawing.labels, tiling.windows, tiling.cells)
    crosses = list(_registers(tiling, [room_of(words) for page in labels for words in page]))
    sheets = []
    for place, words in enumerate(labels):
        marks = (
            *_drawn(drawing, tiling, place, words, crosses),
            *_head(head, tiling, place),
            *_foot(drawing, tiling, place),
        )
        sheets.append(Sheet(marks, tiling.page))
    return sheets


def tiling_of(drawing: TrueSize, head: Head, paper: Page) -> Tiling:
    found = [_tiling(drawing.box, head, page) for page in (paper, paper.turned)]
    return min(found, key=lambda each: len(each.windows))


def _tiling(box: Box, head: Head, page: Page) -> Tiling:
    wide = page.width_mm - 2 * EDGE_MM
    head_mm = _TITLE_MM + len(lines_of(head.how, wide, HEAD_PT)) * line_mm(HEAD_PT) + _GAP_MM
    free = page.height_mm - 2 * EDGE_MM - head_mm - _GAP_MM
    if box.width <= wide and box.height <= free - HIGH_MM:
        size, rows, columns = (wide, free - HIGH_MM), 1, 1
    else:
        size = wide, free - SKETCH_MM[1]
        rows, columns = _steps(box.height, size[1]), _steps(box.width, size[0])
    return Tiling(page, head_mm, rows, columns, _windows(box, size, rows, columns))


def _steps(length: float, window: float) -> int:
    return max(ceil((length - OVERLAP_MM - _SPARE_MM) / (window - OVERLAP_MM)), 1)


def _windows(box: Box, size: tuple[float, float], rows: int, columns: int) -> tuple[Box, ...]:
    """The drawing stands in the middle of them all."""
    step_x, step_y = size[0] - OVERLAP_MM, size[1] - OVERLAP_MM
    left = (box.left + box.right - columns * step_x - OVERLAP_MM) / 2
    top = (box.top + box.bottom - rows * step_y - OVERLAP_MM) / 2
    lefts = [left + column * step_x for column in range(columns)]
    tops = [top + row * step_y for row in range(rows)]
    return tuple(Box(x, y, x + size[0], y + size[1]) for y in tops for x in lefts)


def _drawn(
    drawing: TrueSize,
    tiling: Tiling,
    place: int,
    labels: Sequence[Words],
    crosses: "Sequence[Register]",
) -> Iterator[Mark]:
    """What one window shows, on the page."""
    window = tiling.windows[place]
    right, down = EDGE_MM - window.left, EDGE_MM + tiling.head_mm - window.top
    thin = [each for each in drawing.lines if each.width_mm < HEAVY_MM]
    heavy = [each for each in drawing.lines if each.width_mm >= HEAVY_MM]
    for line in (*thin, *_trims(tiling, place)):
        for part in line_within(line, window):
            yield moved(part, right, down)
    yield from _trim_words(tiling, place, right, down)
    for register in crosses:
        if window.holds(register.box):
            yield from register.marks(right, down)
    for words in labels:
        at = replace(words, x_mm=words.x_mm + right, y_mm=words.y_mm + down)
        yield from plated(at)
    # What is cut along is drawn last: no word's white ground may hide a piece of it.
    for line in heavy:
        for part in line_within(line, window):
            yield moved(part, right, down)


def _head(head: Head, tiling: Tiling, place: int) -> Iterator[Mark]:
    wide = tiling.page.width_mm - 2 * EDGE_MM
    end = EDGE_MM + wide
    whose = Words(end, EDGE_MM + 4.4, head.whose, 11, Face.BOLD, Align.RIGHT)
    if not tiling.is_one:
        said = _("page %(number)s") % {"number": _number(tiling, place)}
        title = f"{head.title} · {said}"
    else:
        title = head.title
    room = wide - width_mm(whose.text, whose.size_pt, whose.face) - 4.0
    yield fitted(Words(EDGE_MM, EDGE_MM + 4.6, title, 14, Face.TITLE), room)
    yield whose
    lines = lines_of(head.how, wide, HEAD_PT)
    yield from lines_at(
        lines,
        EDGE_MM,
        EDGE_MM + _TITLE_MM,
        wide,
        size_pt=HEAD_PT,
        face=Face.TEXT,
        align=Align.LEFT,
    )


def _foot(drawing: TrueSize, tiling: Tiling, place: int) -> Iterator[Mark]:
    page = tiling.page
    bottom = page.height_mm - EDGE_MM
    wide = page.width_mm - 2 * EDGE_MM
    if tiling.is_one:
        yield from check_bars(EDGE_MM, bottom - HIGH_MM, wide)
        return
    cells = tiling.cells
    first, last = cells[0], cells[-1]
    size = last.right - first.left, last.bottom - first.top
    by = min(SKETCH_MM[0] / size[0], (SKETCH_MM[1] - 2.0) / size[1])
    room = wide - size[0] * by - 4.0
    yield from check_bars(EDGE_MM, bottom - HIGH_MM, room)
    said, _end = wrapped(
        _(
            "%(count)s pages, counted row/column. Trim each along its dashed lines, lay it on its "
            "neighbour so that the crosses of one number meet, and tape. The sketch shows where "
            "this page lies."
        )
        % {"count": len(cells)},
        EDGE_MM,
        bottom - SKETCH_MM[1] + 2.0,
        min(room, WIDE_MM + 40.0),
        HEAD_PT,
    )
    yield from said
    yield from _sketch(drawing, tiling, place, by, (page.width_mm - EDGE_MM, bottom))


def _sketch(
    drawing: TrueSize, tiling: Tiling, place: int, by: float, corner: Point
) -> Iterator[Mark]:
    """All pages small, this one grey, with what is drawn over them; `corner` is the lower right."""
    cells = tiling.cells
    last = cells[-1]

    def at(x: float, y: float) -> Point:
        return corner[0] - (last.right - x) * by, corner[1] - (last.bottom - y) * by

    for number, cell in enumerate(cells):
        fill = 0.8 if number == place else None
        size = cell.width * by, cell.height * by
        yield rectangle(*at(cell.left, cell.top), *size, width_mm=0.2, fill=fill)
    yield Shape(tuple(at(x, y) for x, y in drawing.contour), closed=False, width_mm=0.35)
    for number, cell in enumerate(cells):
        x, y = at(cell.left, cell.bottom)
        face = Face.BOLD if number == place else Face.TEXT
        yield Words(x + 0.8, y - 1.0, _number(tiling, number), 7, face)


def _number(tiling: Tiling, place: int) -> str:
    row, column = divmod(place, tiling.columns)
    return f"{row + 1}/{column + 1}"


@dataclass(frozen=True)
class Register:
    """A cross with a ring, drawn on every page that shares its place, and its number beside it."""

    number: int
    x: float
    y: float

    @property
    def box(self) -> Box:
        reach = OVERLAP_MM / 2 - 1.0
        return Box(self.x - reach, self.y - reach, self.x + reach, self.y + reach)

    def covers(self, words: Sequence[Box]) -> float:
        return sum(self.box.shared(each) for each in words)

    def marks(self, right: float, down: float) -> list[Mark]:
        x, y = self.x + right, self.y + down
        return [
            Stroke(x - 4.5, y, x + 4.5, y, 0.15),
            Stroke(x, y - 4.5, x, y + 4.5, 0.15),
            ellipse(x, y, 2.5, width_mm=0.15),
            Words(x + 2.8, y - 2.4, str(self.number), 7),
        ]


def _registers(tiling: Tiling, words: Sequence[Box]) -> Iterator[Register]:
    """Two on each edge that two pages share, away from the corners and clear of the `words`."""
    rows, columns = tiling.windows[:: tiling.columns], tiling.windows[: tiling.columns]
    upright = [
        [(x, window.top + share * window.height) for share in shares]
        for window, x, shares in product(rows, tiling.seams_x, _SHARES)
    ]
    level = [
        [(window.left + share * window.width, y) for share in shares]
        for window, y, shares in product(columns, tiling.seams_y, _SHARES)
    ]
    for number, places in enumerate(upright + level, 1):
        ways = [Register(number, x, y) for x, y in places]
        yield min(ways, key=lambda each: each.covers(words))


def _trim_words(tiling: Tiling, place: int, right: float, down: float) -> Iterator[Words]:
    window = tiling.windows[place]
    row, column = divmod(place, tiling.columns)
    if column:
        x = tiling.seams_x[column - 1] + right
        yield Words(x - 0.8, window.top + down + 3.0, _("trim"), 7, align=Align.RIGHT)
    if row:
        y = tiling.seams_y[row - 1] + down
        yield Words(window.right + right, y - 0.8, _("trim"), 7, align=Align.RIGHT)


def _trims(tiling: Tiling, place: int) -> Iterator[Stroke]:
    """A page is trimmed at the left and above, where it lies on its neighbour."""
    window = tiling.windows[place]
    row, column = divmod(place, tiling.columns)
    if column:
        x = tiling.seams_x[column - 1]
        yield Stroke(x, window.top, x, window.bottom, 0.15, dashed=True)
    if row:
        y = tiling.seams_y[row - 1]
        yield Stroke(window.left, y, window.right, y, 0.15, dashed=True)
