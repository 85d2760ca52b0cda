"""How far fresh rows may reach out before they sag.

Rows that aren't joined yet don't hold each other around the pot: what lies flat hangs from the
wall below like a balcony. With the clay's weight w per volume and its yield Y a strip of
thickness t gives way where its moment reaches what the section bears when it yields throughout,
Y t²/4 (plastic bending of a rectangle; from memory). A level strip spans √(Y t / 2w): 65 mm at
20 kPa and 8 mm.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from planning.geometry.profile import Floats

from .midwall import MidWall
from .strength import YieldRange

FLAT_SINE = 0.5**0.5
"""Flatter than 45° a row no longer rests mostly on the row below (common practice, no source)."""


@dataclass(frozen=True)
class Overhang:
    """A stretch that lies flatter than 45°, above `from_mm`.

    `spans_mm` (3,) is how far fresh rows reach, seen from above, when clay of low, middle and
    high strength gives way, `heights_mm` (3,) how high they stand then; infinite where the
    stretch ends before. `severity` is the moment of the whole stretch ÷ what the middle bears.
    """

    from_mm: float
    leans_out: bool
    spans_mm: Floats
    heights_mm: Floats
    severity: float


def overhangs(
    wall: MidWall, weight_n_per_mm3: float, strength: YieldRange, from_mm: float
) -> Iterator[Overhang]:
    """The stretches above a stiff part that ends at `from_mm`, from below."""
    start = float(wall.slant_at(np.array(from_mm)))
    slant = np.append(start, wall.slant_mm[wall.slant_mm > start])
    flat = wall.curve(slant, 1)[:, 1] < FLAT_SINE
    edges = np.flatnonzero(np.diff(flat, prepend=False, append=False))
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        yield _overhang(wall, slant[first:last], weight_n_per_mm3, strength)


def _overhang(
    wall: MidWall, slant: Floats, weight_n_per_mm3: float, strength: YieldRange
) -> Overhang:
    radius, height, thickness = wall.curve(slant).T
    height = np.maximum.accumulate(height)
    reach = radius - radius[0]
    # Per length of the edge that it hangs from: strips widen outwards and narrow inwards.
    turning = weight_n_per_mm3 * thickness * radius / radius[0] * np.abs(reach)
    steps = (turning[1:] + turning[:-1]) / 2 * np.diff(slant)
    moment = np.append(0.0, np.cumsum(steps))
    borne = strength.n_per_mm2 * thickness[0] ** 2 / 4
    sags = borne < moment[-1]
    at = np.interp(borne, moment, slant)
    return Overhang(
        from_mm=float(height[0]),
        leans_out=bool(reach[-1] > 0),
        spans_mm=np.where(sags, np.interp(at, slant, np.abs(reach)), np.inf),
        heights_mm=np.where(sags, np.interp(at, slant, height), np.inf),
        severity=float(moment[-1] / borne[1]),
    )
