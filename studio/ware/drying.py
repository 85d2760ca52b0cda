"""How long pots dry, and when a scale says that one is air dry. NumPy and the standard library.

Air dry clay still holds the water that room air leaves in it, some parts in a hundred, and more
in a thick place than the scale tells (common practice): it is candled all the same.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

LEAST_POTS = 5
"""Fewer pots of one thickness say too little (common practice, no source)."""

# Up to which thickest place a class of pots reaches, mm, and how many days such pots take at least
# and at most, dried slowly: 3 to 7 for 6 to 8 mm, one to two weeks for 9 to 12, two to four above
# (common practice, no source).
_RULE = ((8.0, 3, 7), (12.0, 7, 14), (float("inf"), 14, 28))

RESOLVES = 0.001
"""A loss of a thousandth of the pot must show on the scale, and less than that is none."""

LEAST_HOURS = 23
"""A day between two weighings, with an hour for a timetable (constant mass over a day in room air:
from memory; the principle is that of ASTM C373)."""


@dataclass(frozen=True)
class Dried:
    """A pot of the studio's record: its thickest place, and days from the greenware check until it
    was found air dry.
    """

    thickest_mm: float
    days: float


@dataclass(frozen=True)
class Expected:
    """So many days a pot takes: the middle half of the studio's own pots with their median, or a
    rule of thumb, which has no middle. `pots` is from how many; 0: the rule of thumb.
    """

    low_days: int
    high_days: int
    middle_days: int | None = None
    pots: int = 0

    @property
    def is_rule(self) -> bool:
        return self.pots == 0

    @property
    def due_days(self) -> int:
        """From when on it is worth feeling: the middle of the record, the end of the rule."""
        return self.high_days if self.middle_days is None else self.middle_days


def thickness_class(thickest_mm: float) -> int:
    """Which of the classes of the rule of thumb; they are compared among themselves only."""
    return next(n for n, (up_to, _low, _high) in enumerate(_RULE) if thickest_mm <= up_to)


def expected_days(thickest_mm: float, record: Sequence[Dried]) -> Expected:
    """By the studio's own pots of this thickness where there are `LEAST_POTS`, else by the rule."""
    own = thickness_class(thickest_mm)
    days = [each.days for each in record if thickness_class(each.thickest_mm) == own]
    if len(days) < LEAST_POTS:
        _up_to, low, high = _RULE[own]
        return Expected(low, high)
    low, middle, high = (round(each) for each in np.quantile(days, (0.25, 0.5, 0.75)).tolist())
    return Expected(low, high, middle, len(days))


class ByWeight(StrEnum):
    """What two weighings say. Only one of them is an answer; none is "dry" or "safe"."""

    COARSE_SCALE = "coarse_scale"
    TOO_SOON = "too_soon"
    LOSING = "losing"
    GAINED = "gained"
    AIR_DRY = "air_dry"


def resolves(step_g: float, pot_g: float) -> bool:
    """Whether a scale of this step shows a thousandth of the pot."""
    return step_g <= RESOLVES * pot_g


def by_weight(first_g: float, second_g: float, *, hours: float, step_g: float) -> ByWeight:
    """What an unwrapped pot's two weighings say, `hours` apart; `step_g` is the coarser scale's."""
    if not resolves(step_g, second_g):
        return ByWeight.COARSE_SCALE
    if hours < LEAST_HOURS:
        return ByWeight.TOO_SOON
    least_g = RESOLVES * second_g
    if first_g - second_g > least_g:
        return ByWeight.LOSING
    return ByWeight.GAINED if second_g - first_g > least_g else ByWeight.AIR_DRY
