"""Labels with a code to scan, on sheets to be cut apart. Values in, bytes out; nothing is kept."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from django.utils.translation import gettext as _

from .codes import qr
from .pages import Face, Mark, Page, Sheet, Stroke, Words
from .pdf import pdf
from .shapes import rectangle
from .text import fitted, lines_of, width_mm, wrapped

INSET_MM = 2.0
UNPRINTED_MM = 6.0  # along each edge: common practice, no source
MOST_LINES = 2


@dataclass(frozen=True)
class BaseLabel:
    """Lies under a pot on its board. `name` is a first name and an initial."""

    code: str
    address: str
    name: str
    section: str
    not_for_food: bool = False


@dataclass(frozen=True)
class ShelfLabel:
    """Is taped to a shelf, a cart or a damp cupboard."""

    place: str
    address: str
    note: str = ""


@dataclass(frozen=True)
class Grid:
    """Where labels lie on a page: the first one's corner, each one's size, white between them."""

    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    across_mm: float = 0.0
    down_mm: float = 0.0

    def corners(self) -> list[tuple[float, float]]:
        """The top left corner of each label, row by row."""
        return [
            (
                self.left_mm + column * (self.width_mm + self.across_mm),
                self.top_mm + row * (self.height_mm + self.down_mm),
            )
            for row in range(self.rows)
            for column in range(self.columns)
        ]


def base_grid(page: Page) -> Grid:
    return _centred(page, 90.0, 35.0)


def shelf_grid(page: Page) -> Grid:
    return _centred(page, 180.0, 60.0)


def base_labels_pdf(labels: Sequence[BaseLabel], page: Page, *, grid: Grid | None = None) -> bytes:
    """A grid that is given is one of gummed labels; without one there are lines to cut along."""
    drawn = [partial(_base, label) for label in labels]
    sheets = label_sheets(drawn, grid or base_grid(page), cut=grid is None)
    return pdf(page, sheets, title=_("Base labels"))


def shelf_labels_pdf(
    labels: Sequence[ShelfLabel], page: Page, *, grid: Grid | None = None
) -> bytes:
    """The same for places."""
    drawn = [partial(_shelf, label) for label in labels]
    sheets = label_sheets(drawn, grid or shelf_grid(page), cut=grid is None)
    return pdf(page, sheets, title=_("Shelf labels"))


# Draws one label whose top left corner is at (x_mm, y_mm), of the size that the grid says.
Draw = Callable[[float, float, Grid], Sequence[Mark]]


def label_sheets(labels: Sequence[Draw], grid: Grid, *, cut: bool) -> list[Sheet]:
    """The pages, laid out, with lines to cut along if wanted."""
    corners = grid.corners()
    sheets = []
    for first in range(0, len(labels), len(corners)):
        marks: list[Mark] = _cut_lines(grid) if cut else []
        for label, (x_mm, y_mm) in zip(labels[first:], corners, strict=False):
            marks += label(x_mm, y_mm, grid)
        sheets.append(Sheet(tuple(marks)))
    return sheets


def _centred(page: Page, width_mm: float, height_mm: float) -> Grid:
    """As many labels as the page holds within what every printer reaches."""
    columns = int((page.width_mm - 2 * UNPRINTED_MM) // width_mm)
    rows = int((page.height_mm - 2 * UNPRINTED_MM) // height_mm)
    left_mm = (page.width_mm - columns * width_mm) / 2
    top_mm = (page.height_mm - rows * height_mm) / 2
    return Grid(columns, rows, width_mm, height_mm, left_mm, top_mm)


def _cut_lines(grid: Grid) -> list[Mark]:
    right_mm = grid.left_mm + grid.columns * grid.width_mm
    bottom_mm = grid.top_mm + grid.rows * grid.height_mm
    across = (grid.top_mm + row * grid.height_mm for row in range(grid.rows + 1))
    down = (grid.left_mm + column * grid.width_mm for column in range(grid.columns + 1))
    return [
        *(Stroke(grid.left_mm, y_mm, right_mm, y_mm, dashed=True) for y_mm in across),
        *(Stroke(x_mm, grid.top_mm, x_mm, bottom_mm, dashed=True) for x_mm in down),
    ]


def _base(label: BaseLabel, x_mm: float, y_mm: float, grid: Grid) -> list[Mark]:
    """Laid out for 90 × 35 mm, larger or smaller with the grid."""
    size = min(grid.width_mm / 90, grid.height_mm / 35)
    side_mm = min(grid.height_mm - 2 * INSET_MM, grid.width_mm * 0.38)
    left_mm = x_mm + side_mm + 2 * INSET_MM
    room_mm = grid.width_mm - side_mm - 4 * INSET_MM
    down = [11.5, 18.5, 24.0] if label.not_for_food else [13.0, 21.0, 27.5]
    code_mm, name_mm, section_mm = (y_mm + each * size for each in down)
    words = [
        Words(left_mm, code_mm, label.code, 28 * size, Face.BOLD),
        Words(left_mm, name_mm, label.name, 13 * size),
        Words(left_mm, section_mm, label.section, 10 * size),
    ]
    top_mm = y_mm + (grid.height_mm - side_mm) / 2
    code = qr(label.address, x_mm=x_mm + INSET_MM, y_mm=top_mm, side_mm=side_mm)
    warning = _not_for_food(left_mm, y_mm + 26.5 * size, size) if label.not_for_food else []
    return [code, *(fitted(each, room_mm) for each in words), *warning]


def _not_for_food(x_mm: float, y_mm: float, size: float) -> list[Mark]:
    said = Words(
        x_mm + 1.5 * size, y_mm + 4.1 * size, _("Not for food"), 10 * size, Face.BOLD, grey=1
    )
    wide_mm = width_mm(said.text, said.size_pt, said.face) + 3 * size
    return [rectangle(x_mm, y_mm, wide_mm, 5.6 * size, width_mm=0.0, fill=0.0), said]


def _shelf(label: ShelfLabel, x_mm: float, y_mm: float, grid: Grid) -> list[Mark]:
    """The place in letters as large as two lines allow, read from across the room."""
    side_mm = min(grid.height_mm - 4 * INSET_MM, grid.width_mm / 3)
    left_mm = x_mm + side_mm + 4 * INSET_MM
    room_mm = grid.width_mm - side_mm - 7 * INSET_MM
    sizes_pt = range(round(grid.height_mm * 0.68), 9, -1)
    size_pt = next((size for size in sizes_pt if _few_lines(label.place, room_mm, size)), 9)
    place = partial(
        wrapped,
        label.place,
        room_mm=room_mm,
        size_pt=size_pt,
        leading=1.15,
        face=Face.TITLE,
        most=MOST_LINES,
    )
    note_pt = max(9.0, grid.height_mm * 0.2)
    note = partial(wrapped, label.note, room_mm=room_mm, size_pt=note_pt, most=MOST_LINES)
    high_mm = place(x_mm=0, y_mm=0)[1] + note(x_mm=0, y_mm=0)[1]
    words, under_mm = place(x_mm=left_mm, y_mm=y_mm + (grid.height_mm - high_mm) / 2)
    below, _end_mm = note(x_mm=left_mm, y_mm=under_mm)
    top_mm = y_mm + (grid.height_mm - side_mm) / 2
    return [qr(label.address, x_mm=x_mm + INSET_MM, y_mm=top_mm, side_mm=side_mm), *words, *below]


def _few_lines(place: str, room_mm: float, size_pt: float) -> bool:
    lines = lines_of(place, room_mm, size_pt, Face.TITLE)
    return len(lines) <= MOST_LINES and " ".join(lines) == " ".join(place.split())
