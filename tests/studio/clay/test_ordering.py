"""How long clay lasts and what to order, against examples that were worked by hand."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.clay.ordering import Dated, Offer, order_by, outlook, packs_for, rough_pot_g

TODAY = date(2026, 3, 11)
# As clay is sold (standards of packs): a 25 lb bag, two to a box; a bag of 12.5 kg.
BAG_25_LB_G = 11_340


def day(number: int) -> date:
    return TODAY + timedelta(days=number)


def test_it_runs_out_on_the_first_day_that_needs_more_than_is_there() -> None:
    """By hand: 50 kg are there; 20 go today, 20 in a week, 20 in two: 10 lack in two weeks."""
    goes = [Dated(day(n), 20_000) for n in (0, 7, 14)]
    seen = outlook(50_000, goes=goes, comes=[], today=TODAY)
    assert (seen.runs_out_on, seen.lacking_g) == (day(14), 10_000)


def test_what_comes_in_time_is_counted_and_what_comes_late_isnt_in_time() -> None:
    goes = [Dated(day(n), 20_000) for n in (0, 7, 14)]
    in_time = outlook(50_000, goes=goes, comes=[Dated(day(14), 12_000)], today=TODAY)
    assert (in_time.runs_out_on, in_time.lacking_g) == (None, 0)
    # It comes between two days of need: enough in the end, too late for the first.
    late = outlook(10_000, goes=goes, comes=[Dated(day(9), 50_000)], today=TODAY)
    assert (late.runs_out_on, late.lacking_g) == (TODAY, 0)
    after = outlook(50_000, goes=goes, comes=[Dated(day(30), 50_000)], today=TODAY)
    assert (after.runs_out_on, after.lacking_g) == (day(14), 10_000)


def test_what_comes_as_soon_as_a_new_order_could_is_not_ordered_again() -> None:
    goes, comes = [Dated(TODAY, 3000)], [Dated(day(2), 5000)]
    seen = outlook(0, goes=goes, comes=comes, today=TODAY, days_to_come=10)
    assert (seen.runs_out_on, seen.lacking_g) == (TODAY, 0)
    sooner = outlook(0, goes=goes, comes=comes, today=TODAY, days_to_come=1)
    assert (sooner.runs_out_on, sooner.lacking_g) == (TODAY, 3000)


def test_what_was_needed_before_today_is_needed_today() -> None:
    seen = outlook(1000, goes=[Dated(day(-9), 3000)], comes=[Dated(day(-3), 500)], today=TODAY)
    assert (seen.runs_out_on, seen.lacking_g) == (TODAY, 1500)


def test_clay_that_nobody_needs_lasts() -> None:
    assert outlook(0, goes=[], comes=[], today=TODAY).runs_out_on is None
    nothing = outlook(0, goes=[Dated(TODAY, 0)], comes=[], today=TODAY)
    assert (nothing.runs_out_on, nothing.lacking_g) == (None, 0)
    assert outlook(999.6, goes=[Dated(TODAY, 1000)], comes=[], today=TODAY).lacking_g == 0


def test_it_is_ordered_so_that_it_comes_the_day_before() -> None:
    """By hand: out on 25 March, ten days to come: there on the 24th if ordered on the 14th."""
    assert order_by(date(2026, 3, 25), 10) == date(2026, 3, 14)


# 100 kg are 8.82 bags of 25 lb: nine. By hand for each pair of prices.
@pytest.mark.parametrize(
    ("bag", "box", "boxes", "bags", "cost"),
    [
        ("18.50", "34.00", 4, 1, "154.50"),  # 4 boxes and a bag; 5 boxes would be 170
        ("40.00", "34.00", 5, 0, "170.00"),  # a single bag costs more than a box
        ("15.00", "34.00", 0, 9, "135.00"),  # bags are the cheaper way
        ("17.00", "34.00", 4, 1, "153.00"),  # the same a bag: the fewest to carry
    ],
)
def test_the_cheapest_whole_bags_and_boxes(
    bag: str, box: str, boxes: int, bags: int, cost: str
) -> None:
    offer = Offer(BAG_25_LB_G, 2, bag_price=Decimal(bag), box_price=Decimal(box))
    packs = packs_for(100_000, offer)
    assert (packs.boxes, packs.bags, packs.cost) == (boxes, bags, Decimal(cost))
    assert packs.grams == (boxes * 2 + bags) * BAG_25_LB_G


def test_whole_boxes_where_bags_are_not_sold_one_by_one() -> None:
    packs = packs_for(100_000, Offer(BAG_25_LB_G, 2, sold_singly=False, box_price=Decimal(34)))
    assert (packs.boxes, packs.bags, packs.bags_in_all, packs.cost) == (5, 0, 10, Decimal(170))


def test_without_prices_the_least_clay_and_no_cost() -> None:
    packs = packs_for(100_000, Offer(BAG_25_LB_G, 2))
    assert (packs.boxes, packs.bags, packs.cost) == (4, 1, None)
    # Only the box has a price: what can be told is preferred.
    boxed = packs_for(100_000, Offer(BAG_25_LB_G, 2, box_price=Decimal(34)))
    assert (boxed.boxes, boxed.bags, boxed.cost) == (5, 0, Decimal(170))


def test_bags_alone_where_there_are_no_boxes() -> None:
    packs = packs_for(25_000, Offer(12_500, bag_price=Decimal("19.90")))
    assert (packs.boxes, packs.bags, packs.grams, packs.cost) == (0, 2, 25_000, Decimal("39.80"))


@given(
    grams=st.floats(1, 2_000_000),
    bags_in_box=st.integers(1, 6),
    bag=st.integers(1, 60),
    box=st.integers(1, 200),
)
def test_they_hold_what_is_needed_and_no_way_is_cheaper(
    grams: float, bags_in_box: int, bag: int, box: int
) -> None:
    """Against every pair of counts, tried one by one."""
    offer = Offer(12_500, bags_in_box, bag_price=Decimal(bag), box_price=Decimal(box))
    packs = packs_for(grams, offer)
    assert packs.grams > grams - 1
    tried = [
        boxes * box + bags * bag
        for boxes in range(0 if bags_in_box == 1 else 170)
        for bags in range(170)
        if (boxes * bags_in_box + bags) * 12_500 >= grams
    ]
    if bags_in_box > 1:
        assert packs.cost == min(tried)


def test_a_rough_pot_is_a_cylinder() -> None:
    """By hand, d 20 cm, h 25 cm, wall and base 1 cm: π/4·(20²·25 − 18²·24) = 1746.73 cm³."""
    rough = {"height_mm": 250.0, "width_mm": 200.0, "wall_mm": 10.0, "base_mm": 10.0}
    assert rough_pot_g(**rough, density_g_per_cm3=2.0) == pytest.approx(2 * 1746.73, abs=0.02)
    with pytest.raises(ValueError, match="no cavity"):
        rough_pot_g(**rough | {"wall_mm": 100.0}, density_g_per_cm3=2.0)
