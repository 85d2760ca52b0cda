"""Scores, against sums done by hand on paper and against what must always hold."""

from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.scoring.score import MOST_SCORE, Judged, Score, rounded, scaled, score

D = Decimal


def judged(weight: str, most: str, points: str | None, *, exempt: bool = False) -> Judged:
    return Judged(D(weight), D(most), None if points is None else D(points), exempt)


# Each sum is done by hand; the steps stand beside it.
WORKED = [
    # 1×3 + 1×4 + 1×2 + 1×4 = 13 of 1×4 × 4 = 16
    ([("1", "4", "3"), ("1", "4", "4"), ("1", "4", "2"), ("1", "4", "4")], "13.00", "16.00"),
    # 2×3 + 1.5×4 + 1×2.5 = 6 + 6 + 2.5 = 14.5 of 2×4 + 1.5×4 + 1×4 = 18
    ([("2", "4", "3"), ("1.5", "4", "4"), ("1", "4", "2.5")], "14.50", "18.00"),
    # 0.33×2.5 = 0.825, half up 0.83 (to even it were 0.82); of 0.33×5 = 1.65
    ([("0.33", "5", "2.5")], "0.83", "1.65"),
    # 0.25×0.5 + 0.25×0.52 = 0.125 + 0.13 = 0.255, rounded once 0.26 (each first: 0.13 + 0.13)
    ([("0.25", "1", "0.50"), ("0.25", "1", "0.52")], "0.26", "0.50"),
    # 0.15×0.3 + 0.15×0.3 = 0.045 + 0.045 = 0.09; rounding each first would give 0.10
    ([("0.15", "1", "0.3"), ("0.15", "1", "0.3")], "0.09", "0.30"),
    # The lowest level may be worth nothing: 1×0 + 3×2 = 6 of 1×3 + 3×3 = 12
    ([("1", "3", "0"), ("3", "3", "2")], "6.00", "12.00"),
]


@pytest.mark.parametrize(("rows", "total", "most"), WORKED)
def test_scores_are_what_pencil_and_paper_say(
    rows: list[tuple[str, str, str]], total: str, most: str
) -> None:
    assert score(judged(*row) for row in rows) == Score(D(total), D(most), 0)


def test_halves_go_up_and_not_to_even() -> None:
    assert rounded(D("0.825")) == D("0.83")
    assert D("0.825").quantize(D("0.01"), rounding=ROUND_HALF_EVEN) == D("0.82")


def test_an_open_criterion_leaves_no_total_and_is_no_zero() -> None:
    found = score([judged("1", "4", "3"), judged("2", "4", None)])
    assert found == Score(None, D("12.00"), 1)
    zero = score([judged("1", "4", "3"), judged("2", "4", "0")])
    assert zero.total == D("3.00")


def test_an_exempt_criterion_is_out_of_the_total_and_of_the_most() -> None:
    rows = [judged("1", "4", "3"), judged("2", "4", "1", exempt=True)]
    assert score(rows) == Score(D("3.00"), D("4.00"), 0)


def test_an_exempt_criterion_may_stay_open() -> None:
    rows = [judged("1", "4", "3"), judged("2", "4", None, exempt=True)]
    assert score(rows) == Score(D("3.00"), D("4.00"), 0)


@pytest.mark.parametrize("rows", [[], [judged("1", "4", "3", exempt=True)]])
def test_nothing_to_add_up_is_no_total(rows: list[Judged]) -> None:
    assert score(rows) == Score(None, D("0.00"), 0)


def test_the_largest_rubric_is_added_exactly() -> None:
    """Nine criteria of weight 100 and 100 points each: 90 000, to the last digit."""
    assert score([judged("100", "100", "99.99")] * 9).total == D("89991.00")
    assert D("89991.00") < MOST_SCORE


def test_a_share_is_kept_when_the_most_points_differ() -> None:
    """9 of 12 is three quarters, so 12 of 16; 1 of 3 is 5.333… of 16."""
    assert scaled(D(9), most=D(12), to=D(16)) == D("12.00")
    assert scaled(D(1), most=D(3), to=D(16)) == D("5.33")


def test_a_score_of_nothing_has_no_share() -> None:
    with pytest.raises(ValueError, match="no share"):
        scaled(D(0), most=D(0), to=D(16))


points = st.decimals(0, 100, places=2)
weights = st.decimals("0.01", 100, places=2)


@st.composite
def criteria(draw: st.DrawFn, *, may_be_open: bool = True) -> Judged:
    most = draw(points)
    given_points = st.decimals(0, most, places=2)
    chosen = draw(st.none() | given_points if may_be_open else given_points)
    return Judged(draw(weights), most, chosen, draw(st.booleans()))


@given(st.lists(criteria(), max_size=8))
def test_a_total_lies_between_nothing_and_the_most(rows: list[Judged]) -> None:
    found = score(rows)
    assert found.open == sum(1 for row in rows if not row.exempt and row.points is None)
    if found.total is not None:
        assert 0 <= found.total <= found.most
        assert found.open == 0


@given(st.lists(criteria(), max_size=4))
def test_the_order_of_criteria_changes_nothing(rows: list[Judged]) -> None:
    assert len({score(each) for each in permutations(rows)}) <= 1


@given(st.lists(criteria(may_be_open=False), min_size=1, max_size=8))
def test_the_total_is_the_exact_sum_to_half_a_hundredth(rows: list[Judged]) -> None:
    """Against fractions, which round nothing."""
    counted = [row for row in rows if not row.exempt and row.points is not None]
    exact = sum((Fraction(row.weight) * Fraction(row.points or 0) for row in counted), Fraction(0))
    found = score(rows).total
    assert (found is None) == (not counted)
    if found is not None:
        assert abs(Fraction(found) - exact) <= Fraction(1, 200)


@given(st.lists(criteria(may_be_open=False), min_size=1, max_size=6), st.data())
def test_a_better_level_never_lowers_the_total(rows: list[Judged], data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(rows) - 1))
    row = rows[place]
    better = Judged(row.weight, row.most, row.most, row.exempt)
    raised = [*rows[:place], better, *rows[place + 1 :]]
    before, after = score(rows).total, score(raised).total
    assert (before is None) == (after is None)
    if before is not None and after is not None:
        assert after >= before
