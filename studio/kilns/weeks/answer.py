"""A planned week, what it leaves out, and how near it comes to what could be."""

from collections.abc import Mapping
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
    parts before. Of `calibrated` ones only as far as loads get no fuller than trial loads got."""

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
    filled: float


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
    """`calibrated` bounds plans whose loads get as full as trial loads of this week's pots did;
    `area_height` bounds every plan: areas of shelves and heights of layers alone."""

    firings: tuple[Firing, ...]
    left_out: tuple[LeftOut, ...]
    late: tuple[str, ...]
    after_glaze_day: tuple[str, ...]
    score: Score
    calibrated: Bound
    area_height: Bound
    fills: Mapping[str, float]

    @property
    def pots(self) -> dict[str, str]:
        """The start of each pot that goes."""
        return {name: firing.start.id for firing in self.firings for name in firing.pots}
