"""Which level the brief's counts speak for: something to begin from, never a mark.

Our own rule, no source. How early the chosen drawing was made, over how many days a student drew
and how large the steps after the choice were take no part in it: a late bold change is good.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

ENOUGH: Final = Fraction(1)
HALF: Final = Fraction(1, 2)
_WITH_A_TOP: Final = 3
"""Of so many levels the highest is for what no count shows."""


@dataclass(frozen=True)
class Reached:
    """How much there was of what was wanted; `unknown` may be so many more."""

    done: int
    wanted: int
    unknown: int = 0

    @property
    def at_most(self) -> "Reached":
        return Reached(self.done + self.unknown, self.wanted)

    @property
    def share(self) -> Fraction:
        return Fraction(self.done, self.wanted) if self.wanted else ENOUGH


def suggested_level(levels: int, counts: Sequence[Reached]) -> int | None:
    """The place of a level, 0 the lowest, of so many `levels`, which is at least 1.

    All counts reached: the level below the highest, which asks for what no count shows; of two
    levels the higher one. The count furthest behind at half or more of what was wanted: one lower.
    Else the lowest. None where it would hang on what isn't known.
    """
    least = _level(levels, min(each.share for each in counts))
    most = _level(levels, min(each.at_most.share for each in counts))
    return least if least == most else None


def _level(levels: int, share: Fraction) -> int:
    meets = levels - 2 if levels >= _WITH_A_TOP else levels - 1
    if share >= ENOUGH:
        return meets
    return max(0, meets - 1) if share >= HALF else 0
