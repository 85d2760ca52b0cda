"""A kiln's lining and load by hand."""

from math import pi

import pytest

from studio.kilns.heat.body import usual_load, wall_of
from studio.kilns.packing.inputs import Shelf

ROUND = Shelf("round", 520, 520)


def test_a_round_kiln_is_a_tube_with_two_ends() -> None:
    """520 mm of shelf, 25 mm around it, and to the middle of 115 mm of brick: 685 mm; 680 mm high
    inside, 795 mm in the middle of floor and lid.
    """
    wall = wall_of(ROUND, 680, 115)
    assert wall.area_m2 == pytest.approx(pi * 0.685 * 0.795 + 2 * pi / 4 * 0.685**2)
    assert wall.thickness_mm == 115


def test_a_square_kiln_is_a_box() -> None:
    """300 + 50 + 100 = 450 mm wide and deep, 230 + 100 = 330 mm high."""
    wall = wall_of(Shelf("rectangle", 300, 300), 230, 100)
    assert wall.area_m2 == pytest.approx(4 * 0.45 * 0.33 + 2 * 0.45**2)


def test_shelves_weigh_what_their_stone_does_and_ware_fills_the_room() -> None:
    """Five shelves of 2000 kg/m³, 0.2124 m² each and 20 mm thick: 42 kg; ware 36 kg."""
    load = usual_load(ROUND, 680, 5, 20)
    area = pi * 0.26**2
    assert load.mass_kg == pytest.approx(5 * area * 0.02 * 2000 + area * 0.68 * 250)
    square = usual_load(Shelf("rectangle", 300, 300), 230, 1, 15)
    assert square.mass_kg == pytest.approx(0.09 * 0.015 * 2000 + 0.09 * 0.23 * 250)
