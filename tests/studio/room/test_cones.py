"""Glazes that are fired together."""

from studio.room.cones import common_range


def test_glazes_together_ripen_where_all_of_them_do() -> None:
    assert common_range([("5", "6")]) == ("5", "6")
    assert common_range([("4", "7"), ("6", "10")]) == ("6", "7")
    assert common_range([("06", "04"), ("05", "5")]) == ("05", "04")


def test_glazes_that_share_no_cone_have_no_range() -> None:
    assert common_range([("06", "04"), ("5", "6")]) is None
    assert common_range([]) is None
