"""What witness cones say of a kiln whose true offset is known."""

import pytest

from studio.kilns.heat.program import Segment
from studio.kilns.heat.reached import Firing, firing
from studio.kilns.heat.witness import Witness, correction, offset_c

PACK = ("5", "6", "7")


def to(peak_c: float) -> Firing:
    return firing(20, [Segment(100, 600), Segment(60, peak_c)])


def stood(peak_c: float) -> list[Witness]:
    """How a pack of three stands after a plain rise to a peak: by the chart's column of 60 °C/h,
    1186, 1222 and 1239 °C, and 1203 °C for cone 5.5 and 1162 °C for cone 4 before them."""
    ends = {"5": (1162, 1186), "6": (1203, 1222), "7": (1222, 1239)}
    bends = {cone: (peak_c - low) / (high - low) for cone, (low, high) in ends.items()}
    return [Witness(cone, min(1.0, max(0.0, bends[cone]))) for cone in PACK]


@pytest.mark.parametrize("really_c", [-14, -6, 0, 8, 12])
def test_a_part_bent_cone_tells_by_how_much_the_kiln_is_off(really_c: float) -> None:
    assert offset_c(to(1222), stood(1222 + really_c)) == pytest.approx(really_c, abs=2)


def test_cones_that_stand_as_computed_ask_for_no_correction() -> None:
    assert offset_c(to(1222), [Witness("5", 1), Witness("6", 1), Witness("7", 0)]) == 0


def test_cones_at_their_ends_only_bound_it() -> None:
    """Cone 7 is down at 1239 °C, within the maker's 2 °C; cone 5.5 at 1203 °C is upright's bound
    for cone 6."""
    assert offset_c(to(1222), [Witness("7", 1)]) == pytest.approx(15, abs=0.2)
    assert offset_c(to(1222), [Witness("6", 0)]) == pytest.approx(-19, abs=0.2)
    assert offset_c(to(1222), [Witness("6", 1), Witness("10", 0)]) == 0


def test_cones_that_contradict_each_other_are_met_half_way() -> None:
    both = offset_c(to(1222), [Witness("7", 1), Witness("6", 0)])
    assert both == pytest.approx((15 - 19) / 2, abs=0.2)


def test_the_coolest_cone_bends_within_the_makers_band() -> None:
    """Usually under 40 °F, 22 °C: the maker's chart. Cone 022 is down at 586 °C for 60 °C/h."""
    assert offset_c(firing(20, [Segment(60, 586)]), [Witness("022", 0.5)]) == pytest.approx(-11)


def test_what_says_nothing_gives_nothing() -> None:
    assert offset_c(to(1222), []) is None
    assert offset_c(firing(20, [Segment(60, 1222)], "large_regular"), [Witness("14", 1)]) is None
    assert offset_c(firing(600, [Segment(60, 500)]), [Witness("6", 1)]) is None
    assert correction([]) is None


def test_a_kilns_correction_is_the_median_of_its_firings_with_their_spread() -> None:
    one, three = correction([7.0]), correction([9.0, 4.0, 6.0])
    assert one is not None
    assert three is not None
    assert (one.offset_c, one.firings, one.spread_c) == (7, 1, None)
    assert (three.offset_c, three.firings, three.spread_c) == (6, 3, 2.5)


@pytest.mark.parametrize(
    ("offset", "hotter", "cooler"), [(6, True, False), (-6, False, True), (2, False, False)]
)
def test_what_cones_differ_by_among_themselves_is_no_correction(
    offset: float, hotter: bool, cooler: bool
) -> None:
    """±2 °C: the maker's staff, potters.org/subject63823.htm."""
    found = correction([offset])
    assert found is not None
    assert (found.by_c, found.is_hotter, found.is_cooler) == (abs(offset), hotter, cooler)
