"""What a page holds, in millimetres from its top left corner. Laid out first, drawn afterwards."""

from dataclasses import dataclass
from enum import Enum


@dataclass(frozen=True)
class Page:
    width_mm: float
    height_mm: float


A4 = Page(210.0, 297.0)  # ISO 216
LETTER = Page(215.9, 279.4)  # 8 1/2 × 11 in, ANSI/ASME Y14.1
PAGES = {"a4": A4, "letter": LETTER}


class Face(Enum):
    """The embedded faces; the value is the font file's name."""

    TEXT = "AtkinsonHyperlegibleNext-Regular"
    BOLD = "AtkinsonHyperlegibleNext-Bold"
    TITLE = "Fraunces-SemiBold"


@dataclass(frozen=True)
class Words:
    """One line of text that starts at `x_mm` with its baseline at `y_mm`."""

    x_mm: float
    y_mm: float
    text: str
    size_pt: float
    face: Face = Face.TEXT


@dataclass(frozen=True)
class Stroke:
    x1_mm: float
    y1_mm: float
    x2_mm: float
    y2_mm: float
    width_mm: float = 0.2
    dashed: bool = False


@dataclass(frozen=True)
class Modules:
    """Black cells of one size, filled as one shape: (column, row, how many to the right)."""

    x_mm: float
    y_mm: float
    cell_mm: float
    runs: tuple[tuple[int, int, int], ...]


Mark = Words | Stroke | Modules


@dataclass(frozen=True)
class Sheet:
    marks: tuple[Mark, ...]
