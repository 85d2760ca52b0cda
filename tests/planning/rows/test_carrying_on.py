"""New rows from the pot as it stands, against the stated blend revolved by GEOS and Pappus."""

import numpy as np
import pytest
import shapely
from numpy import pi

from planning.geometry.inputs import Outline
from planning.geometry.refusal import FormRefused
from planning.geometry.walls import wall_at
from planning.rows.carrying_on import Standing, blended, rest_of_wall, rows_from_here
from planning.rows.rows import row_list
from planning.rows.sentences import RowsRefused
from tests.planning.geometry.forms import Floats, hollow_polygon, revolved_volume

from .pots import DENSITY, LEAF, choices, coil_area, cylinder, pot


def test_a_pot_that_stands_as_planned_carries_on_by_the_plan() -> None:
    made = cylinder()
    listed = row_list(made, choices())
    on = rows_from_here(made, choices(listed.coil_mm), Standing(86, 120), listed.rows[:4])
    assert on.coil_mm == pytest.approx(listed.coil_mm)
    for planned, row in zip(listed.rows[4:], on.rows, strict=True):
        assert row.row == planned.row
        assert row.height_mm == pytest.approx(planned.height_mm)
        assert row.perimeter_mm == pytest.approx(planned.perimeter_mm)
        assert row.seams == planned.seams
    assert [row.row for row in on.rows if row.blend] == [6, 8, 10]


def widened(count: int = 4001) -> Floats:
    """Radius 66 up to 100, then 60·(1 + 0.1·(1 - 3u² + 2u³)) up to the rim at 200."""
    z = np.linspace(0, 200, count)
    u = np.clip((z - 100) / 100, 0, 1)
    return np.stack((60 * (1 + 0.1 * (1 - 3 * u**2 + 2 * u**3)), z), axis=-1)


def test_a_wide_pot_comes_back_to_the_plan_s_rim_by_a_smooth_step() -> None:
    made = cylinder()
    laid = row_list(made, choices()).rows[:5]
    on = rows_from_here(made, choices(), Standing(100, 132), laid)
    line = widened()
    for row in on.rows:
        radius = np.interp(row.height_mm, line[:, 1], line[:, 0])
        assert row.front_mm == pytest.approx(2 * radius, abs=1e-3)
        assert row.depth_mm == pytest.approx(row.front_mm)
    assert on.rows[0].row == 6
    assert on.rows[-1].height_mm == pytest.approx(200)
    # Its clay by GEOS and Pappus: all inside from 100 up, less the hollow above 100.
    body = shapely.Polygon([(0, 0), *line.tolist(), (0, 200)])
    above = body.intersection(shapely.box(0, 100, 100, 201))
    clay = revolved_volume(above) - revolved_volume(hollow_polygon(line, 8, 100))
    coils = sum(coil_area(on.coil_mm) * row.perimeter_mm for row in on.rows)
    assert coils == pytest.approx(clay, rel=2e-4)
    assert sum(row.coil_g for row in on.rows) == pytest.approx(clay / 1000 * DENSITY, rel=2e-4)


def test_the_edge_keeps_the_plan_s_lean_and_a_closed_top_stays_closed() -> None:
    made = pot((0, 70), (80, 90), (160, 40), (200, 0))
    surface = blended(made.surface, 80, 1.1, 0.9)
    s = surface.parameters_at(np.array([80.0, 200.0]))
    front, depth, _ = surface.curve.at(s)
    assert front == pytest.approx([99, 0], abs=1e-6)
    assert depth == pytest.approx([81, 0], abs=1e-6)
    lean = surface.curve.slopes_at(s)[:, 0]
    planned = made.surface.curve.slopes_at(made.surface.parameters_at(np.array([80.0])))[:, 0]
    assert lean[0] / lean[2] == pytest.approx(1.1 * planned[0] / planned[2], abs=1e-9)


class TestRatios:
    """Ellipses' perimeters: 4aE(e²) by AGM, half axes 10 and 5: 48.442241103; 5 and 3:
    25.526998863 (derived)."""

    def at_edge(self, standing: Standing, outline: Outline) -> tuple[float, float]:
        made = pot((0, 100), (200, 100), outline=outline)
        rest = rest_of_wall(made, standing)
        front, depth, _ = 2 * rest.surface.curve.at(rest.surface.parameters_at(np.array([100.0])))
        return float(front[0]), float(depth[0])

    @pytest.mark.parametrize(
        ("standing", "size"),
        [
            (Standing(100, front_mm=210), (210, 105)),
            (Standing(100, depth_mm=105), (210, 105)),
            (Standing(100, front_mm=210, depth_mm=95), (210, 95)),
            (Standing(100, perimeter_mm=508.64353158), (210, 105)),
            (Standing(100, front_mm=166.6666667, perimeter_mm=425.44998105), (166.6667, 100)),
            (Standing(100, depth_mm=100, perimeter_mm=425.44998105), (166.6667, 100)),
        ],
    )
    def test_of_an_oval(self, standing: Standing, size: tuple[float, float]) -> None:
        assert self.at_edge(standing, Outline("oval", 0.5)) == pytest.approx(size, abs=1e-4)

    def test_of_a_leaf(self) -> None:
        # Two arcs over a chord of 200 that rise 50: half angle 2·atan(0.5), radius 125.
        around = 4 * 125 * 2 * np.arctan(0.5)
        standing = Standing(100, perimeter_mm=around * 1.04)
        assert self.at_edge(standing, LEAF) == pytest.approx((208, 104), abs=1e-3)
        made = pot((0, 100), (200, 100), outline=LEAF)
        assert wall_at(made, np.array([100.0])).perimeter_mm[0] == pytest.approx(around, rel=1e-6)
        # Only its depth grown: the way round of the rings, each stretched, by GEOS.
        wide = Standing(100, front_mm=200, perimeter_mm=around * 1.02)
        front, depth = self.at_edge(wide, LEAF)
        half, rise = front / 2, depth / 2
        assert front == pytest.approx(200)
        # A stretched arc is an arc of an ellipse: lengths by its parametric sum.
        turn = np.linspace(-np.arcsin(0.8), np.arcsin(0.8), 200_001)
        x = 125 * np.sin(turn)
        y = (125 * np.cos(turn) - 75) * rise / 50
        assert np.abs(x).max() == pytest.approx(half)
        stretched = 2 * np.hypot(np.diff(x), np.diff(y)).sum()
        assert stretched == pytest.approx(around * 1.02, rel=1e-6)


@pytest.mark.parametrize(
    ("standing", "path", "code"),
    [
        (Standing(10, 120), "height_mm", "off_the_wall"),
        (Standing(198, 120), "height_mm", "off_the_wall"),
        (Standing(float("nan"), 120), "height_mm", "off_the_wall"),
        (Standing(100), "front_mm", "no_width"),
        (Standing(100, 12), "front_mm", "too_far_off"),
        (Standing(100, perimeter_mm=float("nan")), "perimeter_mm", "too_far_off"),
        (Standing(100, front_mm=150, perimeter_mm=2 * pi * 45), "depth_mm", "too_far_off"),
        (Standing(100, depth_mm=180, perimeter_mm=250), "front_mm", "too_far_off"),
    ],
)
def test_what_can_t_be_carried_on_from_is_refused(standing: Standing, path: str, code: str) -> None:
    made = cylinder()
    with pytest.raises(RowsRefused) as refused:
        rows_from_here(made, choices(), standing, row_list(made, choices()).rows[:4])
    assert [(each.path, each.code) for each in refused.value.problems] == [(path, code)]


def test_something_must_be_laid_already() -> None:
    with pytest.raises(RowsRefused, match="at least one"):
        rows_from_here(cylinder(), choices(), Standing(86, 120), ())


def test_a_neck_whose_hollow_would_close_is_still_laid() -> None:
    # Half as wide as planned at a narrow place: the wall meets itself and is solid there.
    made = pot((0, 40), (100, 14), (150, 40))
    try:
        on = rows_from_here(made, choices(), Standing(95, 16), row_list(made, choices()).rows[:3])
    except FormRefused:
        pytest.fail("the rest of a wall is laid, not judged")
    assert on.rows[-1].height_mm == pytest.approx(150)
