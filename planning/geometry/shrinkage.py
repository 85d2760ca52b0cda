"""Linear shrinkage: from wet to dry to fired, and back from a fired drawing.

All fractions. Total shrinkage composes, S = 1 - (1 - S_dry)(1 - S_fire); it is not the sum.
Drying and total count from the wet length (as in ASTM C326), firing from the dry length.
"""


def total_shrinkage(drying: float, firing: float) -> float:
    """Wet to fired from wet to dry and dry to fired."""
    return 1 - (1 - drying) * (1 - firing)


def firing_shrinkage(drying: float, total: float) -> float:
    """Dry to fired, on the dry length."""
    return 1 - (1 - total) / (1 - drying)


def enlargement(total: float) -> float:
    """How many times longer the wet pot is than the fired one."""
    return 1 / (1 - total)
