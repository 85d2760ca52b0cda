"""The wall that a measured height means: the clay of the rows laid so far stands that high.

Beginners build thicker, so this is asked after three rows, while it can still be changed.
"""

from dataclasses import dataclass

import numpy as np

from planning.geometry.form import Form
from planning.geometry.said import Values

from .middle import middle, whole_wall
from .rows import RowList
from .sentences import RowsRefused, Said, Trouble

ASKED_AFTER_ROWS = 3
AS_PLANNED_MM, AS_PLANNED_SHARE = 1.0, 0.1
"""The larger of these is as near as a ruler and a hand come (common practice, no source)."""


@dataclass(frozen=True)
class WallMeant:
    """`wall_mm` is the mean thickness that the height means, `planned_mm` the planned one up to
    there; `planned_height_mm` is the plan's for that row."""

    wall_mm: float
    planned_mm: float
    planned_height_mm: float
    said: Said


def wall_meant(
    made: Form, listed: RowList, height_mm: float, after_row: int = ASKED_AFTER_ROWS
) -> WallMeant:
    """From the height above the table reached with the clay of the first rows, measured wet.

    Raises `RowsRefused` for a height off the wall or more rows than there are. The outside is
    taken to stand as planned; a wall λ times as thick has its middle λ times as far inside.
    """
    _refuse(made, listed, height_mm, after_row)
    laid = middle(whole_wall(made))
    slant = float(np.interp(height_mm, laid.height_mm, laid.slant_mm))
    below = laid.slant_mm < slant
    along = np.append(laid.slant_mm[below], slant)
    wall, around, mid = (
        np.append(each[below], np.interp(slant, laid.slant_mm, each))
        for each in (laid.wall_mm, laid.outer_perimeter_mm, laid.perimeter_mm)
    )
    most = np.trapezoid(wall * around, along) * laid.fill
    less = np.trapezoid(wall * (around - mid), along) * laid.fill
    clay = sum(row.perimeter_mm for row in listed.rows[:after_row]) * listed.section_mm2
    # clay = λ most - λ² less; where even a solid foot holds less, the wall is solid.
    root = np.sqrt(max(most**2 - 4 * less * clay, 0.0))
    planned = float(np.trapezoid(wall, along) / slant)
    meant = planned * float(2 * clay / (most + root))
    return _told(meant, planned, listed, after_row)


def _told(meant: float, planned: float, listed: RowList, after_row: int) -> WallMeant:
    due = listed.rows[after_row - 1].height_mm
    off = meant - planned
    code = "wall_as_planned"
    if abs(off) > max(AS_PLANNED_MM, AS_PLANNED_SHARE * planned):
        code = "wall_thicker" if off > 0 else "wall_thinner"
    values: Values = {
        "wall_mm": meant,
        "planned_mm": planned,
        "row": str(after_row),
        "planned_height_mm": due,
    }
    return WallMeant(meant, planned, due, Said(code, values))


def _refuse(made: Form, listed: RowList, height_mm: float, after_row: int) -> None:
    if not 1 <= after_row <= len(listed.rows):
        values = {"rows": str(len(listed.rows))}
        raise RowsRefused([Trouble("too_few_rows", values, "after_row")])
    if not made.base_mm < height_mm <= made.surface.height:
        bounds = {"least_mm": made.base_mm, "most_mm": made.surface.height}
        raise RowsRefused([Trouble("off_the_wall", bounds, "height_mm")])
