"""Bags: how many hold so much, and which part of one a lump is. Grams; the standard library only.

A bag is cut with a wire, so the parts that people cut are quarters.
"""

import math

QUARTERS = 4
# A part in a hundred thousand more than a whole bag is that bag: sums of floats aren't exact.
_SLACK = 1e-5


def bags_for(grams: float, bag_g: float | None) -> int | None:
    """Whole bags that hold `grams`; None where the clay isn't in bags."""
    return None if bag_g is None else math.ceil(grams / bag_g - _SLACK)


def quarters_for(grams: float, bag_g: float) -> int:
    """The fewest quarters of a bag that hold `grams`: 2,412 g of a 25 lb bag are one."""
    return math.ceil(grams / bag_g * QUARTERS - _SLACK)


def part_text(quarters: int) -> str:
    """Quarters as people write them: 1 is `¼`, 4 is `1`, 6 is `1½`."""
    whole, rest = divmod(quarters, QUARTERS)
    fraction = ("", "¼", "½", "¾")[rest]
    return f"{whole or ''}{fraction}" or "0"
