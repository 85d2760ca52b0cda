"""Cones in order; the order is that of Orton's table of self-supporting cones."""

import pytest

from studio.ware.cones import common_range, cone_rank

COOLEST_FIRST = ["022", "019", "010", "06", "05.5", "04", "01", "1", "5", "5.5", "6", "10", "14"]


def test_they_rise_from_022_over_01_to_1_and_on() -> None:
    ranks = [cone_rank(cone) for cone in COOLEST_FIRST]
    assert None not in ranks
    assert ranks == sorted(rank for rank in ranks if rank is not None)
    assert len(set(ranks)) == len(ranks)


@pytest.mark.parametrize("text", ["", "0", "00", "six", "6-8", "-6", "5.25", "0006", "1²"])
def test_what_is_no_cone_has_no_rank(text: str) -> None:
    assert cone_rank(text) is None


def test_glazes_together_ripen_where_all_of_them_do() -> None:
    assert common_range([("5", "6")]) == ("5", "6")
    assert common_range([("4", "7"), ("6", "10")]) == ("6", "7")
    assert common_range([("06", "04"), ("05", "5")]) == ("05", "04")


def test_glazes_that_share_no_cone_have_no_range() -> None:
    assert common_range([("06", "04"), ("5", "6")]) is None
    assert common_range([("low", "6")]) is None
    assert common_range([("5", "high")]) is None
    assert common_range([]) is None
