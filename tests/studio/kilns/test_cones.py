"""The table of end points against the published chart (sources: docstring of `cones`)."""

import csv
import doctest
from itertools import pairwise
from pathlib import Path

import pytest

from studio.kilns import cones as module
from studio.kilns.cones import CONE_TYPES, DEFAULT_TYPE, cones, end_point_c, rates_c_per_h
from studio.kilns.refusal import KilnRefused

TABLE = Path(module.__file__).with_name("cones.csv")


def rows() -> list[dict[str, str]]:
    with TABLE.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def test_every_row_of_the_table_is_answered_exactly_at_its_own_rate() -> None:
    assert len(rows()) == 225
    for row in rows():
        end = end_point_c(row["cone"], row["type"], float(row["rate_c_per_h"]))
        assert end == float(row["temp_c"]), row


def test_celsius_and_fahrenheit_of_every_row_agree() -> None:
    """°F = 9/5 °C + 32, both columns rounded to whole degrees."""
    for row in rows():
        assert float(row["temp_f"]) == pytest.approx(float(row["temp_c"]) * 9 / 5 + 32, abs=1.1)


@pytest.mark.parametrize(
    ("cone", "slow", "medium", "fast"),
    [
        # Self-supporting regular cones at 15, 60 and 150 °C/h: the maker's chart, published
        # (022-08 in the copy at formsbank.com/template/288043; 6 also in
        # potters.org/subject81597.htm, 2165/2232/2269 °F).
        ("010", 891, 903, 915),
        ("06", 981, 998, 1013),
        ("04", 1046, 1063, 1077),
        ("6", 1185, 1222, 1243),
        ("10", 1251, 1285, 1305),
    ],
)
def test_the_cones_of_a_class_room_are_those_of_the_chart(
    cone: str, slow: float, medium: float, fast: float
) -> None:
    ends = [end_point_c(cone, DEFAULT_TYPE, rate) for rate in (15, 60, 150)]
    assert ends == [slow, medium, fast]


def test_between_rates_the_end_point_runs_with_the_logarithm_of_the_rate() -> None:
    """1222 + 21 ln(100/60) / ln(150/60) = 1233.7 °C: derived from the two published values."""
    assert end_point_c("6", DEFAULT_TYPE, 100) == pytest.approx(1233.7, abs=0.05)


@pytest.mark.parametrize("rate", [15, 30, 60, 100, 150, 1000])
@pytest.mark.parametrize("cone_type", CONE_TYPES)
def test_a_hotter_cone_has_a_higher_end_point_at_every_rate(cone_type: str, rate: float) -> None:
    ends = [end_point_c(cone, cone_type, rate) for cone in cones(cone_type)]
    assert all(low < high for low, high in pairwise(ends))


def test_a_faster_firing_ends_hotter() -> None:
    for cone in cones():
        ends = [end_point_c(cone, DEFAULT_TYPE, rate) for rate in rates_c_per_h(cone)]
        assert all(low < high for low, high in pairwise(ends))


def test_cones_run_from_022_over_01_and_1_to_14_with_the_half_cones() -> None:
    names = cones()
    assert names[0] == "022"
    assert names[-1] == "14"
    assert names[names.index("06") :][:4] == ("06", "05.5", "05", "04")
    assert names[names.index("01") :][:2] == ("01", "1")
    assert names[names.index("5") :][:3] == ("5", "5.5", "6")
    assert len(names) == 22 + 14 + 2


def test_outside_the_published_rates_the_nearest_is_answered() -> None:
    assert end_point_c("6", DEFAULT_TYPE, 1) == 1185
    assert end_point_c("6", DEFAULT_TYPE, 900) == 1243
    assert end_point_c("022", DEFAULT_TYPE, 15) == 586
    assert end_point_c("06", "small_regular", 60) == 1023


def test_an_unknown_kind_of_cone_is_refused_with_a_sentence() -> None:
    with pytest.raises(KilnRefused, match=r"cone_type: The cone table has no cones of this kind\."):
        cones("paper")


def test_its_examples_are_true() -> None:
    assert doctest.testmod(module).failed == 0
