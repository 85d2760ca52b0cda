"""How far fresh rows reach out, by beam theory."""

import numpy as np
import pytest

from planning.statics.midwall import MidWall
from planning.statics.overhang import Overhang, overhangs
from planning.statics.strength import YieldRange

from .walls import BELLIED, DENSITY, SHOULDERED, WEIGHT, cone, drawn

TWENTY = YieldRange(10, 20, 40)
FAR_OUT = 1e5  # so wide that a strip neither widens nor narrows


def found(wall: MidWall, from_mm: float | None = None) -> list[Overhang]:
    start = float(wall.height_mm[0]) if from_mm is None else from_mm
    return list(overhangs(wall, WEIGHT, TWENTY, start))


@pytest.mark.parametrize("thickness", [7, 8, 10, 12])
def test_a_level_strip_spans_60_to_80_mm_at_20_kpa(thickness: float) -> None:
    """√(Y t / 2w), a cantilever under its weight that yields throughout (plastic moment Y t²/4:
    any textbook of strength of materials; from memory). That fresh rows span about 60 to 80 mm in
    a wall of 7 to 12 mm was found before by trial computing."""
    shelf = cone(FAR_OUT, 200, np.radians(89.9), thickness)
    (sags,) = found(shelf)
    weight = DENSITY * 9.80665e-6
    expected = np.sqrt(np.array([0.010, 0.020, 0.040]) * thickness / (2 * weight))
    assert sags.spans_mm == pytest.approx(expected, rel=0.005)
    assert 59 < sags.spans_mm[1] < 81
    assert sags.leans_out


def test_a_sloping_strip_spans_further_along_itself() -> None:
    """Its moment is that of its own width: w t L · L cos φ / 2, so the slant grows by 1/√cos φ
    and what is seen from above by √cos φ."""
    level = found(cone(FAR_OUT, 300, np.radians(89.9), 8))[0].spans_mm
    slope = found(cone(FAR_OUT, 300, np.radians(60), 8))[0].spans_mm
    assert slope == pytest.approx(level * np.sqrt(np.sin(np.radians(60))), rel=0.01)


def test_strips_that_widen_span_less_and_those_that_narrow_more() -> None:
    out, inward = (found(cone(120, 110, np.radians(a), 8))[0] for a in (80, -80))
    assert out.spans_mm[0] < inward.spans_mm[0]
    assert (out.leans_out, inward.leans_out) == (True, False)


def test_where_the_stretch_ends_before_nothing_is_spanned() -> None:
    (short,) = found(cone(FAR_OUT, 30, np.radians(80), 8))
    assert np.isinf(short.spans_mm).all()
    assert np.isinf(short.heights_mm).all()
    assert 0 < short.severity < 1


def test_a_wall_steeper_than_45_degrees_hangs_nowhere() -> None:
    assert found(cone(60, 300, np.radians(44), 8)) == []
    assert found(drawn(*BELLIED)) == []


def test_a_flat_shoulder_begins_where_it_turns_flat_and_leans_in() -> None:
    (shoulder,) = found(drawn(*SHOULDERED))
    assert 215 < shoulder.from_mm < 235
    assert not shoulder.leans_out


def test_a_stiff_part_is_no_part_of_the_overhang() -> None:
    wall = cone(FAR_OUT, 200, np.radians(80), 8)
    (whole,), (rest,) = found(wall), found(wall, from_mm=20.0)
    assert rest.from_mm == pytest.approx(20, abs=0.01)
    assert rest.heights_mm[0] == pytest.approx(whole.heights_mm[0] + 20, rel=0.01)
    assert [each.severity for each in found(wall, from_mm=float(wall.height_mm[-1]))] == [0]


def test_a_single_station_is_a_stretch_without_width() -> None:
    """One step of a hundred is level, between two that are upright."""
    slant = np.linspace(0, 100, 101)
    radius, height = np.full(101, 60.0), slant.copy()
    radius[51:], height[51:] = 61.0, slant[51:] - 1
    for each in found(MidWall(slant, radius, height, np.full(101, 8.0))):
        assert np.isinf(each.heights_mm).all()
        assert each.severity < 0.01
