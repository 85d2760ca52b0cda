"""The log of a clay body's test bars, by firing, with what the bars of a firing say together."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain

from studio.room.cones import heat_of
from studio.room.models import ClayBody, ShrinkageBar
from studio.room.shrinkage import (
    Figures,
    apart,
    drying_pct,
    figures_of,
    firing_pct,
    ignition_pct,
    total_pct,
    water_pct,
)


@dataclass(frozen=True)
class LoggedBar:
    """One bar, and what it says by itself; `apart`: it stands apart from the others."""

    bar: ShrinkageBar
    drying_pct: float | None
    firing_pct: float | None
    total_pct: float | None
    water_pct: float | None
    ignition_pct: float | None
    apart: bool


@dataclass(frozen=True)
class BarGroup:
    """Bars that were fired to one cone, or not yet ("")."""

    cone: str
    bars: list[LoggedBar]
    figures: Figures
    fits_body: bool
    """The body is fired to this cone, as far as its page says."""

    @property
    def weighed(self) -> bool:
        """Whether any bar was, so that its water or its loss on ignition is known."""
        return any(
            figure is not None
            for each in self.bars
            for figure in (each.water_pct, each.ignition_pct)
        )

    @property
    def usable(self) -> bool:
        """Whether its means can become the body's figures."""
        return self.fits_body and bool(self.figures.drying and self.figures.total)


def bar_groups(body: ClayBody) -> list[BarGroup]:
    """The log: the body's own cone first, then the hotter before the cooler, last the bars that are
    not fired yet. A bar that is left out stands in its group and counts for nothing.
    """
    groups: dict[str, list[ShrinkageBar]] = {}
    for bar in sorted(body.bars.select_related("made_by"), key=_as_people_count):
        groups.setdefault(bar.cone if bar.fired_mm is not None else "", []).append(bar)
    cones = sorted(groups, key=lambda cone: (not cone, cone != body.cone, -_heat(cone)))
    return [_group(body, cone, groups[cone]) for cone in cones]


def waiting_bars(body: ClayBody) -> list[ShrinkageBar]:
    """Bars that still have a length to be measured."""
    return sorted(body.bars.to_measure(), key=_as_people_count)


def next_mark(marks: Sequence[str]) -> int:
    """The number after the highest one that a bar has."""
    return max(chain((0,), (int(mark) for mark in marks if mark.isdecimal()))) + 1


def _group(body: ClayBody, cone: str, bars: list[ShrinkageBar]) -> BarGroup:
    counted = [bar for bar in bars if not bar.left_out]
    places = {apart(list(map(figure, counted))) for figure in (drying_pct, total_pct)}
    odd = {counted[place].pk for place in places if place is not None}
    return BarGroup(
        cone=cone,
        bars=[_logged(bar, odd=bar.pk in odd) for bar in bars],
        figures=figures_of(counted),
        fits_body=bool(cone) and body.cone in {"", cone},
    )


def _logged(bar: ShrinkageBar, *, odd: bool) -> LoggedBar:
    return LoggedBar(
        bar=bar,
        drying_pct=drying_pct(bar),
        firing_pct=firing_pct(bar),
        total_pct=total_pct(bar),
        water_pct=water_pct(bar),
        ignition_pct=ignition_pct(bar),
        apart=odd,
    )


def _heat(cone: str) -> int:
    return heat_of(cone) if cone else -1


def _as_people_count(bar: ShrinkageBar) -> tuple[object, int, str]:
    """9 before 10."""
    return bar.made_on, int(bar.mark) if bar.mark.isdecimal() else 0, bar.mark
