"""What a page holds, in millimetres from its top left corner. Laid out first, drawn afterwards."""

from dataclasses import dataclass
from enum import Enum


@dataclass(frozen=True)
class Page:
    width_mm: float
    height_mm: float

    @property
    def turned(self) -> "Page":
        """The same paper, lying where it stood."""
        return Page(self.height_mm, self.width_mm)


A4 = Page(210.0, 297.0)  # ISO 216
A3 = Page(297.0, 420.0)  # ISO 216
LETTER = Page(215.9, 279.4)  # 8 1/2 × 11 in, ANSI/ASME Y14.1
TABLOID = Page(279.4, 431.8)  # 11 × 17 in, ANSI/ASME Y14.1
PAGES = {"a4": A4, "letter": LETTER}
WITH_LARGE_PAGES = PAGES | {"a3": A3, "tabloid": TABLOID}


class Face(Enum):
    """The embedded faces; the value is the font file's name."""

    TEXT = "AtkinsonHyperlegibleNext-Regular"
    BOLD = "AtkinsonHyperlegibleNext-Bold"
    TITLE = "Fraunces-SemiBold"


class Align(Enum):
    """Which point of a line of words, or which side of a column, its x_mm is."""

    LEFT = "left"
    CENTRE = "centre"
    RIGHT = "right"


Point = tuple[float, float]  # x and y in mm


@dataclass(frozen=True)
class Words:
    """One line of text at `x_mm` (its start, middle or end) with its baseline at `y_mm`."""

    x_mm: float
    y_mm: float
    text: str
    size_pt: float
    face: Face = Face.TEXT
    align: Align = Align.LEFT
    grey: float = 0.0  # 0 black, 1 white, as for every mark


@dataclass(frozen=True)
class Stroke:
    x1_mm: float
    y1_mm: float
    x2_mm: float
    y2_mm: float
    width_mm: float = 0.2
    dashed: bool = False
    grey: float = 0.0


@dataclass(frozen=True)
class Shape:
    """A line through points; closed, it may be filled. A width of 0 draws no outline."""

    points_mm: tuple[Point, ...]
    closed: bool = True
    width_mm: float = 0.3
    fill: float | None = None
    dashed: bool = False
    grey: float = 0.0


@dataclass(frozen=True)
class Modules:
    """Black cells of one size, filled as one shape: (column, row, how many to the right)."""

    x_mm: float
    y_mm: float
    cell_mm: float
    runs: tuple[tuple[int, int, int], ...]


Mark = Words | Stroke | Shape | Modules


@dataclass(frozen=True)
class Sheet:
    """`page` is its own, where it is another than the document's."""

    marks: tuple[Mark, ...]
    page: Page | None = None
