"""Which cone a program reaches, by heat work, and what the reader has to know beside it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from studio.kilns.cones import (
    BENDING_BAND_C,
    DEFAULT_TYPE,
    MAKERS_TOLERANCE_C,
    cones,
    rates_c_per_h,
)

from .arrhenius import RATES_FOR_E, Array
from .cautions import Caution
from .program import Segment, Timing, last_rate_c_per_h, timing
from .work import Bent, bent, end_points_c

COMPARED_AT = 60.0
"""°C/h: the middle column of the chart."""
WORTH_SAYING_C = 1.0
"""Heat work of a hold below this is less than the chart's rounding."""


@dataclass(frozen=True)
class Firing:
    """What a program does. `cone` is the hottest one down, None below the table;
    `cone_position` says how far the next one is bent, 0 to 1. `end_point_c_at_60` is the peak of
    the plain ramp at 60 °C/h that bends the cones as far, None when the kiln never heats. Of it
    `holds_add_c` come from holds and from cooling by the program; without them
    `cone_without_holds` goes down.
    """

    timing: Timing
    rate_c_per_h: float | None
    cone_type: str
    cone: str | None
    cone_position: float
    end_point_c_at_60: float | None
    holds_add_c: float
    cone_without_holds: str | None
    cautions: tuple[Caution, ...]
    margins_c: Mapping[str, float] = field(default_factory=dict)

    def margin_c(self, cone: str) -> float | None:
        """Peak minus that cone's end point, holds counted: within ±2 °C just down, more is over,
        less is under. None when the kiln never heats or the table has no such cone."""
        return self.margins_c.get(cone)


def firing(start_c: float, segments: Sequence[Segment], cone_type: str = DEFAULT_TYPE) -> Firing:
    """Timing, and the cone by heat work: down within the maker's 2 °C. Raises `KilnRefused`.

    >>> firing(20, [Segment(100, 600), Segment(60, 1222)]).cone
    '6'
    >>> firing(20, [Segment(100, 600), Segment(60, 1200, 35)]).cone
    '6'
    """
    names = cones(cone_type)
    timed = timing(start_c, segments)
    rate = last_rate_c_per_h(start_c, segments, timed.peak_c)
    if rate is None:
        never = Caution("never_heats", {"start_c": start_c})
        return Firing(timed, None, cone_type, None, 0.0, None, 0.0, None, (never,))
    found = bent(start_c, segments, cone_type)
    plain = found
    climb = _climb_alone(segments, timed.peak_c)
    if climb != tuple(segments):
        plain = bent(start_c, climb, cone_type)
    down, down_without = (_down(each.margins_c) for each in (found, plain))
    at_60_c, at_60_without_c = (_at_60_c(each, cone_type) for each in (found, plain))
    fired = Firing(
        timed,
        rate,
        cone_type,
        names[down - 1] if down else None,
        _position(found.margins_c, down),
        at_60_c,
        at_60_c - at_60_without_c,
        names[down_without - 1] if down_without else None,
        (),
        dict(zip(names, found.margins_c.tolist(), strict=True)),
    )
    said = _cautions(fired, start_c, segments, float(found.rates_c_per_h[max(down - 1, 0)]))
    return replace(fired, cautions=tuple(said))


def in_kiln(fired: Firing, offset_c: float) -> Firing:
    """The same firing in a kiln that fires so many °C hotter (less: cooler) than computed.

    >>> in_kiln(firing(20, [Segment(100, 600), Segment(60, 1222)]), -12).cone
    '5.5'
    """
    if not fired.margins_c or not offset_c:
        return fired
    names = list(fired.margins_c)
    margins = np.array(list(fired.margins_c.values())) + offset_c
    down = _down(margins)
    return replace(
        fired,
        cone=names[down - 1] if down else None,
        cone_position=_position(margins, down),
        margins_c=dict(zip(names, margins.tolist(), strict=True)),
    )


def _climb_alone(segments: Sequence[Segment], peak_c: float) -> tuple[Segment, ...]:
    """Up to the first arrival at the peak, nothing held."""
    arrives = next(n for n, each in enumerate(segments) if each.target_c == peak_c)
    return tuple(replace(each, hold_min=0.0) for each in segments[: arrives + 1])


def _down(margins_c: Array) -> int:
    """How many cones are."""
    return int(np.count_nonzero(margins_c >= -MAKERS_TOLERANCE_C))


def _position(margins_c: Array, down: int) -> float:
    """How far the next cone is bent: from the last one's end point to its own. The coolest one
    starts within the maker's bending band."""
    if down == len(margins_c):
        return 0.0
    under_c = -float(margins_c[down])
    over_c = float(margins_c[down - 1]) if down else BENDING_BAND_C - under_c
    return min(1.0, max(0.0, over_c / (over_c + under_c)))


def _at_60_c(found: Bent, cone_type: str) -> float:
    """Where the margin crosses nought between two cones, on the scale of their end points at
    60 °C/h; before the first and beyond the last, as many degrees away from it.
    """
    ends_c = end_points_c(cone_type, np.full(found.margins_c.shape, COMPARED_AT))
    margins = found.margins_c
    reached = int(np.count_nonzero(margins >= 0))
    if reached in {0, len(margins)}:
        edge = max(reached - 1, 0)
        return float(ends_c[edge] + margins[edge])
    below, above = reached - 1, reached
    share = margins[below] / (margins[below] - margins[above])
    return float(ends_c[below] + share * (ends_c[above] - ends_c[below]))


def _cautions(
    fired: Firing, start_c: float, segments: Sequence[Segment], works_like: float
) -> Iterator[Caution]:
    yield Caution("witness_decides")
    names, rate = cones(fired.cone_type), fired.rate_c_per_h or 0.0
    peak_c = fired.timing.peak_c
    published = rates_c_per_h(fired.cone or names[0], fired.cone_type)
    if fired.holds_add_c >= WORTH_SAYING_C:
        yield Caution("holds_add", {"added_c": fired.holds_add_c})
        if len(published) < RATES_FOR_E:
            yield Caution("few_rates")
    if rate < published[0]:
        yield Caution("rate_below_table", {"rate_c_per_h": rate, "least_c_per_h": published[0]})
    elif works_like < published[0] and fired.holds_add_c >= WORTH_SAYING_C:
        values = {"rate_c_per_h": works_like, "least_c_per_h": published[0]}
        yield Caution("hold_beyond_table", values)
    if rate > published[-1]:
        yield Caution("rate_above_table", {"rate_c_per_h": rate, "most_c_per_h": published[-1]})
    if fired.cone is None:
        yield Caution("below_table", {"peak_c": peak_c})
    if fired.margins_c[names[-1]] > MAKERS_TOLERANCE_C:
        yield Caution("above_table", {"peak_c": peak_c})
    if segments[0].target_c < start_c:
        yield Caution("starts_downwards", {"target_c": segments[0].target_c, "start_c": start_c})
