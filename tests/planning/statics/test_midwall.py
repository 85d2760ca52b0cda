"""The middle of the wall as a surface of revolution."""

import numpy as np
import pytest
from scipy.special import ellipe

from planning.statics.midwall import STATIONS, MidWall, mid_wall

from .walls import BELLIED, CHEST, CLOSED, drawn


def upright(perimeter: float, *, is_round: bool = True) -> MidWall:
    slant = np.array([0.0, 40, 40, 90, 200])
    return mid_wall(slant, np.full(5, perimeter), slant + 10, 8 - slant / 100, is_round=is_round)


def test_stations_lie_evenly_whatever_they_are_read_from() -> None:
    wall = upright(2 * np.pi * 60)
    assert wall.slant_mm == pytest.approx(np.linspace(0, 200, STATIONS))
    assert wall.height_mm == pytest.approx(wall.slant_mm + 10)
    assert wall.thickness_mm == pytest.approx(8 - wall.slant_mm / 100)
    assert wall.radius_mm == pytest.approx(60)


def test_an_oval_becomes_the_round_that_is_as_long_around() -> None:
    """Perimeter of the ellipse, 4 a E(e²) (standard; for example DLMF 19.9)."""
    around = 4 * 90 * float(ellipe(1 - 0.6**2))
    wall = upright(around, is_round=False)
    assert 2 * np.pi * wall.radius_mm == pytest.approx(around)
    assert not wall.is_round


@pytest.mark.parametrize("shape", [BELLIED, CHEST])
def test_a_slant_is_the_length_of_the_line_below(shape: tuple[tuple[float, float], ...]) -> None:
    wall = drawn(*shape)
    steps = np.hypot(np.diff(wall.radius_mm), np.diff(wall.height_mm))
    assert np.cumsum(steps) == pytest.approx(wall.slant_mm[1:], rel=2e-3)


def test_its_clay_is_pappuss() -> None:
    """Area of the frustum of a cone (from 50 to 80 at 45°), π (R + r) s, × thickness."""
    slant = np.linspace(0, 30 * 2**0.5, 20)
    radius = 50 + slant / 2**0.5
    wall = mid_wall(slant, 2 * np.pi * radius, slant / 2**0.5, np.full(20, 8.0), is_round=True)
    clay = float(wall.volume(wall.length_mm))
    assert clay == pytest.approx(np.pi * 130 * 30 * 2**0.5 * 8)


def test_a_closed_form_keeps_a_pinhole() -> None:
    wall = drawn(*CLOSED)
    assert (wall.radius_mm > 4).all()
    assert wall.radius_mm[-1] < 7


def test_a_height_has_the_lowest_slant_that_reaches_it() -> None:
    wall = upright(400)
    assert wall.slant_at(np.array([0, 10, 155, 210, 400])) == pytest.approx(
        [0, 0, 145, 200, 200], abs=1e-6
    )
