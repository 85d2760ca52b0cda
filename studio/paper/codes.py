"""QR codes (ISO/IEC 18004) as black cells, so that a printer draws them sharp at any size."""

import segno

from .pages import Modules

# The standard asks for four modules of white on every side.
QUIET = 4


def qr(text: str, *, x_mm: float, y_mm: float, side_mm: float) -> Modules:
    """A code within a square of `side_mm`, its quiet zone included."""
    matrix = segno.make(text, error="m", micro=False).matrix
    cell_mm = side_mm / (len(matrix) + 2 * QUIET)
    runs = []
    for row, cells in enumerate(matrix):
        column = 0
        while column < len(cells):
            length = 0
            while column + length < len(cells) and cells[column + length]:
                length += 1
            if length:
                runs.append((column + QUIET, row + QUIET, length))
            column += max(length, 1)
    return Modules(x_mm, y_mm, cell_mm, tuple(runs))
