"""Cones in the order of their heat. Pure: the standard library only.

Numbers with a leading 0 count down to the hotter (022, 021, … 01), the others count up (1, 2, …):
Orton's table of self-supporting cones. What end point a cone has is known above this package.
"""

import re

_CONE = re.compile(r"(0?)(\d{1,2}(?:\.5)?)", re.ASCII)


def cone_rank(cone: str) -> float | None:
    """Higher is hotter; None for what is no cone. "06" is -6, "6" is 6."""
    found = _CONE.fullmatch(cone.strip())
    if found is None or not float(found[2]):
        return None
    return -float(found[2]) if found[1] else float(found[2])


def common_range(ranges: list[tuple[str, str]]) -> tuple[str, str] | None:
    """The cones at which all ripen together, from the hottest lower end to the coolest upper end.

    None where there are none, or where one can't be read.
    """
    lows = {low: cone_rank(low) for low, _high in ranges}
    highs = {high: cone_rank(high) for _low, high in ranges}
    known_lows = {cone: rank for cone, rank in lows.items() if rank is not None}
    known_highs = {cone: rank for cone, rank in highs.items() if rank is not None}
    if not ranges or len(known_lows) < len(lows) or len(known_highs) < len(highs):
        return None
    low = max(known_lows, key=known_lows.__getitem__)
    high = min(known_highs, key=known_highs.__getitem__)
    return (low, high) if known_lows[low] <= known_highs[high] else None
