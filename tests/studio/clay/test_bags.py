"""Bags and parts of bags."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.clay.bags import bags_for, part_text, quarters_for
from studio.units.typed import typed_mass_g

# Packs as suppliers list them: a 25 lb bag is 11.34 kg, two make a 50 lb box; a 12.5 kg bag is
# 27.6 lb.
LISTED = [("25 lb", 11.34), ("50 lb", 22.68), ("27.6 lb", 12.52)]


@pytest.mark.parametrize(("typed", "kg"), LISTED)
def test_a_pack_weighs_what_suppliers_list(typed: str, kg: float) -> None:
    assert float(typed_mass_g(typed, "kg")) / 1000 == pytest.approx(kg, abs=0.005)


def test_a_box_is_two_bags() -> None:
    assert bags_for(float(typed_mass_g("50 lb", "kg")), float(typed_mass_g("25 lb", "kg"))) == 2


def test_thirty_pots_of_2_4_kg_are_seven_bags_of_25_lb() -> None:
    assert bags_for(30 * 2412, 11_340) == 7  # 72.36 kg; six bags are 68.04 kg


def test_clay_without_bags_is_not_counted_in_them() -> None:
    assert bags_for(2412, None) is None


@given(st.integers(1, 200), st.integers(100, 100_000))
def test_so_many_bags_are_so_many_bags(bags: int, bag_g: int) -> None:
    assert bags_for(bags * bag_g, bag_g) == bags
    assert quarters_for(bags * bag_g, bag_g) == 4 * bags


@given(st.floats(1, 1e6), st.integers(100, 100_000))
def test_the_parts_hold_the_clay_and_one_less_would_not(grams: float, bag_g: int) -> None:
    quarters = quarters_for(grams, bag_g)
    slack_g = bag_g * 1e-4
    assert quarters * bag_g / 4 >= grams - slack_g
    assert (quarters - 1) * bag_g / 4 < grams


@pytest.mark.parametrize(
    ("quarters", "text"), [(0, "0"), (1, "¼"), (2, "½"), (3, "¾"), (4, "1"), (6, "1½"), (41, "10¼")]
)
def test_a_part_is_read_as_people_write_it(quarters: int, text: str) -> None:
    assert part_text(quarters) == text
