"""Volumes against closed forms; mm³ and mm². Handbook formulas; numbers marked 'derived' were
computed from them."""

import numpy as np
import pytest
from numpy import pi, sqrt
from scipy.interpolate import CubicSpline

from planning.geometry.inputs import Wall
from planning.geometry.profile import Floats, smooth_curve
from planning.geometry.surface import surface_in_proportion, surface_with_side
from planning.geometry.volume import body_moments, outer_area, volumes


def arc(centre: tuple[float, float], radius: float, start: float, end: float, count: int) -> Floats:
    """Points (half-width, height) on a circle, angles from the horizontal outwards."""
    turn = np.linspace(start, end, count)
    around: Floats = np.stack((radius * np.cos(turn), radius * np.sin(turn)), axis=-1)
    return np.add(around, centre)


def test_a_cylinder_is_exact() -> None:
    surface = surface_in_proportion(np.array([[50, 0], [50, 100.0]]), 1.0)
    built = volumes(surface, Wall(8, 8), 10, 6)
    assert built.outer == pytest.approx(pi * 50**2 * 100)
    assert built.base == pytest.approx(pi * 50**2 * 10)
    assert built.hollow.volume == pytest.approx(pi * 42**2 * 90)
    assert built.corner == pytest.approx(pi * 6**2 / 4 * 2 * pi * 42)
    assert built.outer_area == pytest.approx(2 * pi * 50 * 100)


@pytest.mark.parametrize("count", [2, 7, 400])
def test_a_frustum_has_the_handbook_volume_and_side(count: int) -> None:
    # R 10, r 6, h 15: V = πh(R² + Rr + r²)/3 = 3078.7608, side π(R + r)s = 780.3301 (derived).
    points = np.stack((np.linspace(10, 6, count), np.linspace(0, 15, count)), axis=-1)
    surface = surface_in_proportion(points, 1.0)
    assert body_moments(surface, surface.curve.length)[0] == pytest.approx(3078.7608, abs=5e-5)
    assert outer_area(surface) == pytest.approx(780.3301, abs=5e-5)


def test_a_tapered_wall_on_a_cylinder_is_a_cone_inside() -> None:
    # Balls whose radius grows by k per height touch a cone whose normal distance is t√(1 - k²)
    # from the point k·t behind; on a cylinder that cone is r = R - (t0 + k z)/√(1 - k²).
    surface = surface_in_proportion(np.array([[60, 0], [60, 200.0]]), 1.0)
    built = volumes(surface, Wall(12, 6), 20, 0)
    k = (6 - 12) / 200
    low, high = (60 - (12 + k * z) / sqrt(1 - k**2) for z in (20, 200))
    cone = pi * 180 / 3 * (low**2 + low * high + high**2)
    # Next to the rim the balls end, which takes less than a ten-thousandth.
    assert built.hollow.volume == pytest.approx(cone, rel=1e-4)


def test_a_cap_of_a_sphere_has_the_handbook_volume_and_area() -> None:
    # Sphere R 10, cap height 4: V = πh²(3R - h)/3 = 435.6342, area 2πRh = 251.3274 (derived).
    points = arc((0, -6), 10, np.arcsin(0.6), pi / 2, 40)
    points[-1, 0] = 0
    surface = surface_in_proportion(points, 1.0)
    assert body_moments(surface, surface.curve.length)[0] == pytest.approx(435.6342, rel=1e-5)
    assert outer_area(surface) == pytest.approx(251.3274, rel=1e-5)


def test_a_hemispherical_dome_leaves_a_hemisphere_inside() -> None:
    points = arc((0, 0), 100, 0, pi / 2, 60)
    points[-1, 0] = 0
    built = volumes(surface_in_proportion(points, 1.0), Wall(8, 8), 10, 0)
    inner = 92.0  # cut at the floor: ∫ π(r² - z²) dz from 10 to r
    hollow = pi * (2 * inner**3 / 3 - inner**2 * 10 + 10**3 / 3)
    assert built.hollow.volume == pytest.approx(hollow, rel=2e-5)
    assert built.outer == pytest.approx(2 * pi * 100**3 / 3, rel=2e-5)


@pytest.mark.parametrize(("radius", "side"), [(70, 1), (150, -1)])
def test_a_toroidal_wall_obeys_pappus(radius: float, side: float) -> None:
    # A barrel (outer half of a torus) and a waist (inner half), tube radius 60; the wall
    # between the two arcs lies between tubes of 60 and 60 - side·8.
    turn = np.linspace(-0.9, 0.9, 61)
    points = np.stack((radius + side * 60 * np.cos(turn), 60 * np.sin(turn)), axis=-1)
    points[:, 1] -= points[0, 1]
    surface = surface_in_proportion(points, 1.0)
    # A half-disc's centroid has no closed form for this sector cut level; the arc's has.
    centroid = radius + side * 60 * np.sin(0.9) / 0.9
    assert outer_area(surface) == pytest.approx(2 * pi * centroid * 60 * 1.8, rel=1e-6)
    inner = 60 - side * 8
    floor, rim = 20.0, points[-1, 1]
    middle = rim / 2
    z = np.linspace(floor, rim, 400_001) - middle
    # Levels that the inner tube reaches; past it the balls at the wall's ends bound the hollow.
    end = np.abs(z) > inner * np.sin(0.9)
    tube = radius + side * np.sqrt(np.maximum(inner**2 - z**2, 0))
    ball = points[0, 0] - np.sqrt(np.maximum(64 - (np.abs(z) - middle) ** 2, 0))
    hollow = pi * np.trapezoid(np.where(end & (side > 0), ball, tube) ** 2, z)
    built = volumes(surface, Wall(8, 8), floor, 0)
    assert built.hollow.volume == pytest.approx(hollow, rel=2e-5)


def test_a_closed_smooth_wall_obeys_the_tube_formula() -> None:
    # V = A t - t² ∫H + t³/3 ∫K. Barrel arc of a torus R 70, r 60 over angles ±φ:
    # dA = r(R + r cos u) du dv, H = (R + 2 r cos u)/(2 r (R + r cos u)), K = cos u/(r (R + ...)).
    radius, tube, phi, t = 70.0, 60.0, 0.9, 8.0
    area = 2 * pi * tube * (2 * phi * radius + 2 * tube * np.sin(phi))
    mean = 2 * pi * (radius * phi + 2 * tube * np.sin(phi))
    gauss = 4 * pi * np.sin(phi)
    steiner = area * t - t**2 * mean + t**3 / 3 * gauss
    # The same wall by Pappus: sector annulus area φ(r² - (r-t)²), centroid of the annulus.
    annulus = phi * (tube**2 - (tube - t) ** 2)
    moment = 2 / 3 * np.sin(phi) * (tube**3 - (tube - t) ** 3)
    assert steiner == pytest.approx(2 * pi * (radius * annulus + moment), rel=1e-12)
    # And by the program: cut a level band of the barrel and correct with the exact band.
    points = arc((radius, tube * np.sin(phi)), tube, -phi, phi, 81)
    built = volumes(surface_in_proportion(points, 1.0), Wall(t, t), 1e-6, 0)
    rim = tube * np.sin(phi)
    z = np.linspace(-rim, rim, 400_001)
    inner = np.where(
        np.abs(z) > (tube - t) * np.sin(phi),
        points[0, 0] - np.sqrt(np.maximum(t**2 - (np.abs(z) - rim) ** 2, 0)),
        radius + np.sqrt(np.maximum((tube - t) ** 2 - z**2, 0)),
    )
    # Ball sectors at both ends that Steiner's wall, cut along its normals, does not have.
    beyond = pi * np.trapezoid(
        np.where(np.abs(z) > (tube - t) * np.sin(phi), points[0, 0] ** 2 - inner**2, 0), z
    )
    within = pi * np.trapezoid(
        np.where(
            np.abs(z) > (tube - t) * np.sin(phi),
            (radius + np.sqrt(np.maximum(tube**2 - z**2, 0))) ** 2 - points[0, 0] ** 2,
            (radius + np.sqrt(np.maximum(tube**2 - z**2, 0))) ** 2 - inner**2,
        ),
        z,
    )
    assert built.wall == pytest.approx(beyond + within, rel=2e-5)


def test_an_elliptic_cylinder_wall_is_the_area_between_parallel_curves() -> None:
    # The strip of width t inside a convex curve has area t·P - πt² (Steiner), P = 4aE(e²):
    # for a 100, b 50 the perimeter is 484.42241103 (derived by AGM).
    surface = surface_in_proportion(np.array([[100, 0], [100, 200.0]]), 0.5)
    built = volumes(surface, Wall(8, 8), 10, 4)
    section = pi * 100 * 50 - (8 * 484.42241103 - pi * 64)
    assert built.hollow.volume == pytest.approx(section * 190, rel=1e-8)
    # The perimeter of a parallel curve is shorter by 2πt.
    assert built.corner == pytest.approx(pi * 4 * (484.42241103 - 2 * pi * 8), rel=1e-8)
    assert built.outer_area == pytest.approx(484.42241103 * 200, rel=1e-8)


def test_a_narrow_oval_is_thicker_inside_its_tips() -> None:
    # a 100, b 20: the tips' radius b²/a = 4 is tighter than the wall of 8; the exact inner
    # section by GEOS.
    import shapely  # noqa: PLC0415 -- only here

    turn = np.linspace(0, 2 * pi, 20_001)[:-1]
    ellipse = shapely.Polygon(np.stack((100 * np.cos(turn), 20 * np.sin(turn)), axis=-1))
    inner = ellipse.buffer(-8, quad_segs=256)
    for ratio, half in ((0.2, 100.0), (5.0, 20.0)):
        surface = surface_in_proportion(np.array([[half, 0], [half, 200.0]]), ratio)
        built = volumes(surface, Wall(8, 8), 10, 4)
        assert built.hollow.volume == pytest.approx(inner.area * 190, rel=2e-4)
        assert built.corner == pytest.approx(pi * 4 * inner.length, rel=1e-3)


def test_a_side_profile_like_the_front_is_the_round_pot() -> None:
    points = arc((20, 70 * np.sin(0.8)), 70, -0.8, 1.0, 25)
    alone = volumes(surface_in_proportion(points, 1.0), Wall(8, 8), 10, 8)
    both = volumes(surface_with_side(points, points), Wall(8, 8), 10, 8)
    assert both.total == pytest.approx(alone.total, rel=1e-6)


def test_a_cylinder_tips_over_at_half_its_width_to_half_its_height() -> None:
    # Uniform shell without base: the centre lies at half height.
    surface = surface_in_proportion(np.array([[50, 0], [50, 200.0]]), 1.0)
    built = volumes(surface, Wall(8, 8), 1e-9, 0)
    assert built.tip_deg == pytest.approx(np.degrees(np.arctan(50 / 100)), rel=1e-9)


def test_a_drawn_curve_goes_through_its_points_and_never_overshoots() -> None:
    points = np.array([[50, 0], [50, 60], [90, 100], [90, 140], [40, 140], [40, 200.0]])
    curve = smooth_curve(points)
    assert np.abs(curve.at(curve.knots).T - points).max() < 1e-9
    r, z = curve.at(np.linspace(0, curve.length, 5001))
    assert r.min() >= 40 - 1e-9
    assert r.max() <= 90 + 1e-9
    assert (np.diff(z) >= -1e-9).all()


@pytest.mark.parametrize("count", [3, 4, 5, 40])
def test_slopes_are_those_of_an_independent_spline_where_nothing_is_held(count: int) -> None:
    # An arc that bends one way: the spline's slopes need no holding.
    points = arc((0, 0), 100, 0.2, 1.2, count)
    curve = smooth_curve(points)
    independent = CubicSpline(curve.knots, points)(curve.knots, 1)
    assert np.abs(curve.slopes_at(curve.knots[1:-1]).T - independent[1:-1]).max() < 1e-9
