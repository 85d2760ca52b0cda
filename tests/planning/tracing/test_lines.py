"""Paths, ends and sides, on arrays whose answers can be counted."""

import numpy as np
import pytest

from planning.tracing.arrays import Floats
from planning.tracing.ends import end_of
from planning.tracing.paths import FEE, best_path
from planning.tracing.reasons import Untrusted
from planning.tracing.sides import Line, Shows, sides_of, upright_lines


class TestPath:
    def test_it_follows_the_line_from_end_to_end_over_a_gap(self) -> None:
        ink = np.zeros((40, 30), np.float32)
        for row in [*range(5, 18), *range(20, 33)]:
            ink[row, 5 + row // 2] = 1
        path = best_path(ink)
        assert path is not None
        assert path.rows.tolist() == list(range(32, 4, -1))
        at = (path.rows < 18) | (path.rows >= 20)
        assert path.columns[at] == pytest.approx(5 + path.rows[at] // 2, abs=0.5)
        # 26 rows with ink, two without; each costs the fee.
        assert path.gain == pytest.approx(26 - 28 * FEE, abs=1e-6)

    def test_it_runs_level_along_a_shoulder_and_not_along_a_rim(self) -> None:
        ink = np.zeros((30, 60), np.float32)
        ink[15:30, 10] = 1
        ink[15, 10:41] = 1  # a level shoulder
        ink[3:16, 40] = 1
        ink[3, 40:60] = 1  # a rim, which leads nowhere
        path = best_path(ink)
        assert path is not None
        assert (path.columns[0], path.rows[0]) == (10, 29)
        assert (path.columns[-1], path.rows[-1]) == (40, 3)

    def test_without_ink_there_is_none(self) -> None:
        assert best_path(np.zeros((5, 5), np.float32)) is None
        assert upright_lines(np.zeros((200, 100), np.float32), 0.3, 4.0) == []


class TestUprightLines:
    def test_they_are_found_once_each_without_what_is_short_or_dotted(self) -> None:
        """At 4 px a mm: two lines of 100 mm, one of 40 mm, dots over 100 mm."""
        ink = np.zeros((420, 400), np.float32)
        ink[10:410, [49, 50, 51, 299, 300, 301]] = 0.5
        for start in range(10, 400, 100):
            ink[start : start + 40, 149:152] = 0.5
        found = {round(each.middle / 50) for each in upright_lines(ink, 0.5, 4.0)}
        assert found == {1, 6}
        ink[200:360, 219:222] = 0.5
        assert len(upright_lines(ink, 0.5, 4.0)) == 2

    def test_more_than_six_are_not_looked_for(self) -> None:
        ink = np.zeros((420, 400), np.float32)
        for column in range(30, 380, 40):
            ink[10:410, column : column + 3] = 0.5
        assert len(upright_lines(ink, 0.5, 4.0)) == 6


class TestEnd:
    @pytest.mark.parametrize("length_mm", [30, 33, 35])
    def test_it_is_where_the_ink_ends_less_half_the_stroke(self, length_mm: int) -> None:
        """A stroke 1 mm wide, whose ink ends where its middle would be half a mm earlier."""
        ink = np.zeros((200, 40), np.float32)
        ink[200 - length_mm * 4 :, 18:22] = 0.6
        up = np.column_stack((np.full(61, 19.5), np.linspace(199, 79, 61)))
        assert end_of(ink, up, 4.0)[1] == pytest.approx(200 - length_mm * 4 + 2, abs=1.2)

    def test_a_line_that_goes_on_ends_beyond(self) -> None:
        ink = np.zeros((200, 40), np.float32)
        ink[:, 18:22] = 0.6
        up = np.column_stack((np.full(61, 19.5), np.linspace(199, 79, 61)))
        assert end_of(ink, up, 4.0)[1] < 60


def _line(x: Floats | float, height: int = 400) -> Line:
    rows = np.arange(height, 0.0, -1)
    return Line(np.column_stack((x + 0 * rows, rows)), 100.0)


def _curve(x: float, way: float) -> Line:
    return _line(x + way * 60 * np.sin(np.linspace(0, 3, 400)))


LEFT, RIGHT, AXIS = _curve(100, -1), _curve(300, 1), _line(202.0)


class TestSides:
    def test_two_curves_are_a_pot_and_a_straight_line_midway_is_its_axis(self) -> None:
        assert sides_of([RIGHT, LEFT], 4, None).axis is None
        sides = sides_of([RIGHT, AXIS, LEFT, _line(20.0), _line(390.0)], 4, None)
        assert (sides.left, sides.axis, sides.right) == (LEFT, AXIS, RIGHT)

    def test_a_straight_line_elsewhere_is_no_axis(self) -> None:
        assert sides_of([LEFT, RIGHT, _line(20.0)], 4, None).axis is None

    @pytest.mark.parametrize("lines", [[AXIS, RIGHT], [LEFT, AXIS]])
    def test_a_curve_beside_a_straight_line_is_half_a_pot(self, lines: list[Line]) -> None:
        sides = sides_of(lines, 4, None)
        assert (sides.left, sides.axis) == (None, AXIS)
        assert sides.right in lines

    def test_half_of_a_cylinder_has_two_straight_lines(self) -> None:
        sides = sides_of([_line(100.0), _line(300.0)], 4, "half")
        assert sides.left is None
        assert sides.axis is not None

    @pytest.mark.parametrize(
        ("code", "lines", "shows"),
        [
            ("no_line_work", [], None),
            ("no_line_work", [AXIS], None),
            ("one_side", [LEFT], None),
            ("one_side", [LEFT, RIGHT], "half"),
            ("axis_or_side", [_line(100.0), _line(300.0)], None),
            ("several_lines", [LEFT, RIGHT, _curve(310, 1)], None),
            ("several_lines", [LEFT, AXIS, RIGHT], "half"),
            ("several_lines", [_line(each) for each in (100.0, 150.0, 250.0, 300.0)], None),
        ],
    )
    def test_what_cannot_be_told_is_not_guessed(
        self, code: str, lines: list[Line], shows: Shows | None
    ) -> None:
        with pytest.raises(Untrusted) as untrusted:
            sides_of(lines, 4, shows)
        assert untrusted.value.reason.code == code
