"""The wall that a height means, by hand on cylinders."""

import pytest
from numpy import pi

from planning.rows.rows import row_list
from planning.rows.sentences import RowsRefused
from planning.rows.thickness import wall_meant

from .pots import bowl, choices, cylinder

THREE_ROWS_MM3 = pi * (60**2 - 52**2) * 57  # three rows of 19 mm, planned wall 8


def height_of(wall: float) -> float:
    """How high those three rows stand in a wall of another thickness on the base of 10."""
    return 10 + THREE_ROWS_MM3 / (pi * (60**2 - (60 - wall) ** 2))


@pytest.mark.parametrize(
    ("wall", "code"),
    [(8.0, "wall_as_planned"), (8.9, "wall_as_planned"), (10, "wall_thicker"), (6, "wall_thinner")],
)
def test_three_rows_that_stand_so_high_mean_that_wall(wall: float, code: str) -> None:
    made = cylinder()
    meant = wall_meant(made, row_list(made, choices()), height_of(wall))
    assert meant.wall_mm == pytest.approx(wall, rel=1e-9)
    assert (meant.planned_mm, meant.planned_height_mm) == pytest.approx((8, 67))
    assert meant.said.code == code


def test_a_thick_wall_is_told_with_its_measures() -> None:
    made = cylinder()
    meant = wall_meant(made, row_list(made, choices()), height_of(10))
    assert meant.said.message == (
        "The wall is about 10 mm thick; planned are 8 mm. After row 3 it should stand at 67 mm. "
        "Squeeze and draw it up, and work the next rows thinner."
    )


def test_a_bowl_built_by_the_plan_is_as_planned_after_any_row() -> None:
    made = bowl()
    listed = row_list(made, choices())
    for row in listed.rows[:-1]:
        assert wall_meant(made, listed, row.height_mm, row.row).wall_mm == pytest.approx(
            8, rel=1e-4
        )


def test_more_clay_than_fits_is_solid_and_no_error() -> None:
    made = cylinder()
    assert wall_meant(made, row_list(made, choices()), 12, after_row=9).wall_mm > 60


@pytest.mark.parametrize(
    ("height", "after", "path"),
    [(10, 3, "height_mm"), (201, 3, "height_mm"), (60, 11, "after_row")],
)
def test_what_can_t_be_is_refused(height: float, after: int, path: str) -> None:
    made = cylinder()
    with pytest.raises(RowsRefused) as refused:
        wall_meant(made, row_list(made, choices()), height, after)
    assert [each.path for each in refused.value.problems] == [path]
