"""A kiln's lining and usual load by its inside measures, for what a firing takes. Lengths in mm."""

from math import pi

from studio.kilns.packing.inputs import Shelf

from .energy import Load, Wall

AROUND_MM = 25.0
"""From a shelf's edge to the lining (common practice, no source)."""
CONDUCTIVITY, BRICK, HEAT_CAPACITY = 0.25, 600.0, 1000.0
"""Insulating brick: W/(m K) in the mean over a firing, kg/m³, J/(kg K) (from memory); ware and
shelves have about the same heat capacity."""
SHELVES, WARE = 2000.0, 250.0
"""kg/m³: of shelves, of cordierite; of the room above them, filled with hollow ware (common
practice, no source)."""
MM3_A_M3, MM2_A_M2 = 1e9, 1e6


def wall_of(shelf: Shelf, usable_height_mm: float, lining_mm: float) -> Wall:
    """The lining with floor and lid, its area in the middle of its thickness.

    >>> round(wall_of(Shelf("round", 520, 520), 680, 115).area_m2, 1)
    2.4
    """
    wide, deep = (each + 2 * AROUND_MM + lining_mm for each in (shelf.width_mm, shelf.depth_mm))
    high = usable_height_mm + lining_mm
    round_inside = shelf.shape in {"round", "oval", "octagon"}
    around = pi * (wide + deep) / 2 if round_inside else 2 * (wide + deep)
    ends = wide * deep * (pi / 4 if round_inside else 1.0)
    area_m2 = (around * high + 2 * ends) / MM2_A_M2
    return Wall(area_m2, lining_mm, CONDUCTIVITY, BRICK, HEAT_CAPACITY)


def usual_load(
    shelf: Shelf, usable_height_mm: float, shelves: float, shelf_thickness_mm: float
) -> Load:
    """A full one."""
    area = shelf.width_mm * shelf.depth_mm * (pi / 4 if shelf.shape != "rectangle" else 1.0)
    stone = area * shelf_thickness_mm * shelves / MM3_A_M3 * SHELVES
    ware = area * usable_height_mm / MM3_A_M3 * WARE
    return Load(stone + ware, HEAT_CAPACITY)
