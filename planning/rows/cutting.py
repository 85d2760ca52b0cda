"""The wall cut into a whole number of rows of one coil cross-section."""

import math
from dataclasses import dataclass

import numpy as np

from planning.geometry.profile import Floats
from planning.geometry.said import Values
from planning.geometry.surface import DEPTH, FRONT, HEIGHT

from .choices import MOST_ROWS
from .middle import Middle, Stretch, middle, outer_edges
from .sentences import RowsRefused, Trouble


@dataclass(frozen=True)
class Cut:
    """Rows (n,) from floor to rim, all of the cross-section `section_mm2`.

    `height_mm`, `front_mm`, `depth_mm`: of the outer surface at each row's top edge; `slant_mm`:
    length of the wall's middle from the floor up to there; `perimeter_mm`: at mid-wall, the mean
    over the row, so that the row's clay is exactly cross-section × perimeter; `wall_mm`: the
    wall's mean thickness.
    """

    laid: Middle
    coil_mm: float
    section_mm2: float
    height_mm: Floats
    front_mm: Floats
    depth_mm: Floats
    slant_mm: Floats
    perimeter_mm: Floats
    wall_mm: float


def cut_into_rows(stretch: Stretch, coil_mm: float) -> Cut:
    """Cut by coils as near to `coil_mm` as whole rows allow, or raise `RowsRefused`.

    Every row takes the same area of the wall's meridian section, so that in a wall t a coil of
    diameter d rises πd²/(4t) along the slant.
    """
    laid = middle(stretch)
    section_below, clay_below = laid.section_below, laid.clay_below
    count, coil = _count(float(section_below[-1]), coil_mm)
    section = float(section_below[-1]) / count
    edges: Floats = section * np.arange(count + 1.0)
    slants = np.interp(edges, section_below, laid.slant_mm)
    clay = _clay_at(laid, slants, section_below, clay_below, edges)
    s = outer_edges(stretch, laid, slants[1:])
    s[-1] = stretch.surface.curve.length
    places = stretch.surface.curve.at(np.maximum.accumulate(s))
    return Cut(
        laid=laid,
        coil_mm=coil,
        section_mm2=section,
        height_mm=places[HEIGHT],
        front_mm=2 * places[FRONT],
        depth_mm=2 * places[DEPTH],
        slant_mm=slants[1:],
        perimeter_mm=np.diff(clay) / section,
        wall_mm=float(section_below[-1] / laid.fill / laid.slant_mm[-1]),
    )


def _count(section_mm2: float, asked_mm: float) -> tuple[int, float]:
    """How many rows, and their coil: of the two numbers next to what was asked the one whose
    coil is nearer to it."""
    exact = section_mm2 / (np.pi / 4 * asked_mm**2)
    if exact > MOST_ROWS:
        values: Values = {
            "coil_mm": asked_mm,
            "rows": str(round(exact)),
            # Up to whole millimetres: shown without fractions, it must still be enough.
            "least_mm": math.ceil(coil_of(section_mm2 / MOST_ROWS)),
        }
        raise RowsRefused([Trouble("too_many_rows", values, "coil_mm")])
    few = max(int(exact), 1)
    offers = ((count, coil_of(section_mm2 / count)) for count in (few, few + 1))
    return min(offers, key=lambda offer: abs(offer[1] - asked_mm))


def coil_of(section_mm2: float) -> float:
    """Diameter of the coil with a cross-section."""
    return float(np.sqrt(4 * section_mm2 / np.pi))


def _clay_at(
    laid: Middle, slants: Floats, section_below: Floats, clay_below: Floats, edges: Floats
) -> Floats:
    """Clay below the row edges (n + 1,): what lies below the station before each and, above it,
    section × the perimeter between the two."""
    at = np.clip(np.searchsorted(laid.slant_mm, slants, side="right") - 1, 0, None)
    perimeter = np.interp(slants, laid.slant_mm, laid.perimeter_mm)
    between = (laid.perimeter_mm[at] + perimeter) / 2
    clay = clay_below[at] + (edges - section_below[at]) * between
    clay[-1] = clay_below[-1]
    return np.asarray(clay)
