"""The working allowance that a studio's own pots took: middle, quartiles, how many pieces.

Grams and per cent; NumPy and the standard library only. The allowance of a pot is the clay that
stayed with it over the clay of its plan: handed out less what came back, or the finished pot on
the scale. Scrap that came back in the bucket isn't in it, since it is clay again.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

LEAST_PIECES = 10
"""Fewer pots say too little about a class (common practice, no source: about ten)."""

# A pot of half its plan's clay, or of three times it, is a slip of the scale or of the unit
# (common practice, no source).
LEAST_PCT, MOST_PCT = -50.0, 200.0

# So many of a class's pots that got clay must stand built before its sums say anything: clay of
# a pot under way is out and not in a pot yet.
BUILT_SHARE = 0.8
# A class in which so many pots gave back something of their own was weighed back pot by pot.
BACK_SHARE = 0.5


@dataclass(frozen=True)
class PotTaken:
    """One pot's clay in grams: by its plan, handed out to it, come back from it, and what the
    finished wet pot weighed (None where nobody weighed it).
    """

    planned_g: float
    out_g: float
    back_g: float = 0.0
    weighed_g: float | None = None


@dataclass(frozen=True)
class ClassTaken:
    """What one class took for one brief, in grams.

    `pots` are built; `unbuilt` counts those that got clay and aren't. `given_g` went to the class
    as a whole or to pots that were lost since, less what came back from those pots; `bucket_g`
    came back in its buckets. `mixed`: some of that lay in a bucket of several bodies, so nobody
    knows how much of this one.
    """

    pots: Sequence[PotTaken] = field(default_factory=tuple)
    unbuilt: int = 0
    given_g: float = 0.0
    bucket_g: float = 0.0
    mixed: bool = False


@dataclass(frozen=True)
class Record:
    """An allowance that is known for so many pieces together; for one, it is that pot's own."""

    allowance_pct: float
    pieces: int = 1


@dataclass(frozen=True)
class Learned:
    """Half of the pieces took `median_pct` or less; the middle half lies between the quartiles.

    `alone` pieces are known each by itself, the others only by the sum of their class, which hides
    how much pots differ. `left_out` were no possible weights.
    """

    median_pct: float
    lower_pct: float
    upper_pct: float
    pieces: int
    alone: int
    left_out: int

    @property
    def middle(self) -> int:
        """The median in whole parts of a hundred, as it is shown."""
        return round(self.median_pct)

    @property
    def takes(self) -> int:
        """The median as a brief takes it: between none and as much clay again."""
        return _as_taken(self.median_pct)

    @property
    def takes_upper(self) -> int:
        """What did for three pots in four, as a brief takes it."""
        return _as_taken(self.upper_pct)

    @property
    def quartiles(self) -> tuple[int, int]:
        return round(self.lower_pct), round(self.upper_pct)

    @property
    def has_spread(self) -> bool:
        """Whether the quartiles tell how pots differ, and not only how classes do."""
        return self.alone >= LEAST_PIECES


def allowance_pct(taken_g: float, planned_g: float) -> float:
    """Clay taken beyond the plan's, in parts of a hundred of the plan's."""
    return 100 * (taken_g / planned_g - 1)


def records_of(taken: ClassTaken) -> Iterator[Record]:
    """What one class says.

    A pot that was weighed when it was finished speaks for itself. The others do where leftovers
    were weighed pot by pot, else together by the class's sum; where nothing was weighed back,
    they only repeat what the plan asked for, and say nothing.
    """
    pots = [pot for pot in taken.pots if pot.planned_g > 0]
    rest = []
    for pot in pots:
        if pot.weighed_g is not None:
            yield Record(allowance_pct(pot.weighed_g, pot.planned_g))
        elif pot.out_g > 0:
            rest.append(pot)
    got_clay = [pot for pot in pots if pot.out_g > 0]
    if not rest or len(got_clay) < BUILT_SHARE * (len(got_clay) + taken.unbuilt) or taken.mixed:
        return
    if taken.bucket_g > 0:
        kept_g = sum(pot.out_g - pot.back_g for pot in got_clay) + taken.given_g - taken.bucket_g
        planned_g = sum(pot.planned_g for pot in got_clay)
        yield Record(allowance_pct(kept_g, planned_g), len(rest))
    elif sum(pot.back_g > 0 for pot in got_clay) >= BACK_SHARE * len(got_clay):
        for pot in rest:
            yield Record(allowance_pct(pot.out_g - pot.back_g, pot.planned_g))


def pieces_of(records: Iterable[Record]) -> int:
    """How many pieces these are known for, impossible weights left out."""
    return sum(each.pieces for each in records if _possible(each))


def learned(records: Sequence[Record]) -> Learned | None:
    """Median and quartiles over pieces; None below `LEAST_PIECES`.

    Each record counts once for each of its pieces. Quartiles are interpolated linearly between
    the ordered values, type 7 of Hyndman and Fan, Sample Quantiles in Statistical Packages,
    The American Statistician 50(4), 1996. They bear a quarter of wrong records without following
    them, which a mean and its deviation don't.
    """
    good = [each for each in records if _possible(each)]
    pieces = sum(each.pieces for each in good)
    if pieces < LEAST_PIECES:
        return None
    values = np.repeat([each.allowance_pct for each in good], [each.pieces for each in good])
    lower, median, upper = np.quantile(values, (0.25, 0.5, 0.75)).tolist()
    return Learned(
        median_pct=median,
        lower_pct=lower,
        upper_pct=upper,
        pieces=pieces,
        alone=sum(1 for each in good if each.pieces == 1),
        left_out=sum(each.pieces for each in records) - pieces,
    )


def _as_taken(pct: float) -> int:
    return min(100, max(0, round(pct)))


def _possible(record: Record) -> bool:
    return LEAST_PCT <= record.allowance_pct <= MOST_PCT
