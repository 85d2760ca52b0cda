"""Between the way round a pot and its width and depth, by its real outline."""

import numpy as np
from scipy.optimize import brentq

from planning.geometry.section import ellipse_perimeter
from planning.geometry.shell import shell
from planning.geometry.surface import Surface

_MOST_RATIO = 10.0


def way_round(surface: Surface, s: float, wider: float = 1.0, deeper: float = 1.0) -> float:
    """Outer perimeter (mm) of the section at parameter `s`, with its width and depth multiplied
    by `wider` and `deeper`."""
    at = np.array([s])
    if surface.rings is None:
        front, depth, _ = surface.curve.at(at)
        return float(ellipse_perimeter(wider * front, deeper * depth)[0])
    outer = shell(surface, surface.rings, at)
    # The outline runs at right angles to its normal.
    run = np.hypot(wider * outer.normal[1], deeper * outer.normal[0]) * outer.run
    return float((surface.rings.weights @ run)[0])


def other_ratio(
    surface: Surface, s: float, perimeter_mm: float, *, wider: float | None, deeper: float | None
) -> float | None:
    """By how much the other of width and depth is multiplied for a way round of `perimeter_mm`,
    given one of them; None where no pot has both."""

    def miss(ratio: float) -> float:
        x, y = (ratio, deeper) if wider is None else (wider, ratio)
        return way_round(surface, s, x or 0.0, y or 0.0) - perimeter_mm

    if miss(0.0) > 0 or miss(_MOST_RATIO) < 0:
        return None
    return float(brentq(miss, 0.0, _MOST_RATIO, xtol=1e-9))
