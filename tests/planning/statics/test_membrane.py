"""Membrane forces against closed forms, to a thousandth, and against global balance.

The closed forms stand in Flügge, Stresses in Shells (2nd ed. 1973, ch. 2) and Timoshenko &
Woinowsky-Krieger, Theory of Plates and Shells (2nd ed. 1959, ch. 14); from memory, derived anew
from equilibrium. q is the weight per area.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from planning.statics.membrane import Forces, membrane_forces
from planning.statics.midwall import MidWall, specific_weight

from .walls import WEIGHT, Floats, cone, cylinder, dome, drawn

T = 8.0
Q = WEIGHT * T
PRECISION = 1e-3


def standing(wall: MidWall) -> Forces:
    """The whole wall's, (1, stations) each."""
    return membrane_forces(wall, WEIGHT, wall.height_mm[-1:])


def close(found: Floats, expected: Floats) -> bool:
    """To a thousandth of the largest force."""
    return bool(np.abs(found - expected).max() <= PRECISION * np.abs(expected).max())


def test_weight_is_density_times_standard_gravity() -> None:
    """1 g/cm³ weighs 9.80665 kN/m³ (3rd CGPM, 1901), so 9.80665e-6 N/mm³."""
    assert specific_weight(1.0) == pytest.approx(9.80665e-6, rel=1e-12)


def test_a_cylinder_carries_what_stands_above_and_no_hoop() -> None:
    """N_φ = -q (H - z), N_θ = 0."""
    wall = cylinder(60, 300, T)
    forces = standing(wall)
    assert close(forces.meridional[0], -Q * (300 - wall.height_mm))
    assert np.abs(forces.hoop).max() < PRECISION * Q * 300


@pytest.mark.parametrize("degrees", [10, 35, 60])
def test_a_cone_with_its_apex_up_is_pressed_both_ways(degrees: float) -> None:
    """N_φ = -q y / (2 cos α), N_θ = -q y sin²α / cos α, y from the apex along the slant."""
    alpha, whole = np.radians(degrees), 300.0
    wall = cone(whole * np.sin(alpha), whole - 1e-3, -alpha, T)
    y = whole - wall.slant_mm
    forces = standing(wall)
    assert close(forces.meridional[0], -Q * y / (2 * np.cos(alpha)))
    assert close(forces.hoop[0], -Q * y * np.sin(alpha) ** 2 / np.cos(alpha))


@pytest.mark.parametrize("degrees", [10, 35, 60])
def test_a_cone_with_its_apex_down_wants_to_open(degrees: float) -> None:
    """N_φ = -q (L² - y²) / (2 y cos α), N_θ = +q y sin²α / cos α."""
    alpha, low, rim = np.radians(degrees), 60.0, 300.0
    wall = cone(low * np.sin(alpha), rim - low, alpha, T)
    y = low + wall.slant_mm
    forces = standing(wall)
    assert close(forces.meridional[0], -Q * (rim**2 - y**2) / (2 * y * np.cos(alpha)))
    assert close(forces.hoop[0], Q * y * np.sin(alpha) ** 2 / np.cos(alpha))


class TestHemisphere:
    """N_φ = -q a / (1 + cos φ), N_θ = q a (1 / (1 + cos φ) - cos φ), φ from the crown."""

    A = 100.0
    WALL = dome(A, np.pi / 2, np.radians(4), T)

    def test_on_its_rim_it_has_the_closed_forces(self) -> None:
        """The hole at the crown changes them by (1 - cos 4°) / sin²φ, looked at far from it."""
        angle = np.pi / 2 - self.WALL.slant_mm / self.A
        far = angle > np.radians(30)
        cos, open_at = np.cos(angle), np.cos(np.radians(4))
        hole = (1 - open_at) / np.sin(angle) ** 2
        forces = standing(self.WALL)
        along = -Q * self.A * (1 / (1 + cos) - hole)
        around = Q * self.A * (1 / (1 + cos) - cos - hole)
        assert close(forces.meridional[0, far], along[far])
        assert close(forces.hoop[0, far], around[far])

    def test_its_hoop_turns_from_pressure_to_tension_at_51_83_degrees(self) -> None:
        """Where cos²φ + cos φ = 1: 51°49.6' (the textbooks' 51.8°)."""
        wall = dome(self.A, np.pi / 2, 1e-4, T)
        hoop = standing(wall).hoop[0]
        stands = np.isfinite(hoop)
        slant = np.interp(0.0, -hoop[stands], wall.slant_mm[stands])
        assert 90 - np.degrees(slant / self.A) == pytest.approx(51.827, abs=0.01)


def test_a_cap_with_a_free_edge_above_has_the_forces_of_one() -> None:
    """N_φ = -q a (cos φ₀ - cos φ) / sin²φ, N_θ = -N_φ - q a cos φ, open above φ₀."""
    a, top = 100.0, np.radians(25)
    wall = dome(a, np.radians(70), top, T)
    angle = np.radians(70) - wall.slant_mm / a
    along = -Q * a * (np.cos(top) - np.cos(angle)) / np.sin(angle) ** 2
    forces = standing(wall)
    assert close(forces.meridional[0], along)
    assert close(forces.hoop[0], -along - Q * a * np.cos(angle))


def test_of_a_wall_in_building_only_what_stands_loads() -> None:
    """Each stage is the whole shell of its height, and nothing stands above it."""
    wall = cylinder(60, 300, T)
    stages = membrane_forces(wall, WEIGHT, np.array([100.0, 200.0, 300.0]))
    for n, built in enumerate((100.0, 200.0, 300.0)):
        expected = -Q * np.maximum(built - wall.height_mm, 0)
        assert close(stages.meridional[n], expected)
        assert (stages.hoop[n][wall.height_mm > built] == 0).all()


def test_where_the_wall_lies_level_there_are_no_membrane_forces() -> None:
    forces = standing(drawn((0, 60), (80, 120), (160, 100), (200, 50), (210, 0)))
    assert np.isnan(forces.meridional[0, -1])
    assert np.isnan(forces.hoop[0, -1])
    assert np.isfinite(forces.hoop[0, :100]).all()


SHAPES = st.tuples(
    st.floats(60, 120), st.floats(-0.4, 0.4), st.floats(1, 6), st.floats(0, 6), st.floats(0, 0.5)
)


@given(shape=SHAPES, share=st.floats(0.05, 0.8))
def test_any_wall_is_in_balance_upwards_and_across(
    shape: tuple[float, float, float, float, float], share: float
) -> None:
    """Above any height the vertical pull of N_φ is the weight there (by quadrature of the
    formula of the profile), and between two heights the hoop force of half the pot balances the
    thrusts at its ends."""
    mean, swing, waves, phase, taper = shape
    height = 250.0

    def radius(z: float) -> float:
        return float(mean * (1 + swing * np.sin(waves * z / height + phase)))

    def lean(z: float) -> float:
        return float(mean * swing * waves / height * np.cos(waves * z / height + phase))

    def weight(z: float) -> float:
        thick = 10 * (1 - taper * z / height)
        return WEIGHT * 2 * np.pi * radius(z) * thick * float(np.hypot(1, lean(z)))

    z = np.linspace(0, height, 257)
    r = np.array([radius(each) for each in z])
    slant = np.array([quad(lambda u: float(np.hypot(1, lean(u))), 0, each)[0] for each in z[::2]])
    wall = MidWall(slant, r[::2], z[::2], 10 * (1 - taper * z[::2] / height))
    forces = standing(wall)
    at = int(share * (len(slant) - 1))
    low, high = wall.height_mm[at], wall.height_mm[at + 20]
    sin, cos = np.array([(1, lean(each)) / np.hypot(1, lean(each)) for each in (low, high)]).T
    along = forces.meridional[0, [at, at + 20]]
    carried = -along * 2 * np.pi * wall.radius_mm[[at, at + 20]] * sin
    whole = quad(weight, 0, height)[0]
    expected = [quad(weight, each, height)[0] for each in (low, high)]
    assert carried == pytest.approx(expected, abs=PRECISION * whole)
    thrust = along * wall.radius_mm[[at, at + 20]] * cos
    hoop = np.trapezoid(forces.hoop[0, at : at + 21], wall.slant_mm[at : at + 21])
    assert hoop == pytest.approx(thrust[1] - thrust[0], abs=PRECISION * whole / (2 * np.pi))
