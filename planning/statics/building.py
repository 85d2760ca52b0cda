"""The soft wall while it grows: at which height its stress reaches the yield of its clay."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planning.geometry.profile import Floats

from .bending import Resultants, SoftWall, bending_length
from .midwall import MidWall
from .overhang import overhangs
from .strength import Pause, YieldRange, pause_at

STAGES = 24
"""Heights at which the wall is looked at as built so far; the height of a pause is read between
them. Five times as many move it by less than 1 mm on nine in ten random forms, 4 mm at most."""

LEAST_STAGES = 4
"""From one rest to the next."""

MOST_RESTS = 12
LEAST_BAND_MM = 20.0
"""About two rows. Where a rest doesn't help for as much, the form asks for another way and the
caution stands as it is."""

FOOT_IN_BENDING_LENGTHS = np.pi
"""Above that what the clamped foot does has faded to 4 %."""

SAME_WIDTH = 0.99
"""Narrower by less is no waist."""


@dataclass(frozen=True)
class Growth:
    """The stress of the wall at every stage of building above a stiff part.

    `stages_mm` (stages,) are heights, `found` the resultants and `heights_mm` (stations,) where.
    """

    from_mm: float
    stages_mm: Floats
    heights_mm: Floats
    found: Resultants

    def reached(self, stress: Floats, strength: YieldRange) -> Floats:
        """Heights of building (3,) at which `stress` (stages, stations) first reaches the yield;
        infinite where it doesn't."""
        peaks = np.maximum.accumulate(np.append(0.0, stress.max(axis=1)))
        stages = np.maximum.accumulate(np.append(self.from_mm, self.stages_mm))
        heights = np.interp(strength.n_per_mm2, peaks, stages, right=np.inf)
        return np.asarray(heights)


def growth(
    wall: MidWall,
    weight_n_per_mm3: float,
    from_mm: float,
    stages: int = STAGES,
    to_mm: float = np.inf,
) -> Growth:
    """Of the wall above a stiff part that ends at `from_mm` and holds it like a slab, as it is
    built from there to `to_mm`; `stages` are those of the whole wall."""
    soft = SoftWall(wall, weight_n_per_mm3, from_mm)
    start, end = float(soft.nodes_mm[0]), float(wall.slant_at(np.array(to_mm)))
    count = max(math.ceil(stages * (end - start) / (wall.length_mm - start)), LEAST_STAGES)
    wanted = np.linspace(start, end, count + 1)[1:]
    tops = np.unique(np.searchsorted(soft.nodes_mm, wanted).clip(1, len(soft.nodes_mm) - 1))
    found = soft.resultants(tops.tolist())
    return Growth(from_mm, soft.heights_mm[tops], wall.curve(found.slant_mm)[:, 1], found)


@dataclass(frozen=True)
class Strain:
    """One way in which the soft wall gives way: `foot`, `opens` or `carries`.

    `severity` is the stress when the whole pot is built at once ÷ the middle yield.
    """

    cause: str
    place_mm: float
    pause: Pause
    severity: float


def strains(wall: MidWall, growing: Growth, strength: YieldRange) -> Iterator[Strain]:
    """The ways in which the wall gives way when it is built at once on its slab."""
    for cause, where in _causes(wall, growing.found):
        stress = np.where(where, growing.found.stress_at_the_surface, 0.0)
        pause = pause_at(growing.reached(stress, strength))
        if pause is not None:
            first = stress[np.argmax(stress.max(axis=1) >= strength.n_per_mm2[0])]
            place = float(growing.heights_mm[first.argmax()])
            yield Strain(cause, place, pause, float(stress.max() / strength.n_per_mm2[1]))


def _causes(wall: MidWall, found: Resultants) -> Iterator[tuple[str, NDArray[np.bool_]]]:
    """Stations (stages, stations) by what loads them. The foot is all that is pressed up to the
    belly, and whatever bends with the slab's hold."""
    reach = FOOT_IN_BENDING_LENGTHS * bending_length(wall.radius_mm[0], wall.thickness_mm[0])
    radius = wall.curve(found.slant_mm)[:, 0]
    widens = radius >= SAME_WIDTH * np.maximum.accumulate(radius)
    held = found.slant_mm < reach
    opens = ~held & (found.hoop > np.abs(found.meridional))
    foot = held | (widens & ~opens)
    yield "foot", foot
    yield "opens", opens
    yield "carries", ~foot & ~opens


@dataclass(frozen=True)
class Edges:
    """Heights of the middle (rising) at which a rest is possible, the rows' top edges (None for
    anywhere), and those at which the builder rests anyway."""

    tops_mm: Floats | None = None
    rests_mm: tuple[float, ...] = ()

    def next_rest(self, above_mm: float) -> float:
        """Infinite where there is none."""
        return next((each for each in self.rests_mm if each > above_mm), np.inf)

    def last_top(self, below_mm: float) -> float:
        """Not above `below_mm`, and 0 where there is none."""
        if self.tops_mm is None:
            return below_mm
        return float(self.tops_mm[self.tops_mm <= below_mm].max(initial=0.0))


def rests(
    wall: MidWall,
    weight_n_per_mm3: float,
    growing: Growth,
    strength: YieldRange,
    edges: Edges,
) -> tuple[Pause, ...]:
    """Heights after which the wall below should stiffen, from below, as far as clay of middle
    strength needs them besides the builder's own; the range of each is counted from the rest
    before and ends at the next. Each is taken at the last edge before its height."""
    found: list[Pause] = []
    while len(found) < MOST_RESTS:
        heights = growing.reached(growing.found.stress_at_the_surface, strength)
        for each in overhangs(wall, weight_n_per_mm3, strength, growing.from_mm):
            heights = np.minimum(heights, each.heights_mm)
        own = edges.next_rest(growing.from_mm)
        if own <= heights[1]:
            if wall.length_mm - wall.slant_at(np.array(own)) < LEAST_BAND_MM:
                break
            growing = growth(wall, weight_n_per_mm3, own, to_mm=edges.next_rest(own))
            continue
        early, about, late = heights.tolist()
        rest = edges.last_top(about)
        before, at = wall.slant_at(np.array([growing.from_mm, rest]))
        if at - before < LEAST_BAND_MM:
            break
        found.append(Pause(early, about, late if math.isfinite(late) else None))
        if wall.length_mm - at < LEAST_BAND_MM:
            break
        growing = growth(wall, weight_n_per_mm3, rest, to_mm=edges.next_rest(rest))
    return tuple(found)
