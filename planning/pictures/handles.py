"""Handles on a measured drawing: one at each end of a height line, for what was measured there.

Pure: the standard library only. The browser moves a handle along its line and reads its measure
by the figures that stand here; it works out nothing else.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from planning.pictures.measured import PlanPicture

SIDES = ("left", "right")


@dataclass(frozen=True)
class Handle:
    """`row` is the place of the line's fields in the form, `half_mm` as measured on the drawing;
    x and y are drawing units."""

    row: int
    side: str
    half_mm: float
    x: float
    y: float

    @property
    def line(self) -> int:
        """The line's number for people, from the base up."""
        return self.row + 1


def handles(
    picture: PlanPicture, lines: Iterable[tuple[int, float, float | None, float | None]]
) -> list[Handle]:
    """For lines (row, height, left, right) as measured; None where nothing is measured yet."""
    return [
        Handle(
            row,
            side,
            half_mm,
            picture.axis_x + (-1 if side == "left" else 1) * half_mm / picture.mm_per_unit,
            picture.y_at(height_mm),
        )
        for row, height_mm, *halves in lines
        for side, half_mm in zip(SIDES, halves, strict=True)
        if half_mm is not None
    ]
