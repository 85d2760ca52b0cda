"""How far a program bends each cone of a kind, holds, dips and changes of rate counted.

A program does on a cone what a plain ramp to the same peak does at some other, mostly slower, rate:
the one that gives the same ∫exp(-E/RT)dt. At that rate the end point is read from the chart, so
that a plain ramp agrees with the chart to the degree, and E decides only what holds and dips are
worth. Outside the chart's rates the end point moves on from the nearest one by E (extrapolation,
which `reached` says).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from studio.kilns.cones import DEFAULT_TYPE, cones, points_c

from .arrhenius import GAS, ZERO_C_K, Array, bendings, ln_ramp, ramp_end_c
from .program import MINUTES, Segment, climb_h, legs

NO_WORK_BELOW_C = 200.0
"""No cone moves below; it keeps exp(-E/RT) away from the smallest numbers."""
NEAR_THE_PEAK_C = 30.0
"""A kiln that rises by more after some moment has done more on every cone than at that moment."""


@dataclass(frozen=True)
class Bent:
    """By cone, the coolest first: `margins_c` peak minus end point, never less for a cooler cone
    than for a hotter one; `rates_c_per_h` of the plain ramp that does the same.
    """

    margins_c: Array
    rates_c_per_h: Array


def heat_work(start_c: float, segments: Sequence[Segment], cone_type: str = DEFAULT_TYPE) -> Array:
    """ln ∫exp(-E/RT)dt by cone, t in hours: after each ramp and after each hold, in rows."""
    e, _ = _constants(cone_type)
    rows = []
    for low_c, segment in legs(start_c, segments):
        rows.append(_along(e, low_c, segment))
        rows.append(_held(e, segment.target_c, segment.hold_min / MINUTES))
    return np.log(np.cumsum(rows, axis=0))


def bent(start_c: float, segments: Sequence[Segment], cone_type: str = DEFAULT_TYPE) -> Bent:
    """Of a program that `timing` takes and that rises. A cone that went down stays down, so the
    best of all moments counts.
    """
    e, _ = _constants(cone_type)
    tops_c = np.repeat([each.target_c for each in segments], 2)
    tops_c = np.maximum(np.maximum.accumulate(tops_c), NO_WORK_BELOW_C)[:, np.newaxis]
    works = heat_work(start_c, segments, cone_type)
    counts = tops_c[:, 0] >= tops_c[-1, 0] - NEAR_THE_PEAK_C
    tops_c, works = tops_c[counts], works[counts]
    rates = np.exp(ln_ramp(e, tops_c) - works)
    margins = tops_c - end_points_c(cone_type, rates)
    best = np.argmax(margins, axis=0)[np.newaxis]
    margins = np.take_along_axis(margins, best, axis=0)[0]
    # Where E differs from cone to cone a very long soak would bend a hotter one first.
    in_order = np.maximum.accumulate(margins[::-1])[::-1]
    return Bent(in_order, np.take_along_axis(rates, best, axis=0)[0])


def end_points_c(cone_type: str, rates_c_per_h: Array) -> Array:
    """End point of each cone (last axis) at a rate of its own: the chart's, interpolated in
    ln(rate), and moved on by E outside its rates.
    """
    wanted = np.log(rates_c_per_h)
    found, nearest = np.empty_like(wanted), np.empty_like(wanted)
    for n, cone in enumerate(cones(cone_type)):
        points = points_c(cone, cone_type)
        known = np.log([*points])
        found[..., n] = np.interp(wanted[..., n], known, [*points.values()])
        nearest[..., n] = np.clip(wanted[..., n], known[0], known[-1])
    beyond = wanted != nearest
    e, ln_constant = (np.broadcast_to(each, wanted.shape)[beyond] for each in _constants(cone_type))
    here, there = (ramp_end_c(e, ln_constant + each[beyond]) for each in (nearest, wanted))
    found[beyond] += there - here
    return found


def _constants(cone_type: str) -> tuple[Array, Array]:
    """E in J/mol and the constant's ln, by cone."""
    found = [(each.e_j_per_mol, each.ln_constant) for each in bendings(cone_type)]
    e, ln_constant = np.array(found).T
    return e, ln_constant


def _along(e: Array, low_c: float, segment: Segment) -> Array:
    """∫exp(-E/RT)dt of the way to the target."""
    ends = np.maximum([low_c, segment.target_c], NO_WORK_BELOW_C)
    ramps = np.exp(ln_ramp(e, ends[:, np.newaxis]))
    lost_h = climb_h(low_c, segment) - abs(ends[1] - ends[0]) / segment.rate_c_per_h
    risen: Array = np.abs(ramps[1] - ramps[0]) / segment.rate_c_per_h
    return risen + _held(e, NO_WORK_BELOW_C, lost_h)


def _held(e: Array, temp_c: float, hours: float) -> Array:
    kelvin = max(temp_c, NO_WORK_BELOW_C) + ZERO_C_K
    work: Array = np.exp(-e / (GAS * kelvin)) * hours
    return work
