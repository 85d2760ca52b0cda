"""Heat work: a cone bends as ∫exp(-E/RT)dt grows and is down when that reaches its constant.

E and the constant are fitted, cone by cone, to the end points that the chart gives at three heating
rates, by least squares of the temperatures. E is an effective number that the three columns ask
for, about 250 to 1600 kJ/mol, and no chemistry: one E for all cones misses the chart by 28 °C
(derived). T is in kelvin, t in hours. Along a ramp of rate r the integral has a closed form, F/r
with F(T) = ∫exp(-E/RT)dT = T E₂(E/RT), E₂ the exponential integral of order two.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize_scalar
from scipy.special import expn

from studio.kilns.cones import DEFAULT_TYPE, cones, points_c

Array = NDArray[np.float64]

GAS = 8.314462618
"""J/(mol K), CODATA."""
ZERO_C_K = 273.15
LEAST_E, MOST_E = 1e5, 4e6
"""J/mol: where E is looked for; every cone of the table lies well inside."""
RATES_FOR_E = 3
"""E from two rounded end points follows their rounding."""


@dataclass(frozen=True)
class Bending:
    """What one cone takes: E in J/mol, and ln of ∫exp(-E/RT)dt with t in hours when it is down."""

    e_j_per_mol: float
    ln_constant: float


def fitted(points: Mapping[float, float]) -> Bending:
    """E and constant of a cone from its end points, °C by heating rate in °C/h, two or more."""
    rates, ends_c = _columns(points)
    found = minimize_scalar(
        lambda ln_e: float(np.sum(_misses(np.exp(ln_e), rates, ends_c)[0] ** 2)),
        bounds=(np.log(LEAST_E), np.log(MOST_E)),
        method="bounded",
        options={"xatol": 1e-7},
    )
    e = float(np.exp(found.x))
    return Bending(e, _misses(e, rates, ends_c)[1])


def with_e(e_j_per_mol: float, points: Mapping[float, float]) -> Bending:
    """The constant alone, where the table has too few rates for an E of the cone's own."""
    return Bending(e_j_per_mol, _misses(e_j_per_mol, *_columns(points))[1])


@cache
def bendings(cone_type: str = DEFAULT_TYPE) -> tuple[Bending, ...]:
    """By cone, in the order of `cones`. Large, small and large iron-free cones, which have one or
    two rates, take the E of the self-supporting cone of the same name (the same mixture: common
    practice, no source) and only a constant of their own; a cone that has no such twin with three
    rates is fitted to the two that it has. Raises `KilnRefused` for an unknown kind.
    """
    own = {cone: points_c(cone, cone_type) for cone in cones(cone_type)}
    twins = "self_supporting_iron_free" if cone_type.endswith("iron_free") else DEFAULT_TYPE
    twin = {cone: points_c(cone, twins) for cone in cones(twins)}
    made = []
    for cone, points in own.items():
        known = twin.get(cone, {})
        if len(points) < RATES_FOR_E and len(known) > len(points):
            made.append(with_e(fitted(known).e_j_per_mol, points))
        else:
            made.append(fitted(points))
    return tuple(made)


def ln_ramp(e_j_per_mol: Array, temp_c: Array) -> Array:
    """ln ∫exp(-E/RT)dT from cold up to a temperature, T in kelvin; shapes broadcast."""
    kelvin = temp_c + ZERO_C_K
    return np.log(kelvin * expn(2, e_j_per_mol / (GAS * kelvin)))


def ramp_end_c(e_j_per_mol: Array, ln_work: Array) -> Array:
    """Where a ramp has done this much: `ln_ramp` turned round, by Newton's rule in 1/T, in which it
    is nearly straight. Shapes broadcast.
    """
    inverse = np.full(np.broadcast_shapes(e_j_per_mol.shape, ln_work.shape), 1 / 1300.0)
    for _ in range(8):
        kelvin = 1 / inverse
        ln_now = ln_ramp(e_j_per_mol, kelvin - ZERO_C_K)
        slope = -(kelvin**2) * np.exp(-e_j_per_mol / (GAS * kelvin) - ln_now)
        inverse = np.clip(inverse + (ln_work - ln_now) / slope, 1 / 3000.0, 1 / 300.0)
    return 1 / inverse - ZERO_C_K


def model_end_c(bending: Bending, rate_c_per_h: float) -> float:
    """The end point that E and constant alone give at a heating rate; the chart rounds and so
    differs by some degrees.
    """
    ln_work = np.array([bending.ln_constant + np.log(rate_c_per_h)])
    return float(ramp_end_c(np.array([bending.e_j_per_mol]), ln_work)[0])


def _columns(points: Mapping[float, float]) -> tuple[Array, Array]:
    return np.array([*points]), np.array([*points.values()])


def _misses(e: float, rates: Array, ends_c: Array) -> tuple[Array, float]:
    """How far the best constant for E leaves each end point, in °C, and the constant's ln."""
    ln_ramps = ln_ramp(np.array(e), ends_c)
    # °C for a change of ln(work) by one: F / exp(-E/RT).
    degrees = np.exp(ln_ramps + e / (GAS * (ends_c + ZERO_C_K)))
    ln_works = ln_ramps - np.log(rates)
    ln_constant = float(np.sum(ln_works * degrees**2) / np.sum(degrees**2))
    return (ln_constant - ln_works) * degrees, ln_constant
