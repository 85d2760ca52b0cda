"""What a firing takes in energy and money: a lumped load and a wall that warms through in time.

The wall is a slab, at the start as warm as the program begins, whose inner face follows the program
while its outer face stays as it was; its heat is the handbook series for that (H. S. Carslaw,
J. C. Jaeger, Conduction of Heat in Solids, chapter 3: from memory, checked against the heat
equation in the tests), laid over each change of rate. Heat that comes back while the kiln cools is
not counted as saved. Conductivity and heat capacities are means over the firing. Rated power times
hours is wrong: elements switch.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import pi
from statistics import median

import numpy as np

from .arrhenius import Array
from .cautions import Caution
from .program import MINUTES, Segment, climb_h, legs

BEFORE_PCT, AFTER_PCT = 25.0, 10.0
"""How far off, before and after a firing of this kiln was metered (derived from trials)."""
J_PER_KWH = 3.6e6
SECONDS = 3600.0
TERMS = np.arange(1, 41)


@dataclass(frozen=True)
class Wall:
    """Lining by its mean area (inside and outside, with lid and floor) and thickness."""

    area_m2: float
    thickness_mm: float
    conductivity_w_per_m_k: float
    density_kg_per_m3: float
    heat_capacity_j_per_kg_k: float

    @property
    def passes_w_per_k(self) -> float:
        return self.conductivity_w_per_m_k * self.area_m2 / (self.thickness_mm / 1000)

    @property
    def warms_in_s(self) -> float:
        """d²/a, a the diffusivity."""
        capacity = self.density_kg_per_m3 * self.heat_capacity_j_per_kg_k
        return (self.thickness_mm / 1000) ** 2 * capacity / self.conductivity_w_per_m_k


@dataclass(frozen=True)
class Load:
    """Ware, shelves and posts together."""

    mass_kg: float
    heat_capacity_j_per_kg_k: float


@dataclass(frozen=True)
class Energy:
    """kWh; `likely_kwh` is corrected by what was metered on `firings` firings of this kiln."""

    load_kwh: float
    wall_kwh: float
    likely_kwh: float
    uncertainty_pct: float
    firings: int
    cautions: tuple[Caution, ...]

    @property
    def low_kwh(self) -> float:
        return self.likely_kwh * (1 - self.uncertainty_pct / 100)

    @property
    def high_kwh(self) -> float:
        return self.likely_kwh * (1 + self.uncertainty_pct / 100)


def energy(
    start_c: float,
    segments: Sequence[Segment],
    *,
    wall: Wall,
    load: Load,
    power_kw: float,
    metered_over_computed: Sequence[float] = (),
) -> Energy:
    """Of a program that `timing` takes. `metered_over_computed`: for each firing of this kiln that
    was metered, its kWh by what was computed for it; their median corrects this one.
    """
    times_s, temps_c = _corners(start_c, segments)
    wall_j, wall_w = _into_wall(wall, times_s, temps_c)
    heated = load.mass_kg * load.heat_capacity_j_per_kg_k
    load_j = heated * (temps_c - start_c)
    drawn = np.diff(wall_j + load_j).clip(min=0.0)
    total_kwh = float(drawn.sum()) / J_PER_KWH
    load_kwh = float(np.diff(load_j).clip(min=0.0).sum()) / J_PER_KWH
    # At the top of each climb, where it asks for most.
    needed_kw = [
        (heated * each.rate_c_per_h / SECONDS + wall_w[2 * n + 1]) / 1000
        if each.target_c > low_c
        else 0.0
        for n, (low_c, each) in enumerate(legs(start_c, segments))
    ]
    return Energy(
        load_kwh,
        max(0.0, total_kwh - load_kwh),
        total_kwh * (median(metered_over_computed) if metered_over_computed else 1.0),
        AFTER_PCT if metered_over_computed else BEFORE_PCT,
        len(metered_over_computed),
        tuple(
            Caution("needs_more_power", {"segment": str(n), "needed_kw": kw, "power_kw": power_kw})
            for n, kw in enumerate(needed_kw, 1)
            if kw > power_kw
        ),
    )


def _corners(start_c: float, segments: Sequence[Segment]) -> tuple[Array, Array]:
    """Seconds and °C at the start, after each way and after each hold."""
    at_s, times, temps = 0.0, [0.0], [start_c]
    for low_c, each in legs(start_c, segments):
        for hours in (climb_h(low_c, each), each.hold_min / MINUTES):
            at_s += hours * SECONDS
            times.append(at_s)
            temps.append(each.target_c)
    return np.array(times), np.array(temps)


def _into_wall(wall: Wall, times_s: Array, temps_c: Array) -> tuple[Array, Array]:
    """Joules that went into the wall until each corner, and watts just before it."""
    slopes = [
        (high - low) / (after - before) if after > before else 0.0
        for (before, after), (low, high) in zip(pairwise(times_s), pairwise(temps_c), strict=True)
    ]
    bends = np.diff([0.0, *slopes])  # K/s, each from the corner where it begins
    warms = wall.warms_in_s
    fades = warms / (TERMS**2 * pi**2)
    since = np.clip(times_s[:, np.newaxis] - times_s[:-1], 0.0, None)
    gone = np.exp(-since[..., np.newaxis] / fades)
    begun = times_s[:, np.newaxis] > times_s[:-1]
    heat = since**2 / 2 + since * warms / 3 - warms**2 / 45 + 2 * (gone * fades**2).sum(-1)
    flow = since + warms / 3 - 2 * (gone * fades).sum(-1)
    joules, watts = (
        wall.passes_w_per_k * np.where(begun, each, 0.0) @ bends for each in (heat, flow)
    )
    return joules, watts
