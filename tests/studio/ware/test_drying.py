"""Days of drying against the standard library, and two weighings against worked examples."""

import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.ware.drying import (
    ByWeight,
    Dried,
    by_weight,
    expected_days,
    resolves,
    thickness_class,
)


# Common practice, no source: 3 to 7 days slow for 6 to 8 mm, 1 to 2 weeks for 9 to 12 mm, 2 to 4
# weeks above.
@pytest.mark.parametrize(
    ("thickest_mm", "low", "high"),
    [(6, 3, 7), (8, 3, 7), (9, 7, 14), (12, 7, 14), (12.5, 14, 28), (40, 14, 28)],
)
def test_without_a_record_the_rule_of_thumb_says_so(
    thickest_mm: float, low: int, high: int
) -> None:
    expected = expected_days(thickest_mm, [Dried(thickest_mm, 5.0)] * 4)
    assert (expected.low_days, expected.high_days) == (low, high)
    assert (expected.is_rule, expected.middle_days, expected.due_days) == (True, None, high)


@given(st.lists(st.floats(1, 60), min_size=5, max_size=40))
def test_with_five_pots_of_its_thickness_the_record_counts(days: list[float]) -> None:
    """`statistics.quantiles` of Python, method "inclusive"."""
    record = [Dried(10.0, each) for each in days] + [Dried(20.0, 400.0)] * 30
    expected = expected_days(9.5, record)
    low, middle, high = statistics.quantiles(days, n=4, method="inclusive")
    assert expected.low_days == pytest.approx(low, abs=0.5001)
    assert expected.middle_days == pytest.approx(middle, abs=0.5001)
    assert expected.high_days == pytest.approx(high, abs=0.5001)
    assert (expected.pots, expected.is_rule) == (len(days), False)
    assert expected.due_days == expected.middle_days


def test_a_thicker_pot_is_never_expected_sooner_by_the_rule() -> None:
    """Common practice, no source; diffusion through a sheet goes with its thickness squared."""
    ends = [expected_days(mm, []).high_days for mm in range(4, 40)]
    assert ends == sorted(ends)
    assert [thickness_class(mm) for mm in (8, 8.01, 12, 12.01)] == [0, 1, 1, 2]


# By hand, a pot of 3000 g: a thousandth is 3 g.
@pytest.mark.parametrize(
    ("first_g", "second_g", "hours", "step_g", "said"),
    [
        (3000, 3000, 24, 1, ByWeight.AIR_DRY),
        (3003, 3000, 24, 1, ByWeight.AIR_DRY),
        (3004, 3000, 24, 1, ByWeight.LOSING),
        (2997, 3000, 24, 1, ByWeight.AIR_DRY),
        (2996, 3000, 24, 1, ByWeight.GAINED),
        (3000, 3000, 22, 1, ByWeight.TOO_SOON),
        (3000, 3000, 23, 3, ByWeight.AIR_DRY),
        (3000, 3000, 48, 5, ByWeight.COARSE_SCALE),
        (3000, 3000, 2, 5, ByWeight.COARSE_SCALE),
    ],
)
def test_two_weighings_say_air_dry_only_where_the_scale_can_tell(
    first_g: float, second_g: float, hours: float, step_g: float, said: ByWeight
) -> None:
    assert by_weight(first_g, second_g, hours=hours, step_g=step_g) == said


def test_a_bench_scale_of_five_grams_cant_tell_of_a_school_pot() -> None:
    """By hand: 5 g is a thousandth of 5 kg; a pot of 2 kg needs 2 g or finer."""
    assert (resolves(5, 2000), resolves(2, 2000), resolves(5, 5000)) == (False, True, True)


def test_no_word_of_it_is_dry_or_safe() -> None:
    assert {each.value for each in ByWeight} & {"dry", "safe"} == set()
