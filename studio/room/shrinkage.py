"""What test bars say of a clay body: shrinkage, water, loss on ignition, and their spread. Pure.

A bar carries two marks. Their distance is measured plastic (wet), bone dry and fired; the bar is
weighed in the same three states where these figures are wanted. Definitions as in ASTM C326 (its
clause of calculation from memory): drying and total shrinkage count on the plastic length, firing
shrinkage on the dry length (published: ceramic-research.com/analysis_fired_properties.html).
Lengths in mm, masses in g, every figure in per cent.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from statistics import fmean, stdev
from typing import Protocol

from scipy.special import stdtrit

# Bodies on suppliers' sheets shrink 3 to 8 % in drying and 5 to 16 % in all, hold 18 to 25 % of
# water and lose 4 to 15 % in the kiln. Beyond these limits somebody read another mark, or a
# digit slipped. Common practice, no source.
MOST_DRYING_PCT = 20.0
MOST_TOTAL_PCT = 25.0
MOST_WATER_PCT = 40.0
MOST_IGNITION_PCT = 30.0

# Half a millimetre on 100 mm is what two people read differently, so only what is clearly more is a
# difference. Common practice, no source.
READING_PCT = 0.75
FEWEST_TO_COMPARE = 4
SIGNIFICANCE = 0.05


class Measured(Protocol):
    """A bar as far as it has come; None where it wasn't measured (yet)."""

    @property
    def wet_mm(self) -> float: ...
    @property
    def dry_mm(self) -> float | None: ...
    @property
    def fired_mm(self) -> float | None: ...
    @property
    def wet_g(self) -> float | None: ...
    @property
    def dry_g(self) -> float | None: ...
    @property
    def fired_g(self) -> float | None: ...


def loss_pct(before: float, after: float) -> float:
    """How much of `before` is gone, in per cent of `before`.

    Published example (potters.org/subject01835.htm), 10 in wet and 8.5 in fired:

    >>> loss_pct(10, 8.5)
    15.0
    """
    return 100 * (before - after) / before


def composed_pct(first_pct: float, then_pct: float) -> float:
    """One loss after the other: 1 - (1 - a)(1 - b), less than their sum.

    >>> round(composed_pct(6.0, 8.86), 2)
    14.33
    """
    return 100 * (1 - (1 - first_pct / 100) * (1 - then_pct / 100))


def dry_basis_pct(wet_basis_pct: float) -> float:
    """Water in per cent of the dry mass, from that in per cent of the wet mass: w/(1 - w).

    >>> dry_basis_pct(20)
    25.0
    """
    return 100 * wet_basis_pct / (100 - wet_basis_pct)


def drying_pct(bar: Measured) -> float | None:
    """Drying shrinkage, of the plastic length."""
    return None if bar.dry_mm is None else loss_pct(bar.wet_mm, bar.dry_mm)


def firing_pct(bar: Measured) -> float | None:
    """Firing shrinkage, of the dry length."""
    if bar.dry_mm is None or bar.fired_mm is None:
        return None
    return loss_pct(bar.dry_mm, bar.fired_mm)


def total_pct(bar: Measured) -> float | None:
    """Total shrinkage, of the plastic length. Where the bar was measured dry this is drying and
    firing composed; it needs no dry length.
    """
    return None if bar.fired_mm is None else loss_pct(bar.wet_mm, bar.fired_mm)


def water_pct(bar: Measured) -> float | None:
    """Water in the plastic clay on wet basis: of the wet mass, as a clay body has it here."""
    if bar.wet_g is None or bar.dry_g is None:
        return None
    return loss_pct(bar.wet_g, bar.dry_g)


def ignition_pct(bar: Measured) -> float | None:
    """Loss on ignition, of the dry mass."""
    if bar.dry_g is None or bar.fired_g is None:
        return None
    return loss_pct(bar.dry_g, bar.fired_g)


@dataclass(frozen=True)
class Spread:
    """Of so many bars. `deviation` is that of a sample (divided by n - 1), None for one bar."""

    bars: int
    mean: float
    deviation: float | None
    least: float
    most: float


def spread_of(values: Iterable[float | None]) -> Spread | None:
    """Of those that are there; None where there are none."""
    there = [value for value in values if value is not None]
    if not there:
        return None
    deviation = stdev(there) if len(there) > 1 else None
    return Spread(len(there), fmean(there), deviation, min(there), max(there))


@dataclass(frozen=True)
class Figures:
    """What several bars of one body and one firing say, each figure from the bars that have it."""

    drying: Spread | None
    firing: Spread | None
    total: Spread | None
    water: Spread | None
    ignition: Spread | None


def figures_of(bars: Iterable[Measured]) -> Figures:
    """Means over the bars of what each bar says by itself, so that total is composed per bar."""
    listed = list(bars)
    return Figures(
        drying=spread_of(map(drying_pct, listed)),
        firing=spread_of(map(firing_pct, listed)),
        total=spread_of(map(total_pct, listed)),
        water=spread_of(map(water_pct, listed)),
        ignition=spread_of(map(ignition_pct, listed)),
    )


def grubbs_limit(count: int) -> float:
    """From how many standard deviations one of `count` >= 3 values counts as apart (two-sided, 5 in
    100), by Grubbs's test as in ASTM E178. Formula published: NIST/SEMATECH e-Handbook 1.3.5.17.1.
    """
    t = -float(stdtrit(count - 2, SIGNIFICANCE / (2 * count)))
    return (count - 1) / math.sqrt(count) * math.sqrt(t * t / (count - 2 + t * t))


def apart(values: Sequence[float | None]) -> int | None:
    """The place of the one value that stands apart from the others, None where none does.

    It must fail Grubbs's test and be further from the mean of the others than a ruler is misread.
    """
    there = [(place, value) for place, value in enumerate(values) if value is not None]
    spread = spread_of(value for _place, value in there)
    if spread is None or spread.bars < FEWEST_TO_COMPARE or not spread.deviation:
        return None
    mean, deviation = spread.mean, spread.deviation
    place, value = max(there, key=lambda each: abs(each[1] - mean))
    from_others = abs(value - mean) * spread.bars / (spread.bars - 1)
    if abs(value - mean) / deviation <= grubbs_limit(spread.bars) or from_others <= READING_PCT:
        return None
    return place


class Doubt(StrEnum):
    """Why a measure can't be that of a test bar."""

    GREW_DRYING = "longer dry than wet"
    GREW_FIRING = "longer fired than before"
    SHRANK_DRYING = "shrank too much in drying"
    SHRANK_FIRED = "shrank too much in all"
    HEAVIER_DRY = "not lighter dry than wet"
    HEAVIER_FIRED = "heavier fired than before"
    WATER = "too much water"
    IGNITION = "too much lost in the kiln"


def doubts(bar: Measured) -> Iterator[tuple[str, Doubt]]:
    """What to measure again: the measure (`dry_mm` and so on) and why; one doubt a measure."""
    if bar.dry_mm is not None:
        if bar.dry_mm > bar.wet_mm:
            yield "dry_mm", Doubt.GREW_DRYING
        elif loss_pct(bar.wet_mm, bar.dry_mm) > MOST_DRYING_PCT:
            yield "dry_mm", Doubt.SHRANK_DRYING
    if bar.fired_mm is not None:
        if bar.fired_mm > (bar.wet_mm if bar.dry_mm is None else bar.dry_mm):
            yield "fired_mm", Doubt.GREW_FIRING
        elif loss_pct(bar.wet_mm, bar.fired_mm) > MOST_TOTAL_PCT:
            yield "fired_mm", Doubt.SHRANK_FIRED
    yield from _doubts_of_masses(bar)


def _doubts_of_masses(bar: Measured) -> Iterator[tuple[str, Doubt]]:
    before_firing = bar.wet_g if bar.dry_g is None else bar.dry_g
    water, ignition = water_pct(bar), ignition_pct(bar)
    if water is not None:
        if water <= 0:
            yield "dry_g", Doubt.HEAVIER_DRY
        elif water > MOST_WATER_PCT:
            yield "dry_g", Doubt.WATER
    if bar.fired_g is not None and before_firing is not None and bar.fired_g > before_firing:
        yield "fired_g", Doubt.HEAVIER_FIRED
    elif ignition is not None and ignition > MOST_IGNITION_PCT:
        yield "fired_g", Doubt.IGNITION
