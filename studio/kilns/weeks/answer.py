"""A planned week, what it leaves out, and how near it comes to what could be."""

from dataclasses import dataclass
from typing import NamedTuple

from studio.kilns.packing.inputs import Layer

from .inputs import Start


class Score(NamedTuple):
    """The parts in their order; less is better. Counts of pots but for `firings`; `fullest` is
    the fullest firing's share of its kiln's room."""

    must_go_left: int
    late: int
    after_glaze_day: int
    left_out: int
    firings: int
    fullest: float


@dataclass(frozen=True)
class Bound:
    """What no plan comes below, part by part in their order: of plans that are as good in the
    parts before."""

    must_go_left: int
    late: int
    after_glaze_day: int
    left_out: int
    firings: int


@dataclass(frozen=True)
class Firing:
    """One that is lit, its whole load, and the names of the pots in it, what stood there before
    among them."""

    start: Start
    layers: tuple[Layer, ...]
    pots: tuple[str, ...]


@dataclass(frozen=True)
class LeftOut:
    """A pot without a firing, why, and what would fit it.

    `kilns` and `programs` are those in which it would go, from `Pot.ready` on; `starts` those
    that suit it and are not lit, since their kiln is taken meanwhile.
    """

    id: str
    why: str
    kilns: tuple[str, ...] = ()
    programs: tuple[str, ...] = ()
    starts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Answer:
    """A plan and three bounds.

    `area_height` bounds every plan: areas of shelves and heights of layers alone. `calibrated` is
    *the calibrated bound*: what no plan comes below whose loads get no fuller than the fullest of
    the trial loads of this week's pots did. The fullest and not the usual one, since a bound that a
    lucky load beats is none, and since it is the harsher of the two. `usual` is the same reckoned
    with the median trial load: what was planned with, and what one may expect. A plan may lie below
    `usual`, and below `calibrated` where a load got fuller than every trial.
    """

    firings: tuple[Firing, ...]
    left_out: tuple[LeftOut, ...]
    late: tuple[str, ...]
    after_glaze_day: tuple[str, ...]
    score: Score
    usual: Bound
    calibrated: Bound
    area_height: Bound

    @property
    def pots(self) -> dict[str, str]:
        """The start of each pot that goes."""
        return {name: firing.start.id for firing in self.firings for name in firing.pots}
