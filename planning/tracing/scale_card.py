"""The printed scale card: four square markers on a card that lies beside a drawing.

Millimetres from the card's upper left corner, x to the right and y downwards. A print draws it
from here, at 100 %; `finding` looks for it in a photograph.

The markers are numbers 0 to 3 of the published dictionary DICT_4X4_50 (OpenCV, objdetect/aruco;
S. Garrido-Jurado et al., "Generation of fiducial marker dictionaries using mixed integer linear
programming", Pattern Recognition 51, 2016): four by four cells within a black border one cell
wide.
"""

from dataclasses import dataclass
from typing import Final

WIDTH_MM: Final = 132.0
HEIGHT_MM: Final = 96.0
"""Fits a quarter of A4 (148.5 × 105 mm) and of Letter (139.7 × 107.9 mm)."""

MARKER_MM: Final = 33.0
MARGIN_MM: Final = 7.0
"""White to the card's edge: more than the one cell that a marker needs round it."""

CELLS: Final = 6
CELL_MM: Final = MARKER_MM / CELLS

CODES: Final = {
    0: "1011010100110010",
    1: "0000111110011010",
    2: "0011001100101101",
    3: "1001100101000110",
}
"""The inner cells of each marker, row by row from its upper left; 1 is white."""

CHECK_BAR_MM: Final = 50.0
CHECK_BAR_AT: Final = (41.0, 48.0)
"""Left end of the bar that a ruler checks after printing."""

_RIGHT: Final = WIDTH_MM - MARGIN_MM - MARKER_MM
_LOWER: Final = HEIGHT_MM - MARGIN_MM - MARKER_MM
PLACES: Final = {
    0: (MARGIN_MM, MARGIN_MM),
    1: (_RIGHT, MARGIN_MM),
    2: (_RIGHT, _LOWER),
    3: (MARGIN_MM, _LOWER),
}
"""The upper left corner of each marker. Clockwise, so that a turned card is known as such."""


@dataclass(frozen=True)
class Module:
    """A black rectangle to print, in millimetres on the card."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


def corners_mm(marker: int) -> tuple[tuple[float, float], ...]:
    """The four outer corners of a marker, clockwise from its upper left. KeyError: not ours."""
    x, y = PLACES[marker]
    return ((x, y), (x + MARKER_MM, y), (x + MARKER_MM, y + MARKER_MM), (x, y + MARKER_MM))


def rows_of_cells(marker: int) -> tuple[str, ...]:
    """The marker with its border as six rows of six: "0" is black, "1" is white."""
    code = CODES[marker]
    inner = (code[at : at + CELLS - 2] for at in range(0, len(code), CELLS - 2))
    edge = "0" * CELLS
    return (edge, *(f"0{row}0" for row in inner), edge)


def black_modules(marker: int) -> tuple[Module, ...]:
    """What to fill in black for a marker: its cells, those beside one another in a row as one,
    so that no hairline of white is printed between them."""
    x, y = PLACES[marker]
    modules = []
    for down, row in enumerate(rows_of_cells(marker)):
        start = 0
        for run in row.split("1"):
            if run:
                at = x + start * CELL_MM
                modules.append(Module(at, y + down * CELL_MM, len(run) * CELL_MM, CELL_MM))
            start += len(run) + 1
    return tuple(modules)
