"""Self-weight of one plan: its soft wall in, cautions, rests and the figures behind them out."""

from dataclasses import dataclass

import numpy as np

from planning.geometry.profile import Floats

from .building import Edges, Growth, growth, rests, strains
from .cautions import Caution, Note, overhang_caution, strain_caution
from .membrane import membrane_forces
from .midwall import MidWall, specific_weight
from .overhang import overhangs
from .strength import Pause, YieldRange

ANYWHERE = Edges()


@dataclass(frozen=True)
class SelfWeight:
    """`cautions` come most severe first, of the wall built at once; `rests` from below, heights
    after which the wall below should stiffen besides the builder's own rests. `notes` say what
    a reader must know of all of it."""

    cautions: tuple[Caution, ...]
    rests: tuple[Pause, ...]
    notes: tuple[Note, ...]


@dataclass(frozen=True)
class Station:
    """One line of the figures, of the whole pot standing soft.

    Forces are the membrane's, N/mm = kN/m, tension positive; None where the wall lies flat or
    bends sharply and has none. Stresses are as near to yielding as so much simple compression:
    in the middle of the wall, and at its surface where it bends as well.
    """

    height_mm: float
    meridional_n_per_mm: float | None
    hoop_n_per_mm: float | None
    middle_kpa: float
    surface_kpa: float


def self_weight(
    wall: MidWall,
    *,
    wet_density_g_per_cm3: float,
    strength: YieldRange,
    edges: Edges = ANYWHERE,
    growing: Growth | None = None,
) -> SelfWeight:
    """What the wall's own weight asks of whoever builds it, by rows with these `edges`; `growing`
    where the whole wall's growth is known already."""
    weight = specific_weight(wet_density_g_per_cm3)
    growing = growing or growth(wall, weight, float(wall.height_mm[0]))
    found = [strain_caution(wall, each) for each in strains(wall, growing, strength)]
    hanging = overhangs(wall, weight, strength, growing.from_mm)
    found += [each for each in map(overhang_caution, hanging) if each is not None]
    return SelfWeight(
        cautions=tuple(sorted(found, key=lambda each: each.severity, reverse=True)),
        rests=rests(wall, weight, growing, strength, edges),
        notes=() if wall.is_round else (Note("round_equivalent"),),
    )


def stations(
    wall: MidWall,
    *,
    wet_density_g_per_cm3: float,
    heights_mm: Floats,
    growing: Growth | None = None,
) -> tuple[Station, ...]:
    """The figures at `heights_mm` (m,); beyond the wall's ends those of the ends."""
    weight = specific_weight(wet_density_g_per_cm3)
    slant = wall.slant_at(heights_mm)
    forces = membrane_forces(wall, weight, wall.height_mm[-1:])
    found = (growing or growth(wall, weight, float(wall.height_mm[0]), stages=1)).found
    columns = (
        wall.curve(slant)[:, 1],
        np.interp(slant, wall.slant_mm, forces.meridional[0]),
        np.interp(slant, wall.slant_mm, forces.hoop[0]),
        1000 * np.interp(slant, found.slant_mm, found.stress_in_the_middle[-1]),
        1000 * np.interp(slant, found.slant_mm, found.stress_at_the_surface[-1]),
    )
    lines = np.stack(columns, axis=-1).tolist()
    return tuple(
        Station(height, _known(along), _known(around), middle, surface)
        for height, along, around, middle, surface in lines
    )


def _known(force: float) -> float | None:
    return None if np.isnan(force) else force
