"""Names of the pyrometric cones that a label or a data sheet may give, the coolest first. Pure.

Their order is kept here alone; the temperatures belong to the kiln room.
"""

from collections.abc import Sequence

NAMES = (
    *("022", "021", "020", "019", "018", "017", "016", "015", "014", "013", "012", "011", "010"),
    *("09", "08", "07", "06", "05.5", "05", "04", "03", "02", "01"),
    *("1", "2", "3", "4", "5", "5.5", "6", "7", "8", "9", "10", "11", "12", "13", "14"),
)


def heat_of(cone: str) -> int:
    """Its place in the list: the higher, the hotter. ValueError for no cone."""
    return NAMES.index(cone)


def common_range(ranges: Sequence[tuple[str, str]]) -> tuple[str, str] | None:
    """The cones at which all ripen together, from the hottest lower end to the coolest upper end;
    None where there are none.
    """
    if not ranges:
        return None
    low = max((low for low, _high in ranges), key=heat_of)
    high = min((high for _low, high in ranges), key=heat_of)
    return (low, high) if heat_of(low) <= heat_of(high) else None
