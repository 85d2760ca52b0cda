"""Pots that the choice of firings need not tell apart: the same starts, the same lateness, about
the same size."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from math import floor, inf, log

from .inputs import Week
from .inside import Inside, size_of
from .units import Unit

STEPS: tuple[float, ...] = (1.15, 1.5, inf)
"""Volumes within one class differ by less than this factor. With finer ones the firings that come
out of the dealing are more like those that were reckoned with; with coarser ones a large week has
fewer classes. Those of the last step needn't fit as often above each other either."""

MOST_FLOWS = 3000
"""So many classes by their starts are reckoned with in seconds; more make the classes coarser."""


@dataclass(frozen=True)
class Group:
    """Units alike. `late` and `after_glaze_day` are pots per unit, by start; `*_when_left` those
    of a unit that stays behind."""

    units: tuple[Unit, ...]
    starts: tuple[int, ...]
    late: tuple[int, ...]
    after_glaze_day: tuple[int, ...]
    late_when_left: int
    after_glaze_day_when_left: int
    must_go: bool

    @property
    def pots(self) -> int:
        """In each unit."""
        return len(self.units[0].pots)


def groups_of(units: Sequence[Unit], week: Week, insides: Mapping[str, Inside]) -> list[Group]:
    """As fine as can be reckoned with soon."""
    for step in STEPS:
        found = _groups(units, week, partial(_class, insides, step))
        if sum(len(each.starts) for each in found) <= MOST_FLOWS:
            break
    return found


def exact_groups(units: Sequence[Unit], week: Week) -> list[Group]:
    """Of the same measures: a bound by them is one for their units."""
    return _groups(units, week, lambda unit: [size_of(piece) for piece in unit.pieces])


def _groups(
    units: Sequence[Unit], week: Week, size: Callable[[Unit], Sequence[object]]
) -> list[Group]:
    found: dict[tuple[object, ...], list[Unit]] = {}
    for unit in units:
        if unit.starts:
            found.setdefault((*_signature(unit, week), *size(unit)), []).append(unit)
    return [_group(tuple(alike), week) for alike in found.values()]


def _group(units: tuple[Unit, ...], week: Week) -> Group:
    one = units[0]
    out = [week.starts[n].unload_at for n in one.starts]
    return Group(
        units,
        one.starts,
        tuple(map(one.late, out)),
        tuple(map(one.after_glaze_day, out)),
        one.late_when_left(week.until),
        one.after_glaze_day_when_left(week.until),
        one.must_go,
    )


def _signature(unit: Unit, week: Week) -> tuple[object, ...]:
    plain = _group((unit,), week)
    return (
        plain.starts,
        plain.late,
        plain.after_glaze_day,
        plain.late_when_left,
        plain.after_glaze_day_when_left,
        plain.must_go,
        plain.pots,
    )


def _class(insides: Mapping[str, Inside], step: float, unit: Unit) -> list[int]:
    if step == inf:
        return []
    found: list[int] = []
    for piece in unit.pieces:
        volume_mm3 = piece.front_mm * piece.depth_mm * piece.height_mm
        found.append(floor(log(volume_mm3) / log(step)))
        found += [inside.share(piece).layers for inside in insides.values()]
    return found
