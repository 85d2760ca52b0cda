"""Heat work against the published chart: how near E and constant come to it, and what holds do.

Nothing here uses the closed form or the fit of the service: heat work is integrated by quadrature.
"""

import sys
from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import exp, log, sqrt

from scipy.integrate import quad
from scipy.optimize import brentq

from studio.kilns.cones import DEFAULT_TYPE, cones, points_c
from studio.kilns.heat.arrhenius import Bending, fitted, model_end_c
from studio.kilns.heat.program import Segment, temperature_c, timing
from studio.kilns.heat.reached import firing

GAS, ZERO_C_K = 8.314462618, 273.15
RATES = (15.0, 60.0, 150.0)
FULL = tuple(cone for cone in cones() if len(points_c(cone)) == len(RATES))
HOLDS = ((1210.0, 13.0), (1200.0, 31.0), (1190.0, 58.0))
"""Cone 6 after 60 °C/h by holding, °C and minutes: a trial with E and constant alone (derived)."""


def ln_work(start_c: float, segments: tuple[Segment, ...], e_j_per_mol: float) -> float:
    """ln ∫exp(-E/RT)dt over a program, t in hours, by quadrature of what the program asks for."""

    def rate(at_h: float, scale_k: float) -> float:
        kelvin = temperature_c(start_c, segments, at_h) + ZERO_C_K
        return exp(-e_j_per_mol / GAS * (1 / kelvin - 1 / scale_k))

    timed = timing(start_c, segments)
    scale_k = timed.peak_c + ZERO_C_K
    corners = sorted(
        {0.0}
        | {span.end_h for span in timed.spans}
        | {
            span.end_h - each.hold_min / 60
            for span, each in zip(timed.spans, segments, strict=True)
        }
    )
    pieces = pairwise(corners)
    done = sum(
        quad(rate, low, high, args=(scale_k,), epsabs=0, epsrel=1e-9, limit=200)[0]
        for low, high in pieces
    )
    return log(done) - e_j_per_mol / (GAS * scale_k)


def misses(bending: Bending, points: Mapping[float, float]) -> list[float]:
    """°C by which E and constant alone are off the chart."""
    return [model_end_c(bending, rate) - end_c for rate, end_c in points.items()]


def fitted_misses() -> list[float]:
    """Every self-supporting cone at every rate of the chart."""
    every = (points_c(cone) for cone in cones())
    return [miss for points in every for miss in misses(fitted(points), points)]


def held_out_misses(rate: float) -> list[float]:
    """The column of one rate, foretold from the two others."""
    found = []
    for cone in FULL:
        points = points_c(cone)
        others = {each: end_c for each, end_c in points.items() if each != rate}
        found += misses(fitted(others), {rate: points[rate]})
    return found


def by_holding_min(peak_c: float, cone: str) -> float:
    """Minutes at a peak that put a cone down after 60 °C/h, by the service."""

    def over(minutes: float) -> float:
        return firing(20, [Segment(60, peak_c, minutes)]).margin_c(cone) or 0.0

    return float(brentq(over, 0, 600))


def rms(values: list[float]) -> float:
    return sqrt(sum(each**2 for each in values) / len(values))


def table() -> Iterator[str]:
    yield f"{'heat work against the chart, °C':34} {'rms':>6} {'worst':>6}"
    rows = [("every cone and rate", fitted_misses())]
    rows += [(f"{rate:g} °C/h left out", held_out_misses(rate)) for rate in RATES]
    for name, found in rows:
        yield f"{name:34} {rms(found):6.2f} {max(map(abs, found)):6.2f}"
    yield ""
    yield f"{'cone':6} {'E kJ/mol':>8}   chart less model at {RATES} °C/h"
    for cone in cones(DEFAULT_TYPE):
        bending = fitted(points_c(cone))
        off = "  ".join(f"{-each:+5.1f}" for each in misses(bending, points_c(cone)))
        yield f"{cone:6} {bending.e_j_per_mol / 1000:8.0f}   {off}"
    yield ""
    for peak_c, trial_min in HOLDS:
        yield (
            f"cone 6 at {peak_c:g} °C after 60 °C/h: held {by_holding_min(peak_c, '6'):.0f} min, "
            f"by E and constant alone {trial_min:g} min"
        )


if __name__ == "__main__":
    for line in table():
        sys.stdout.write(line + "\n")
