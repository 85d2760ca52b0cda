"""Pots that the choice of firings need not tell apart: the same starts, the same lateness, about
the same size."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor, log

from .inputs import Week
from .inside import Inside
from .units import Unit

STEP = 1.15
"""Volumes within one class differ by less than this factor: with coarser ones the firings that
come out of the dealing differ from those that were reckoned with."""


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
    found: dict[tuple[object, ...], list[Unit]] = {}
    for unit in units:
        if unit.starts:
            found.setdefault(_signature(unit, week, insides), []).append(unit)
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


def _signature(unit: Unit, week: Week, insides: Mapping[str, Inside]) -> tuple[object, ...]:
    plain = _group((unit,), week)
    size: list[object] = []
    for piece in unit.pieces:
        size.append(_class(piece.front_mm * piece.depth_mm * piece.height_mm))
        size += [inside.share(piece).layers for inside in insides.values()]
    return (
        plain.starts,
        plain.late,
        plain.after_glaze_day,
        plain.late_when_left,
        plain.after_glaze_day_when_left,
        plain.must_go,
        plain.pots,
        *size,
    )


def _class(volume_mm3: float) -> int:
    return floor(log(volume_mm3) / log(STEP))
