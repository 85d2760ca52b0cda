"""The allowance that pots took: numbers against worked examples and the standard library."""

import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.clay.allowance import (
    LEAST_PIECES,
    ClassTaken,
    PotTaken,
    Record,
    allowance_pct,
    learned,
    pieces_of,
    records_of,
)


def test_a_pot_of_two_kilograms_that_kept_2300_g_took_15_percent() -> None:
    """2300 ÷ 2000 is 1.15: worked by hand."""
    assert allowance_pct(2300, 2000) == pytest.approx(15)


def test_fewer_than_ten_pots_say_nothing() -> None:
    assert learned([Record(12.0)] * 9) is None
    assert learned([Record(12.0)] * 9 + [Record(900.0)]) is None
    known = learned([Record(12.0)] * 10)
    assert known is not None
    assert (known.middle, known.quartiles, known.pieces) == (12, (12, 12), 10)


# Worked by hand: eleven values in order are the places 0 to 10; the quartiles are at 2.5 and 7.5.
def test_the_quartiles_of_eleven_pots_are_those_worked_by_hand() -> None:
    known = learned([Record(float(n)) for n in (0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20)])
    assert known is not None
    assert (known.lower_pct, known.median_pct, known.upper_pct) == (5, 10, 15)


@given(st.lists(st.floats(-40, 150), min_size=LEAST_PIECES, max_size=60))
def test_median_and_quartiles_are_those_of_the_standard_library(values: list[float]) -> None:
    """`statistics.quantiles` of Python, method "inclusive"."""
    known = learned([Record(value) for value in values])
    assert known is not None
    lower, median, upper = statistics.quantiles(values, n=4, method="inclusive")
    assert known.lower_pct == pytest.approx(lower)
    assert known.median_pct == pytest.approx(median)
    assert known.upper_pct == pytest.approx(upper)


def test_a_class_counts_once_for_each_of_its_pieces() -> None:
    together = [Record(10.0, 12), Record(30.0, 4)]
    one_by_one = [Record(10.0)] * 12 + [Record(30.0)] * 4
    a, b = learned(together), learned(one_by_one)
    assert a is not None
    assert b is not None
    assert (a.median_pct, a.lower_pct, a.upper_pct) == (b.median_pct, b.lower_pct, b.upper_pct)
    assert (a.pieces, a.alone, a.has_spread) == (16, 0, False)
    assert (b.pieces, b.alone, b.has_spread) == (16, 16, True)


def test_a_quarter_of_slips_moves_the_middle_little() -> None:
    """The breakdown point of a median is a half, of a quartile a quarter (Hampel; textbook)."""
    right = [Record(float(n)) for n in range(10, 22)]
    known = learned(right + [Record(180.0)] * 3)
    assert known is not None
    assert 10 <= known.median_pct <= 21
    assert known.quartiles[1] <= 21


def test_impossible_weights_are_left_out_and_counted() -> None:
    """A weight in pounds that was typed as kilograms is 2.2 times it and passes; ten times not."""
    records = [Record(15.0)] * 11 + [Record(allowance_pct(20_000, 2000)), Record(-80.0)]
    known = learned(records)
    assert known is not None
    assert (known.pieces, known.left_out) == (11, 2)
    assert pieces_of(records) == 11


def test_what_a_brief_takes_is_whole_and_between_none_and_all() -> None:
    thin = learned([Record(-12.0)] * 10)
    thick = learned([Record(150.0)] * 10)
    between = learned([Record(12.4)] * 10)
    assert thin is not None
    assert thick is not None
    assert between is not None
    assert (thin.takes, thick.takes, between.takes, between.takes_upper) == (0, 100, 12, 12)


def pots(count: int, **changed: float) -> list[PotTaken]:
    return [PotTaken(**{"planned_g": 2000.0, "out_g": 2400.0} | changed) for _n in range(count)]


def test_the_bucket_of_a_class_counts_for_all_its_pots_together() -> None:
    """Worked by hand: 20 pots of 2 kg get 2.4 kg each, 48 kg; 5 kg come back in the bucket. 43 kg
    stayed with plans of 40 kg: 7.5 %.
    """
    [record] = records_of(ClassTaken(pots(20), bucket_g=5000))
    assert record.allowance_pct == pytest.approx(7.5)
    assert record.pieces == 20


def test_practice_clay_and_a_collapsed_pot_count_as_taken() -> None:
    """Worked by hand: 3 kg for practice and 2 kg of a pot that collapsed, on top: 48 of 40 kg."""
    [record] = records_of(ClassTaken(pots(20), given_g=5000, bucket_g=5000))
    assert record.allowance_pct == pytest.approx(20)


def test_a_weighed_pot_speaks_for_itself_and_the_others_together() -> None:
    weighed = [PotTaken(2000, 2400, weighed_g=2200)] * 3
    records = list(records_of(ClassTaken([*weighed, *pots(17)], bucket_g=5000)))
    assert [round(each.allowance_pct, 6) for each in records] == [10, 10, 10, 7.5]
    assert [each.pieces for each in records] == [1, 1, 1, 17]


def test_without_anything_weighed_back_the_ledger_only_repeats_the_plans() -> None:
    assert list(records_of(ClassTaken(pots(20)))) == []


def test_where_leftovers_are_weighed_pot_by_pot_each_counts_alone() -> None:
    """Worked by hand: 2400 − 300 over 2000 is 5 %; whoever brought nothing back used it all."""
    taken = ClassTaken([*pots(6, back_g=300.0), *pots(4)])
    assert [round(each.allowance_pct) for each in records_of(taken)] == [5] * 6 + [20] * 4
    # A few only: who was weighed back is no fair sample of the class.
    assert list(records_of(ClassTaken([*pots(4, back_g=300.0), *pots(6)]))) == []


@pytest.mark.parametrize(
    "taken",
    [
        ClassTaken(pots(20), unbuilt=10, bucket_g=5000),
        ClassTaken(pots(20), bucket_g=5000, mixed=True),
        ClassTaken(pots(20, out_g=0.0), bucket_g=5000),
        ClassTaken(pots(20, planned_g=0.0), bucket_g=5000),
        ClassTaken(bucket_g=5000),
    ],
    ids=["half built", "a mixed bucket", "no clay by pot", "no plan", "nobody"],
)
def test_a_class_whose_clay_isnt_known_says_nothing(taken: ClassTaken) -> None:
    assert list(records_of(taken)) == []
