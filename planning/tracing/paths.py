"""The best path up a picture: one place in each row, by dynamic programming.

Every row earns the ink that the path passes, less a fee, so that the path begins and ends with
its line and bridges gaps that the line makes worth it. Going level costs a little and earns
nothing, or a path could run to and fro along a rim.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from .arrays import Floats, Ink

Columns = np.ndarray[tuple[int, ...], np.dtype[np.int32]]

FEE: Final = 0.4
"""What an empty row costs; a full one earns the rest of 1."""

_LEVEL_FEE: Final = 0.06
_OFF_INK: Final = 0.7


@dataclass(frozen=True)
class Path:
    """From row `rows[0]` (the lowest, the largest number) up: a column for each row."""

    rows: Floats
    columns: Floats
    gain: float


def best_path(ink: Ink) -> Path | None:
    """The path that earns most in `ink` (height, width), 0 for paper to 1 for a full line.

    None in a picture without ink.
    """
    height, width = ink.shape
    earned: Floats = np.full(width, -np.inf)
    came = np.full((height, width), -1, np.int32)  # column in the row below, -1: begins here
    ran = np.empty((height, width), np.int32)  # column in the same row
    columns = np.arange(width, dtype=np.int32)
    best, best_row, best_column = 0.0, -1, -1
    for row in range(height - 1, -1, -1):
        here = ink[row].astype(np.float64)
        from_below, below = _from_below(earned, columns)
        go_on = from_below > 0
        came[row] = np.where(go_on, below, -1)
        entered = here - FEE + np.where(go_on, from_below, 0)
        earned, ran[row] = _along(entered, _LEVEL_FEE + _OFF_INK * (1 - here), columns)
        at = int(entered.argmax())
        if entered[at] > best:
            best, best_row, best_column = float(entered[at]), row, at
    if best_row < 0:
        return None
    return _walked(came, ran, best_row, best_column, best)


def _from_below(earned: Floats, columns: Columns) -> tuple[Floats, Columns]:
    """The best earning that each column can be entered with, and from which column below."""
    best, at = earned.copy(), columns.copy()
    for step in (-1, 1):
        moved = np.full_like(earned, -np.inf)
        if step < 0:
            moved[1:] = earned[:-1]
        else:
            moved[:-1] = earned[1:]
        better = moved > best
        best[better] = moved[better]
        at[better] = columns[better] + step
    return best, at


def _along(entered: Floats, fees: Floats, columns: Columns) -> tuple[Floats, Columns]:
    """The best earning at each column after running level from where the row was entered."""
    paid = np.cumsum(fees)
    best, at = entered, columns
    for way in (1, -1):
        gained = (entered + way * paid)[::way]
        most = np.maximum.accumulate(gained)
        since = np.maximum.accumulate(np.where(gained == most, np.arange(len(most)), 0))
        reached = (most - (way * paid)[::way])[::way]
        origin = since if way > 0 else (len(most) - 1 - since)[::-1]
        better = reached > best + 1e-9
        best = np.where(better, reached, best)
        at = np.where(better, origin, at)
    return best, at


def _walked(came: Columns, ran: Columns, row: int, column: int, gain: float) -> Path:
    rows, columns = [row], [float(column)]
    while True:
        below = came[row, column]
        if below < 0:
            break
        row += 1
        start = ran[row, below]
        rows.append(row)
        columns.append((below + start) / 2)
        column = int(start)
    return Path(
        np.array(rows[::-1], dtype=np.float64), np.array(columns[::-1], dtype=np.float64), gain
    )
