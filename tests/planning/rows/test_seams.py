"""Seams by brute force: every seam against every seam of the three rows below. The rule of 40° is
common practice, no source."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.rows.rows import row_list
from planning.rows.seams import Seams, coils_in_row, seams_of_rows

from .pots import choices, cylinder, pot


def nearest(rows: list[Seams]) -> float:
    """The least angle between a seam and one of the three rows below it, degrees."""
    angles = [
        abs(a - b) * 30
        for low, high in itertools.combinations(range(len(rows)), 2)
        if high - low <= 3
        for a in rows[low]
        for b in rows[high]
    ]
    return min(min(angle, 360 - angle) for angle in angles)


def test_one_coil_a_row_goes_on_by_a_quarter_from_the_front() -> None:
    clocks = [row.seam_clock for row in row_list(cylinder(), choices()).rows]
    assert clocks == [0, 3, 6, 9, 0, 3, 6, 9, 0, 3]


@given(st.lists(st.integers(1, 2), min_size=2, max_size=40))
def test_rows_of_one_and_two_coils_in_any_order_keep_forty_degrees(coils: list[int]) -> None:
    rows = seams_of_rows(coils)
    assert [len(seams) for seams in rows] == coils
    assert all(0 <= seam < 12 for seams in rows for seam in seams)
    assert nearest(rows) >= 40


@pytest.mark.parametrize("count", [3, 4, 5, 6])
def test_more_coils_keep_as_much_as_four_rows_can(count: int) -> None:
    # Four rows of n seams share 360°: 90/n each; the grid of 7.5° may take a step of that.
    assert nearest(seams_of_rows([count] * 24)) > 90 / count - 7.5


def test_the_two_seams_of_a_row_are_half_a_turn_apart() -> None:
    for first, second in seams_of_rows([2] * 9):
        assert second - first == pytest.approx(6)


def test_a_short_table_makes_more_coils_a_row_and_keeps_their_seams_apart() -> None:
    # Round at mid-wall 2π·56 = 352 mm: two coils of 176 and a scarf on a table of 250.
    listed = row_list(cylinder(), choices(longest_coil_mm=250))
    assert {row.coils for row in listed.rows} == {2}
    for row in listed.rows:
        assert row.coil_length_mm == pytest.approx(row.perimeter_mm / 2 + listed.scarf_mm)
        assert row.coil_length_mm <= 250
    assert nearest([row.seams for row in listed.rows]) >= 40
    assert listed.checks == ()


@given(st.floats(100, 3000), st.floats(5, 40), st.floats(150, 2500))
def test_as_few_coils_are_taken_as_fit_the_table(
    perimeter: float, scarf: float, longest: float
) -> None:
    count = coils_in_row(perimeter, scarf, longest)
    assert perimeter / count + scarf <= longest + 1e-6
    assert count == 1 or perimeter / (count - 1) + scarf > longest - 1e-6


def test_seams_that_must_come_close_are_told() -> None:
    made = pot((0, 140), (120, 140))  # 855 mm round at mid-wall: three coils on 320
    listed = row_list(made, choices(longest_coil_mm=320))
    assert [each.code for each in listed.checks] == ["seams_close"]
    assert nearest([row.seams for row in listed.rows]) == pytest.approx(30)
    assert listed.checks[0].message == (
        "Row 3 takes 3 coils. Some of its seams lie only 30° from one below: work these seams "
        "well, inside and out."
    )
