"""Where the ends of coils meet: seams, as hours of a clock laid round the wall.

The clock starts at a mark at the front and counts the way round the wall, so that on an oval or
a traced pot too a quarter is three hours. From row to row seams go on by a quarter, and none
comes within 40° (a ninth of the way) of one of the three rows below: common practice, no source.

Rows of one or two coils keep that everywhere: on a grid of 45° each of the three rows below
takes up one of four places, half turns counted as one. Four rows of three coils can't, they have
twelve seams of 30° each; they get what is possible, and a sentence.
"""

import math
from collections.abc import Sequence

from .choices import Choices
from .sentences import RowsRefused, Trouble

HOURS = 12.0
APART_DEG = 40.0
ROWS_BELOW = 3
_GRID_DEG, _FINE_GRID_DEG = 45.0, 7.5
_WHOLE_GRID_COILS = 2

Seams = tuple[float, ...]


def coils_in_row(perimeter_mm: float, scarf_mm: float, longest_mm: float | None) -> int:
    """How many equal coils make a row where the table allows `longest_mm`, tip to tip."""
    if longest_mm is None:
        return 1
    return max(math.ceil(perimeter_mm / (longest_mm - scarf_mm) - 1e-9), 1)


def refuse_short_table(choices: Choices, scarf_mm: float) -> None:
    """A table must hold a scarf at either end and as much coil between."""
    longest, least = choices.longest_coil_mm, 3 * scarf_mm
    if longest is not None and longest < least:
        values = {"table_mm": longest, "least_mm": least}
        raise RowsRefused([Trouble("table_too_short", values, "longest_coil_mm")])


def seams_of_rows(coils: Sequence[int], below: Sequence[Seams] = ()) -> list[Seams]:
    """Seams of each row of so many coils, in hours (0 up to 12) from the mark, laid on rows
    whose seams are `below`, the lowest first."""
    laid = list(below)
    for count in coils:
        laid.append(_next(count, laid[-ROWS_BELOW:]))
    return laid[len(below) :]


def distance_deg(first: Seams, second: Seams) -> float:
    """The least way between a seam of one row and one of another, degrees."""
    gaps = ((a - b) % HOURS for a in first for b in second)
    return min(min(gap, HOURS - gap) for gap in gaps) * 360 / HOURS


def _next(count: int, below: Sequence[Seams]) -> Seams:
    wanted = (below[-1][0] + HOURS / 4) % HOURS if below else 0.0
    seams = _seams(wanted, count)
    if _apart(seams, below) >= APART_DEG:
        return seams
    grid = _GRID_DEG if count <= _WHOLE_GRID_COILS else _FINE_GRID_DEG
    step = grid * HOURS / 360
    offers = (_seams(place * step, count) for place in range(math.ceil(HOURS / count / step)))
    return max(offers, key=lambda offer: round(_apart(offer, below), 6))


def _apart(seams: Seams, below: Sequence[Seams]) -> float:
    """How near seams come to those of rows below, degrees."""
    return min((distance_deg(seams, each) for each in below), default=180.0)


def _seams(first: float, count: int) -> Seams:
    return tuple(sorted((first + turn * HOURS / count) % HOURS for turn in range(count)))


def close_seams(rows: Sequence[Seams], start: int) -> tuple[int, float] | None:
    """From row place `start` on: the first whose seams can't keep their distance, and the least
    distance of all; None where all keep it."""
    near = {
        place: _apart(rows[place], rows[max(place - ROWS_BELOW, 0) : place])
        for place in range(start, len(rows))
    }
    first = next((place for place, each in near.items() if each < APART_DEG - 1e-6), None)
    return None if first is None else (first, min(near.values()))
